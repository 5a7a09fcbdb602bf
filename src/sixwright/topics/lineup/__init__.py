"""What is in each box?"""
