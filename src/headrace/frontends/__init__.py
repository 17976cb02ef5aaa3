"""How does a person reach it?"""
