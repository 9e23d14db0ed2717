"""What must hold for every kind of entry, from its declaration alone."""

import json
from collections.abc import Iterator

import pytest
from hypothesis import given
from hypothesis import strategies as st

from carelog.domain.entry import Details, details_text
from carelog.domain.field import Choice, Field, Number
from carelog.domain.kind import Kind
from carelog.domain.units import plain
from carelog.kinds import ALL, kind_named, named_or_unknown
from tests.strategies import details

every_kind = pytest.mark.parametrize("kind", ALL, ids=lambda kind: kind.name)


def shown(kind: Kind, found: Details) -> list[str]:
    """Each number and each choice as a person reads it in a line; a unit goes with its number."""
    units = [getattr(each.type, "unit_field", "") for each in kind.fields]
    given = [each for each in kind.fields if each.name in found and each.name not in units]
    numbers = [plain(found[each.name]) for each in given if isinstance(each.type, Number)]
    return numbers + [each.type.words(found[each.name]) for each in given if isinstance(each.type, Choice)]


def wrong_values(each: Field) -> Iterator[object]:
    """Values that no field of this type may take."""
    yield None
    if isinstance(each.type, Choice):
        yield from ("no such choice", 77, True, [])
    if isinstance(each.type, Number):
        yield from ("8", True, [], {})
        if each.type.high is not None:
            yield each.type.high + 1
        if each.type.low is not None:
            yield each.type.low - 1
        if each.type.whole:
            yield 1.5
    yield {"no": "such thing"} if not hasattr(each.type, "fields") else 3


@every_kind
@given(data=st.data())
def test_valid_details_are_taken_and_give_a_line(kind: Kind, data: st.DataObject) -> None:
    found = data.draw(details(kind))
    assert kind.problems(found) == []
    assert [value for value in shown(kind, found) if value not in kind.line(found)] == []


@every_kind
@given(data=st.data())
def test_details_stay_the_same_through_their_written_form(kind: Kind, data: st.DataObject) -> None:
    found = data.draw(details(kind))
    written = details_text(found)
    assert json.loads(written) == found
    assert details_text(json.loads(written)) == written


@every_kind
@given(data=st.data())
def test_a_required_field_that_is_missing_is_named(kind: Kind, data: st.DataObject) -> None:
    found = data.draw(details(kind))
    for each in kind.fields:
        if each.required:
            less = {name: value for name, value in found.items() if name != each.name}
            assert each.name in [problem.field for problem in kind.problems(less)]


@every_kind
@given(data=st.data())
def test_a_value_that_is_not_the_fields_own_is_refused_by_name(kind: Kind, data: st.DataObject) -> None:
    found = data.draw(details(kind))
    for each in kind.fields:
        for wrong in wrong_values(each):
            problems = kind.problems({**found, each.name: wrong})
            assert each.name in [problem.field for problem in problems], (each.name, wrong)


@every_kind
@given(data=st.data())
def test_fields_that_this_version_does_not_know_are_kept_and_shown(kind: Kind, data: st.DataObject) -> None:
    found = {**data.draw(details(kind)), "of_a_newer_version": "shown as it is"}
    assert kind.problems(found) == []
    assert "of_a_newer_version: shown as it is" in kind.line(found)


@every_kind
def test_what_a_tile_records_is_valid_and_its_quick_choices_only_add(kind: Kind) -> None:
    for tile in kind.tiles:
        if tile.records is None:
            continue
        assert kind.problems(tile.records) == []
        for pick in kind.picks:
            assert pick.field not in tile.records
            assert kind.problems({**tile.records, pick.field: pick.value}) == []
            assert kind.pick_label(pick)


@every_kind
def test_a_kind_is_found_by_its_name_and_an_unknown_one_shows_its_own(kind: Kind) -> None:
    assert kind_named(kind.name) is kind
    assert named_or_unknown("of_a_newer_version").title == "of_a_newer_version"
    assert kind_named("of_a_newer_version") is None


def test_no_name_of_a_kind_or_of_a_field_comes_twice() -> None:
    assert len({kind.name for kind in ALL}) == len(ALL)
    for kind in ALL:
        assert len({each.name for each in kind.fields}) == len(kind.fields)
