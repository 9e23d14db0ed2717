"""Coming home and learning: what must be there, and who can do what."""
