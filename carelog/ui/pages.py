"""The pages that can be opened from everywhere: one table, in the order in which they stand."""

from carelog.text import mark

PAGES = (
    ("board", mark("Board")),
    ("timeline", mark("Timeline")),
    ("flags", mark("Flags")),
    ("due", mark("Due")),
    ("plan", mark("Plan")),
    ("sheet", mark("Sheet")),
    ("help", mark("Help")),
    ("settings", mark("Settings")),
)
CONSTANT = mark("A record and a reminder. No monitor, no alarm.")
"""The line that stands on every page."""
