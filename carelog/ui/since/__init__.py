"""Handing over: what happened since somebody was last here."""
