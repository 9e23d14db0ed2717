"""Using the window by one switch or two, or by a pointer that rests."""
