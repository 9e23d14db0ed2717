"""Looking for words in the rows of days: nothing is missed, all are counted, the last is told in one line."""

import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from random import Random

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from carelog.analysis.seeking import sought
from carelog.app.demo import demo_entries
from carelog.domain.entry import Entry
from carelog.domain.moment import Home, Moment
from carelog.store.record import StoredRecord
from carelog.ui.timeline.page import Timeline
from carelog.ui.timeline.reader import Place, read_found, read_piece
from carelog.ui.timeline.rows import TimelineRow, Wanted
from carelog.ui.timeline.seeker import SoughtCount, looked_for, told, wanted
from tests.store.making import START, change, entry, fresh
from tests.ui.conftest import Opened

NOW = Moment.read("2026-11-25T12:40:00+00:00").instant
HOME = Home("Europe/London")
BEYOND = re.compile(r"(above|below) \S+|\S+ or more")
"""The number of a limit isn't looked for: it would find every reading beyond it."""


@pytest.fixture(scope="module")
def record(tmp_path_factory: pytest.TempPathFactory) -> Iterator[StoredRecord]:
    found = fresh(tmp_path_factory.mktemp("demo") / "demo.carelog")
    found.append(demo_entries(NOW))
    yield found
    found.close()


@pytest.fixture(scope="module")
def rows(record: StoredRecord) -> list[TimelineRow]:
    """Every row there is, read without looking for anything."""
    place, found = Place(), []
    while not place.is_done:
        found += read_piece(record, place, NOW, Wanted(), HOME, None)
    return found


def found_by(record: StoredRecord, wanted: Wanted) -> list[TimelineRow]:
    """What looking for it finds."""
    place, found = Place(), []
    while not place.is_done:
        found += read_found(record, place, wanted, HOME, None)
    return found


def test_looking_for_any_word_of_any_row_finds_all_rows_that_say_it(
    record: StoredRecord, rows: list[TimelineRow]
) -> None:
    texts = [BEYOND.sub("", f"{row.title} {row.line} {row.who} {row.marks}") for row in rows]
    words = sorted({word.strip(",;()“”") for text in texts for word in text.casefold().split()} - {""})
    assert len(words) > 200
    for word in Random(7).sample(words, 120):
        wanted = Wanted(words=word)
        whole = {
            row.root
            for row, text in zip(rows, texts, strict=True)
            if wanted.takes(row) and word in text.casefold()
        }
        assert whole <= {row.root for row in found_by(record, wanted)}, word


@pytest.mark.parametrize(
    "words", ["yellow", "28 cmh2o", "pa", "cuff pressure", "crusted inner", "nothing like it"]
)
def test_what_is_found_says_it_and_stands_once_newest_first(
    record: StoredRecord, rows: list[TimelineRow], words: str
) -> None:
    wanted = Wanted(words=words)
    found = found_by(record, wanted)
    assert [row.root for row in found] == [row.root for row in rows if wanted.takes(row)]


def test_kinds_and_words_are_looked_for_together(record: StoredRecord, rows: list[TimelineRow]) -> None:
    wanted = Wanted(frozenset({"suction"}), "mq")
    assert [row.root for row in found_by(record, wanted)] == [row.root for row in rows if wanted.takes(row)]


def test_a_frequent_kind_that_says_nothing_of_it_isnt_even_read(record: StoredRecord) -> None:
    assert len(record.holding(sought("zzzz"))) < record.count() / 2


@pytest.mark.parametrize(
    ("made", "word"),
    [
        (entry(1, note="Grüße ŻÓŁĆ"), "grüße"),
        (entry(1, note="Grüße ŻÓŁĆ"), "grüsse"),
        (entry(1, note="Grüße ŻÓŁĆ"), "żółć"),
        (entry(1, note='say "so" \\ there'), '"so"'),
        (entry(1, note="50 %_"), "%_"),
        (entry(1, details={"from_elsewhere": "unheard"}), "unheard"),
        (entry(1, by=""), "name"),
        (entry(1, "made_up_kind", details={"a": 1}), "made_up_kind"),
    ],
)
def test_letters_of_any_kind_are_found(tmp_path: Path, made: Entry, word: str) -> None:
    record = fresh(tmp_path / "a.carelog")
    record.append([made, entry(2)])
    assert [row.root for row in found_by(record, Wanted(words=word))] == [made.id]
    record.close()


def test_a_change_is_found_by_what_counts_now_and_by_its_mark(tmp_path: Path) -> None:
    record = fresh(tmp_path / "a.carelog")
    first = entry(1, details={"colour": "white"})
    changed = replace(change(2, 1), details={"colour": "yellow"}, at=first.at, by="ZZ")
    record.append([first, changed])
    for word in ("yellow", "amended", "zz", "wrongly"):
        assert [row.root for row in found_by(record, Wanted(words=word))] == [first.id], word
    record.close()


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ("When was the last suction?", "suction"),
        ("when  was the last  yellow PA ?", "yellow PA"),
        ("yellow", "yellow"),
        ("", ""),
    ],
)
def test_a_question_is_what_comes_after_it(typed: str, words: str) -> None:
    assert looked_for(typed) == words


def test_the_last_of_a_kind_is_of_that_kind_not_of_whatever_says_its_words() -> None:
    asked = wanted("When was the last tube change?", frozenset(), frozenset())
    changed = TimelineRow(time=START, root="a", kind="tube_change", title="Tube change")
    stoma = TimelineRow(time=START, root="b", kind="stoma", title="Stoma", line="tube, dressing changed")
    assert (asked.takes(changed), asked.takes(stoma)) == (True, False)
    assert wanted("tube change", frozenset(), frozenset()).takes(stoma)  # the control: words alone
    assert wanted("when was the last yellow", frozenset(), frozenset()) == Wanted(words="yellow")


def test_initials_in_capitals_are_of_whoever_records() -> None:
    by_pa = TimelineRow(time=START, root="a", title="Suction", who="PA")
    by_hq = TimelineRow(time=START, root="b", title="Suction", line="2 passes", who="HQ")
    known = frozenset({"PA", "HQ"})
    assert [wanted("PA", frozenset(), known).takes(row) for row in (by_pa, by_hq)] == [True, False]
    assert [wanted("pa", frozenset(), known).takes(row) for row in (by_pa, by_hq)] == [True, True]
    assert not wanted("PA yellow", frozenset(), known).takes(by_pa)


def test_what_is_struck_out_is_never_told_as_the_last() -> None:
    struck = SoughtCount(1, None, True)
    assert told(struck, Home("UTC"), START) == "One row, struck out"


def test_the_answer_is_one_line() -> None:
    row = TimelineRow(time=START, root="a", title="Suction", line="yellow, thick", who="MQ")
    line = told(SoughtCount(12, row, True), Home("UTC"), START + 3 * 3_600_000_000)
    assert line == "12 rows. The last: 08:00, 3\xa0h ago: Suction, yellow, thick, MQ"
    assert "so far" in told(SoughtCount(12, row, False), Home("UTC"), START)
    assert told(SoughtCount(0, None, True), Home("UTC"), START) == "No row has these words or kinds"


def test_typing_counts_the_rows_and_tells_the_last(opened: Opened) -> None:
    opened.press("go_timeline")
    page = opened.shown()
    assert isinstance(page, Timeline)
    opened.wait(lambda: page.model.rowCount() > 3)
    everything = page.model.rowCount()
    QTest.keyClicks(opened.find("filter_words"), "when was the last cuff pressure")
    opened.wait(lambda: "The last: " in page._state.text() and "so far" not in page._state.text())
    shown = [row for row in map(page.model.row, range(page.model.rowCount())) if not row.is_heading]
    assert all(Wanted(words="cuff pressure").takes(row) for row in shown)
    assert shown[0].line in page._state.text()
    count = int(page._state.text().replace("One", "1").split()[0])
    assert count == len(shown)
    QTest.keyClick(opened.find("filter_words"), Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)
    QTest.keyClick(opened.find("filter_words"), Qt.Key.Key_Delete)
    opened.wait(lambda: page.model.rowCount() == everything)
    assert not page._state.isVisible()
