"""The nurse's visit: what is different, what is asked, what is flagged, and the signature."""
