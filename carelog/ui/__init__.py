"""The window: PySide6 only here; nothing in it reaches the database."""
