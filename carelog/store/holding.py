"""Looking for words in entries as they are stored: one pass over a record, however many there are."""

import json
from collections.abc import Iterator, Sequence
from typing import Any

from carelog.domain.entry import details_text
from carelog.domain.moment import MINUTE
from carelog.domain.record import Sought
from carelog.store.readings import Connection

LATE = 60 * MINUTE
_IS_MARKED = f"""(amends IS NOT NULL OR source <> 'live' OR abs(recorded_at - at) > {LATE} OR at > recorded_at
  OR EXISTS (SELECT 1 FROM entry AS change WHERE change.amends = entry.id))"""
_PLACES = ("details", "note", '"by"', "reason")


def ids(connection: Connection, words: Sequence[Sought], kinds: Sequence[str]) -> list[str]:
    """The ids of the entries that may say all the words, newest first."""
    tests, given = ["1"], list[Any]()
    if kinds:
        tests.append("kind IN (SELECT value FROM json_each(?))")
        given.append(json.dumps(list(kinds)))
    for word in words:
        test, values = _test(word)
        tests.append(test)
        given += values
    sql = f"SELECT id FROM entry WHERE {' AND '.join(tests)} ORDER BY at DESC"
    return [row[0] for row in connection.exec_driver_sql(sql, tuple(given))]


def _test(word: Sought) -> tuple[str, list[Any]]:
    """Whether an entry may say a word, and what is given to the question."""
    tests = ["kind NOT IN (SELECT value FROM json_each(?))"]
    given: list[Any] = [json.dumps(sorted(word.narrowed))]
    for form in _forms(word.word):
        written = details_text(form)[1:-1]  # as it stands within a text of JSON
        for place in _PLACES:
            tests.append(f"instr(lower({place}), ?)" if form.isascii() else f"instr({place}, ?)")
            given.append(written if place == "details" else form)
    for text in sorted(word.texts):
        tests.append("instr(details, ?)")
        given.append(text)
    tests += [_IS_MARKED] if word.may_be_mark else []
    tests += ["\"by\" = ''"] if word.may_be_nobody else []
    return f"({' OR '.join(tests)})", given


def _forms(word: str) -> Iterator[str]:
    """A word as it may be spelled; SQLite lowers the letters of ASCII alone, and ß is as good as ss."""
    sharp = word.casefold().replace("ss", "ß")
    spelled = {word, word.casefold(), *([sharp] if "ß" in sharp else [])}
    for each in sorted(spelled):
        yield from {each} if each.isascii() else {each, each.upper(), each.capitalize(), each.title()}
