"""The person, the contacts, who records."""

from dataclasses import replace
from datetime import date, time

import pytest

from carelog.analysis.in_force import Reading
from carelog.analysis.people import (
    contact_for,
    contact_words,
    contacts,
    is_within,
    person,
    recorders,
)
from carelog.analysis.plans import plan_at
from carelog.domain.flag import Level
from tests.analysis.notebook import Notebook, at


def test_the_person_is_read_field_by_field_the_newest_that_gives_it() -> None:
    book = Notebook()
    book.write("1 08:00", "person", name="Odette", born="1958-04-17", allergies="plaster")
    book.write("3 08:00", "person", name="Odette Farrow", invented=True)
    book.write(
        "2 08:00", "person", known="4 08:00", name="O. F.", allergies="none known", swallow="soft food"
    )
    found = person(book.read())
    assert (found.name, found["allergies"], found["swallow"]) == ("Odette Farrow", "none known", "soft food")
    assert (found.born, found.invented, found["reason"]) == (date(1958, 4, 17), True, None)


def test_a_field_that_an_amendment_no_longer_gives_falls_back_to_the_one_before() -> None:
    book = Notebook()
    book.write("1 08:00", "person", name="Odette", allergies="plaster")
    newer = book.write("2 08:00", "person", name="Odette", allergies="latex")
    assert person(book.read())["allergies"] == "latex"
    book.amend(newer, "2 09:00", name="Odette")
    assert person(book.read())["allergies"] == "plaster"


def test_with_no_person_everything_is_unknown() -> None:
    found = person(Notebook().read())
    assert (found.name, found.born, found.invented, found.is_adult(date(2026, 11, 3))) == (
        None,
        None,
        False,
        None,
    )


@pytest.mark.parametrize(
    ("born", "day", "adult"),
    [
        ("2008-11-03", date(2026, 11, 2), False),
        ("2008-11-03", date(2026, 11, 3), True),
        ("2008-02-29", date(2026, 2, 28), False),
        ("2008-02-29", date(2026, 3, 1), True),
    ],
)
def test_an_adult_is_eighteen_from_the_birthday_on(born: str, day: date, adult: bool) -> None:
    book = Notebook()
    book.write("1 08:00", "person", name="Odette", born=born)
    assert person(book.read()).is_adult(day) is adult


def test_the_newest_recorder_of_a_set_of_initials_counts_and_two_names_are_both_shown() -> None:
    book = Notebook()
    book.write("1 08:00", "recorder", initials="MO", name="Mirren", role="relative")
    nurse = book.write("2 08:00", "recorder", initials="MO", name="Mirren", role="nurse")
    other = book.write("2 09:00", "recorder", initials="MO", name="Morag")
    bare = book.write("3 08:00", "recorder", initials="LR")
    assert {held.entry.id for held in recorders(book.read())} == {nurse.id, other.id, bare.id}


def test_a_changed_number_is_an_amendment_and_all_contacts_in_force_are_shown() -> None:
    book = Notebook()
    first = book.write("1 08:00", "contact", role="nurse", phone="01632 960 227")
    book.write("1 08:00", "contact", role="nurse", phone="01632 960 228")
    book.amend(first, "2 08:00", role="nurse", phone="01632 960 229")
    phones = [held.entry.details["phone"] for held in contacts(book.read())]
    assert sorted(phones) == ["01632 960 228", "01632 960 229"]


def _contacts(*whom: str) -> Notebook:
    book = Notebook()
    for each in whom:
        book.write("1 08:00", "contact", role=each, phone="01632 960 001", **{"for": each})
    return book


@pytest.mark.parametrize(
    ("level", "whom", "now", "shown"),
    [
        (Level.URGENT, ("emergency", "night", "team"), "3 23:00", "emergency"),
        (Level.URGENT, ("night", "team"), "3 23:00", None),
        (Level.CALL, ("emergency", "night", "team"), "3 21:59", "team"),
        (Level.CALL, ("emergency", "night", "team"), "3 22:00", "night"),
        (Level.CALL, ("emergency", "night", "team"), "4 06:59", "night"),
        (Level.NOTE, ("emergency", "night", "team"), "4 07:00", "team"),
        (Level.CALL, ("team",), "3 23:00", "team"),
        (Level.CALL, ("night",), "3 12:00", None),
        (Level.CALL, ("family",), "3 12:00", None),
    ],
)
def test_the_contact_shown_is_the_one_for_the_level_and_the_hour(
    level: Level, whom: tuple[str, ...], now: str, shown: str | None
) -> None:
    found = contact_for(level, _contacts(*whom).read(), None, at(now))
    assert (found.entry.details["role"] if found else None) == shown


def test_the_night_is_the_plans_quiet_hours_where_it_has_some() -> None:
    book = _contacts("night", "team")
    book.plan("1 08:00", quiet=["13:00", "15:00"])
    reading = book.read()
    plan = plan_at(reading, at("3 12:00"))
    shown = [contact_for(Level.CALL, reading, plan, at(now)) for now in ("3 13:00", "3 15:00", "3 23:00")]
    assert [found.entry.details["role"] for found in shown if found] == ["night", "team", "team"]


def test_without_a_contact_the_words_say_so() -> None:
    assert contact_words(Level.URGENT, None) == "your country's emergency number"
    assert contact_words(Level.CALL, None) == "no contact recorded"
    (held,) = _contacts("team").read().of("contact")
    assert contact_words(Level.CALL, held) == "team, 01632\N{NO-BREAK SPACE}960\N{NO-BREAK SPACE}001"


def test_a_span_may_pass_midnight() -> None:
    night = (time(22), time(7))
    assert [is_within(night, time(hour)) for hour in (21, 22, 0, 6, 7)] == [False, True, True, True, False]


def test_beside_whom_to_call_stands_when_they_are_there_but_for_an_emergency() -> None:
    book = Notebook()
    first = book.write("1 08:00", "contact", role="nurse", name="Nell", phone="1")
    details = {**first.details, "when": "Mon to Fri 9 to 17"}
    (held,) = Reading([replace(first, details=details)]).of("contact")
    assert contact_words(Level.CALL, held) == "Nell, 1 (Mon to Fri 9 to 17)"
    assert contact_words(Level.URGENT, held) == "Nell, 1"
