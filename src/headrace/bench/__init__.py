"""What did the instruments say, and what should the file say now?"""
