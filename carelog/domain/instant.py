"""An instant and the lengths of time, for whoever needs no clock, zone or calendar (`moment` has those)."""

Instant = int
"""Whole microseconds since 1970-01-01T00:00 UTC, negative before it; a length of time is one less another."""

SECOND = 1_000_000
MINUTE = 60 * SECOND
HOUR = 60 * MINUTE
DAY_24_H = 24 * HOUR
