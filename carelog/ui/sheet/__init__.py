"""Sheets for paper: the same bytes on screen, in a file and on the printer."""
