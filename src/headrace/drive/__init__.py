"""Work to terminals: how much power, lost where, at what speed?"""
