"""Cells to terminals: which cells, how many, joined how, how warm, how old?"""
