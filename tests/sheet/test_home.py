"""Coming home: what was said last of each thing and task, and both lists on one page."""

import re
from datetime import date
from typing import Any

from carelog.analysis.homecoming import Homecoming, arranged_words, homecoming, trained_words
from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry
from carelog.domain.moment import Moment
from carelog.domain.paper import SheetRequest
from carelog.sheet import make
from tests.sheet.pages import entry, no_flags, plain, texts

DAY = date(2026, 11, 20)
NOW = Moment.read("2026-11-20T12:00:00Z").instant
TUBE = {"id_mm": 8, "cuff": "none", "inner_tube": "none"}


def thing(number: int, day: int, what: str, **details: Any) -> Entry:
    return entry(number, f"2026-11-{day:02}T09:00:00Z", "arrangement", details={"what": what, **details})


def shown(number: int, day: int, task: str, who: str = "Milo", **details: Any) -> Entry:
    details = {"task": task, "who": who, **details}
    return entry(number, f"2026-11-{day:02}T09:00:00Z", "training", details=details)


def lists(*entries: Entry) -> Homecoming:
    return homecoming(Reading(entries), NOW)


def printed(*entries: Entry, **more: Any) -> bytes:
    return make(SheetRequest(name="home", day=DAY, **more), entries, find_flags=no_flags)


def test_nothing_is_there_and_nobody_can_anything_before_somebody_says_so() -> None:
    found = lists()
    assert found.there == ()
    assert len(found.open) == len(found.arranged) > 10
    assert all(not trained for _, trained in found.trained)
    page = printed(html=True).decode()
    assert "ties, dressings, gloves" in page
    assert "own list comes first" in page
    assert "☐" in page
    assert "☑" not in page


def test_a_thing_is_what_was_said_of_it_last_field_by_field() -> None:
    begun = [thing(1, 3, "Ties, dressings, gloves ", who="Milo", by="2026-11-18")]
    (waiting,) = [each for each in lists(*begun).open if each.who]
    assert waiting.is_late(DAY)
    assert arranged_words(waiting, DAY) == "Milo, was to be there by Wed\xa018\xa0Nov"
    assert lists(*begun).open[0] == waiting
    (there,) = lists(*begun, thing(2, 19, "ties, dressings, gloves", done=True)).there
    assert (there.who, there.by) == ("Milo", date(2026, 11, 18))
    assert not there.is_late(DAY)
    gone = lists(
        *begun, thing(2, 19, "ties, dressings, gloves", done=True), thing(3, 20, there.what, done=False)
    )
    assert gone.there == ()


def test_who_can_do_what_is_told_with_who_showed_it_and_when_to_look_again() -> None:
    found = lists(
        shown(1, 3, "suction", shown_by="Nell Tarrowby"),
        shown(2, 5, "Suction", who="milo", done_alone=True, again_by="2026-11-19"),
        shown(3, 6, "suction", who="Petra"),
        shown(4, 7, "the stairs with the machine"),
    )
    told = [trained_words(found, each).replace("\xa0", " ") for _, all_of in found.trained for each in all_of]
    assert told == [
        "Milo, shown Tue 3 Nov by Nell Tarrowby, alone Thu 5 Nov, again was due Thu 19 Nov",
        "Petra, shown Fri 6 Nov, alone: not recorded",
        "Milo, shown Sat 7 Nov, alone: not recorded",
    ]
    assert found.trained[-1][0] == "the stairs with the machine"
    assert found.people == ("Milo", "Petra")


def test_looked_at_again_on_its_day_it_asks_no_more_and_not_done_any_more_counts() -> None:
    base = [shown(1, 3, "ties", done_alone=True, again_by="2026-11-10")]
    early = lists(*base, shown(2, 9, "ties", shown_by="NT"))
    again = lists(*base, shown(2, 10, "ties", shown_by="NT"))
    assert [found.trained[4][1][0].again_by for found in (early, again)] == [date(2026, 11, 10), None]
    unlearned = lists(*base, shown(2, 12, "ties", done_alone=False))
    assert unlearned.trained[4][1][0].alone is None


def test_what_the_tube_hasnt_got_is_not_suggested_and_who_records_may_learn() -> None:
    placed = entry(1, "2026-11-01T09:00:00Z", "tube_change", details=TUBE)
    people = [
        entry(
            n, "2026-11-01T09:00:00Z", "recorder", details={"initials": initials, "name": name, "role": role}
        )
        for n, initials, name, role in ((2, "MQ", "Milo", "relative"), (3, "NT", "Nell", "nurse"))
    ]
    bare, found = lists(), lists(placed, *people)
    assert {task for task, _ in bare.trained} - {task for task, _ in found.trained} == {"inner tube", "cuff"}
    assert len(bare.arranged) - len(found.arranged) == 2
    foam = entry(1, "2026-11-01T09:00:00Z", "tube_change", details={**TUBE, "cuff": "foam"})
    things = {each.what for each in bare.arranged} - {each.what for each in lists(foam).arranged}
    assert "cuff pressure gauge" in things
    assert "cuff" in {task for task, _ in lists(foam).trained}
    assert found.people == ("Milo",)


def test_what_was_recorded_is_ticked_and_the_rest_is_left_to_the_hand() -> None:
    page = printed(
        thing(1, 4, "own thing", who="Milo", by="2026-11-18"),
        thing(2, 4, "ties, dressings, gloves", done=True),
        shown(3, 5, "suction", shown_by="Nell", again_by="2027-05-05"),
        shown(4, 6, "suction", who="Petra", done_alone=True),
        html=True,
    ).decode()
    rows = plain(page).split("</tr>")
    told = {tuple(re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.DOTALL)) for row in rows}
    assert {
        ("own thing", "Milo", "Wed 18 Nov, passed", "☐", ""),
        ("ties, dressings, gloves", "", "", "☑", "Wed 4 Nov AB"),
        ("suction", "Milo", "Nell, Thu 5 Nov", "☐", "", "Wed 5 May"),
        ("suction", "Petra", "", "☑", "Fri 6 Nov", ""),
        ("suction", "", "", "☐", "", ""),
    } <= told


def test_all_of_it_stands_on_one_page_and_what_has_no_room_is_counted() -> None:
    own = [thing(n, 3, f"own thing {n}", who="Milo", by="2026-12-01") for n in range(10, 20)]
    can = [shown(n, 5, "suction", who=f"Helper {n}", shown_by="Nell", done_alone=True) for n in range(50, 70)]
    pages = texts(printed(*own, *can))
    assert len(pages) == 1
    told = " ".join(pages[0].split())
    assert "own thing 19 Milo Tue 1 Dec" in told
    assert told.count("4 more stand in the record") == 1
    assert told.count("8 more stand in the record") == 1
    assert "For the ward" in told
    assert len(texts(printed(*own, *can, paper="letter"))) == 1
