"""Starts the program for `python -m carelog`."""

from carelog.main import script

if __name__ == "__main__":
    script()
