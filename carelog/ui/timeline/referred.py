"""Which other entries an entry speaks of, in words: the question answered, the incident that ended."""

from collections.abc import Iterable, Mapping

from carelog.analysis.in_force import Held, Reading
from carelog.app.ports import Record
from carelog.domain.entry import Details, Entry
from carelog.domain.field import Reference
from carelog.domain.moment import Home
from carelog.kinds import ALL
from carelog.text import mark, say
from carelog.ui import times

FIELDS = {
    kind.name: names
    for kind in ALL
    if (names := tuple(each.name for each in kind.fields if isinstance(each.type, Reference)))
}
"""The fields of each kind that hold the id of another entry."""
LONGEST = 36  # letters of a question: what was answered stands behind it
_OF = mark("of {time}")
_SAID = mark("“{text}”")


def referred(record: Record, entries: Iterable[Entry], home: Home) -> dict[str, str]:
    """What the entries that these speak of say, by the ids that they are spoken of by."""
    pairs = [(entry, name) for entry in entries for name in FIELDS.get(entry.kind, ())]
    ids = {entry.details[name]: entry.at.instant for entry, name in pairs if name in entry.details}
    if not ids:
        return {}
    reading = Reading(record.chain(sorted(ids)))
    found = {each: reading.get(each) for each in ids}
    return {each: _words(held, home, ids[each]) for each, held in found.items() if held is not None}


def _words(held: Held, home: Home, beside: int) -> str:
    text = " ".join(held.entry.note.split())
    if text:
        return say(_SAID).format(text=text if len(text) <= LONGEST else f"{text[:LONGEST].rstrip()}…")
    return say(_OF).format(time=times.near(home, held.time, beside))


def with_words(kind: str, details: Details, words: Mapping[str, str]) -> Details:
    """Details with the words of the entries that they speak of in place of their ids."""
    names = [name for name in FIELDS.get(kind, ()) if name in details and details[name] in words]
    return {**details, **{name: words[details[name]] for name in names}} if names else details
