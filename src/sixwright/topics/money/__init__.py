"""What must it sell for?"""
