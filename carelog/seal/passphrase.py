"""A passphrase for a file that is sent to somebody."""

from carelog.domain.trouble import Refused
from carelog.text import mark, say

SHORTEST = 12
"""Letters: some words that nobody guesses (common practice, no source)."""
TOO_SHORT = mark("The passphrase is too short. Take some words, at least {count} letters.")


def read(text: str) -> str:
    """The passphrase that somebody chose, as it is; `Refused` for one that is too short."""
    if len(text) < SHORTEST:
        raise Refused(say(TOO_SHORT).format(count=SHORTEST))
    return text
