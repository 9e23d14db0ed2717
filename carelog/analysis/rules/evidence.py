"""The sign that one entry is, with the entry's own words as the reason."""

from carelog.analysis.flags.ledger import Ledger
from carelog.analysis.flags.naming import named, unnamed
from carelog.analysis.in_force import Held
from carelog.analysis.rules.rule import Rule, Said
from carelog.analysis.rules.sign import Sign
from carelog.domain.flag import Level
from carelog.kinds import named_or_unknown
from carelog.text import mark, say

_WRITTEN = mark("{kind} at {time}, {by}. {line}.")
_NO_NAME = mark("no name")
CUFF_SAID = (
    Said("cuff_state"),
    Said("cuff_state", "state", ("down",)),
    Said("valve", "cuff_down"),
    Said("valve", "cuff_down", (True,)),
    Said("cuff_pressure"),
    Said("cuff_pressure", "value_after", (0,)),
)
"""What says whether the cuff is up or down; the newest of each stands until another."""
AT_ONCE = 2  # details in a sentence: a long list of them is hard to read


def at(ledger: Ledger, held: Held) -> str:
    """When an entry happened, for its flag's words."""
    return named(held.time)


def timed(words: str, ledger: Ledger, held: Held) -> str:
    """Marked words with the {time} of an entry."""
    return say(words).format(time=at(ledger, held))


def as_written(ledger: Ledger, held: Held) -> str:
    """An entry in its own words, in short sentences: “Suction at 03:10, MO. Pink, frothy. Passes 2.”"""
    kind = named_or_unknown(held.entry.kind)
    parts = kind.parts(held.entry.details) or [held.entry.note.strip() or "–"]
    groups = [", ".join(parts[start : start + AT_ONCE]) for start in range(0, len(parts), AT_ONCE)]
    line = unnamed(". ".join(group[:1].upper() + group[1:] for group in groups))
    return say(_WRITTEN).format(
        kind=say(kind.title),
        time=at(ledger, held),
        by=unnamed(held.first.by) or say(_NO_NAME),
        line=line,
    )


def evidence(
    rule: Rule,
    ledger: Ledger,
    held: Held,
    level: Level,
    headline: str,
    subject: str | None = None,
    why: str = "",
) -> Sign:
    """The sign that an entry is; `headline` and `why` are words to be shown, `why` else the entry's own."""
    reason = why or as_written(ledger, held)
    return Sign(
        key=held.first.id,
        subject=subject,
        level=level,
        entries=(held.entry.id,),
        known=held.known,
        time=held.time,
        headline=headline,
        why=f"{reason} {say(rule.after)}".strip(),
    )
