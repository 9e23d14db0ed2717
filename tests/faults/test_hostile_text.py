"""Hostile text in every text of every kind: in the record and out as it is, whole in every output."""

import unicodedata
from itertools import count
from pathlib import Path
from typing import Any

import pytest

from carelog.domain.entry import Entry
from carelog.domain.field import Choice, ListOf, Text
from carelog.domain.kind import Kind
from carelog.domain.moment import MINUTE, Moment
from carelog.kinds import ALL
from carelog.store.exchange import StoredExchange
from tests.faults import outputs
from tests.faults.hostile import HOSTILE, MIXED, household
from tests.store.making import START, fresh, id_of


def texts_of(kind: Kind, text: str) -> dict[str, Any]:
    """Details of a kind with this text wherever free text may stand, and what else the kind asks for."""
    found: dict[str, Any] = {"unknown": {text: [text]}} | EITHER.get(kind.name, {})
    for field in kind.fields:
        item = field.type.item if isinstance(field.type, ListOf) else field.type
        if isinstance(item, Text) and item.form is None:
            found[field.name] = text if item is field.type else [text]
        elif field.required:
            options = [option.value for option in item.options] if isinstance(item, Choice) else OTHERS
            found[field.name] = next(value for value in options if field.type.problem(value) is None)
    return found


EITHER: dict[str, dict[str, Any]] = {"stock": {"count": 1}}
OTHERS: tuple[Any, ...] = (True, 7, id_of(7), "2026-01-01T00:00:00+00:00")


@pytest.mark.parametrize("text", HOSTILE.values(), ids=HOSTILE.keys())
def test_any_text_in_any_kind_comes_back_as_it_was(tmp_path: Path, text: str) -> None:
    numbers = count(1)
    entries = [
        Entry(
            id=id_of(number),
            kind=kind.name,
            at=Moment(START + number * MINUTE),
            recorded_at=START + number * MINUTE,
            by=text,
            details=texts_of(kind, text),
            note=text,
            amends=id_of(9999),
            reason=text,
        )
        for kind, number in zip(ALL, numbers, strict=False)
    ]
    for kind, entry in zip(ALL, entries, strict=True):
        assert kind.problems(entry.details) == []
    record, other = fresh(tmp_path / "one.carelog"), fresh(tmp_path / "other.carelog")
    record.append(entries)
    lines = list(StoredExchange().write(record, record.everything(), 0))
    StoredExchange().merge(lines, other)
    assert record.everything() == other.everything() == entries
    assert record.check() == other.check() == []
    assert len(lines) == b"".join(lines).count(b"\n") == len(ALL) + 1
    record.close()
    other.close()


def test_a_text_that_is_normalised_on_its_way_would_be_seen() -> None:
    text = HOSTILE["same look"]
    assert unicodedata.normalize("NFC", text) != text


# What draws a screen or paper is slow: there some kinds stand for all.
SHOWN = {
    "screen": [kind for kind in ALL if kind.name in ("person", "plan", "note", "tube_change")],
    "paper": ALL[::6],
    "fhir": ALL[::6],
    "zip": ALL[::6],
}


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("output", outputs.OUTPUTS)
def test_nothing_of_any_text_is_missing_unmarked_or_obeyed_in_an_output(tmp_path: Path, output: str) -> None:
    found = household(MIXED, SHOWN.get(output, ALL))
    assert outputs.wrong(found, tmp_path, output) == []


@pytest.mark.usefixtures("qapp")
@pytest.mark.parametrize("output", outputs.SPOILED)
def test_an_output_that_loses_or_obeys_a_text_would_be_seen(tmp_path: Path, output: str) -> None:
    found = household(MIXED, SHOWN.get(output, ALL))
    assert outputs.wrong_when_spoiled(found, tmp_path, output) != []
