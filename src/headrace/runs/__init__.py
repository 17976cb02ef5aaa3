"""What happens over a day's work?"""
