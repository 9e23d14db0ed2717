"""Giving somebody the record."""
