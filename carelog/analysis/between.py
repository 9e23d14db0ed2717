"""A range of whole numbers in words."""

from carelog.text import mark, say


def between(low: int, high: int) -> str:
    """8 to 10, or 8."""
    return str(low) if low == high else say(mark("{low} to {high}")).format(low=low, high=high)
