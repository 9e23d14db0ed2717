"""Noticing change: what is usual for this one person, and when the record moves away from it."""
