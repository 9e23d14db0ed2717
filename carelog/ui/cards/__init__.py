"""Phrase cards: shown instead of said."""
