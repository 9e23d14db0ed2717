"""Flags: what a person should look at, in short on the board and in full on their page."""
