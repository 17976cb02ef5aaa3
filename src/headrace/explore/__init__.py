"""Of all machines like this, which?"""
