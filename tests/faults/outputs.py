"""A hostile household on paper, as a page, in the answers of commands, on screen: what is wrong there."""

import io
import json
import sys
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from typing import Any
from unittest.mock import patch

from PySide6.QtWidgets import QApplication, QLabel, QWidget

from carelog.analysis.in_force import Reading
from carelog.commands.surroundings import Surroundings
from carelog.commands.window import parts as real_parts
from carelog.domain.entry import Entry
from carelog.domain.moment import DAY_24_H, HOUR, Home, Moment, Week
from carelog.domain.paper import SheetRequest
from carelog.paths import Places
from carelog.sheet import make
from carelog.ui.application import build, furnish
from carelog.ui.forms.shelf import form_for
from carelog.ui.words import breakable
from tests.faults.given import GIVEN
from tests.faults.given import SPOILED as GIVEN_SPOILED
from tests.faults.hostile import Household, household, missing, run_on
from tests.faults.page import Seen
from tests.journeys.household import carelog
from tests.sheet.pages import texts
from tests.store.making import START, fresh, opened
from tests.ui.household import Numbered, StandingClock

DAY = Home("UTC").day(START)
PAPER = {
    "week": SheetRequest(week=Week.of(DAY)),
    "day": SheetRequest(name="day", day=DAY),
}
NAME = "Somebody"
PAGES = ("board", "flags", "due", "plan", "emergency", "help", "settings", "copies", "timeline")
PATIENCE = 60  # s
Judge = Callable[[Household, Path], Iterator[str]]


def paper(found: Household, _folder: Path) -> Iterator[str]:
    """Each letter of each text on the day's sheet, and on the week's where it tells the text whole."""
    for name, request in PAPER.items():
        letters = run_on("".join(texts(make(request, found.entries, NAME))))
        yield from _lacking(found, letters, name)


def _lacking(found: Household, letters: str, name: str) -> Iterator[str]:
    """The slots that aren't whole on a sheet; a week may leave one out or cut it, for the day to tell."""
    for slot in found.slots:
        if name == "week" and slot.end not in letters.partition(slot.start)[2]:
            continue
        there = slot.among(letters)
        lacking = [slot.text] if there is None else missing(slot.text, there)
        if lacking:
            yield f"{name}: {slot.where} lacks {lacking!a}"


def page(found: Household, _folder: Path) -> Iterator[str]:
    """The same in the sheets' page for a browser; no text becomes a tag."""
    plain = household("plain").entries
    for name, request in PAPER.items():
        seen = Seen(_page(request, found.entries))
        if extra := seen.tags - Seen(_page(request, plain)).tags - {("br",)}:
            yield f"{name} as a page: tags {sorted(extra)}"
        yield from _lacking(found, run_on(seen.text), name)


def _page(request: SheetRequest, entries: Sequence[Entry]) -> str:
    return make(replace(request, html=True), entries, NAME).decode()


def commands(found: Household, folder: Path) -> Iterator[str]:
    """What the commands answer: no failure, no control character on a terminal, JSON with whole texts."""
    record = folder / "hostile.carelog"
    _write(record, found.entries)
    at, end = Moment(START + 5 * HOUR).text(), Moment(START + DAY_24_H).text()
    asked = {
        "due": ["--at", at],
        "kit": ["--at", at],
        "flags": ["--from", Moment(START).text(), "--to", end],
        "check": [],
    }
    for name, words in asked.items():
        answer = carelog(name, "--record", str(record), *words)
        if answer.status:
            yield f"{name}: {answer.err}"
        told = answer.out + answer.err
        if name != "check":
            whole = carelog(name, "--record", str(record), *words, "--json").out
            yield from _json_of(found, name, whole)
            told += whole
        unsafe = {each for each in told if each not in "\t\n" and not _is_shown(each)}
        if unsafe:
            yield f"{name}: {sorted(unsafe)!a} on the terminal"
    yield from _exported(found, folder, record)


def _is_shown(letter: str) -> bool:
    """Whether a terminal shows a character, and obeys nothing: neither a command nor a turn of direction."""
    is_turn = "\u202a" <= letter <= "\u202e" or "\u2066" <= letter <= "\u2069"
    return not (letter < " " or "\x7f" <= letter < "\xa0" or is_turn)


def _json_of(found: Household, name: str, answer: str) -> Iterator[str]:
    told = json.dumps(json.loads(answer), ensure_ascii=False)
    for slot in found.slots:
        there = told.partition(slot.start)[2].partition(slot.end)
        if there[1] and json.loads(f'"{there[0]}"') != slot.text:
            yield f"{name} --json: {slot.where} isn't as it was"


def _exported(found: Household, folder: Path, record: Path) -> Iterator[str]:
    """Out by a command and in again by another: equal."""
    file, again = folder / "out.jsonl", folder / "again.carelog"
    for words in (
        ["export", str(file), "--record", str(record)],
        ["import", str(file), "--record", str(again)],
    ):
        answer = carelog(*words)
        if answer.status:
            yield f"{words[0]}: {answer.err}"
            return
    back = opened(again)
    if back.everything() != _in_order(found.entries):
        yield "export and import: not equal"
    back.close()


def _in_order(entries: Sequence[Entry]) -> list[Entry]:
    return sorted(entries, key=lambda each: (each.recorded_at, each.id))


def _write(path: Path, entries: Sequence[Entry]) -> None:
    record = fresh(path)
    record.append(entries)
    record.close()


# On screen ------------------------------------------------------------------------------------------


def screen(found: Household, folder: Path) -> Iterator[str]:
    """The timeline, each entry in full, each form, each page: whole texts, nothing raised in painting."""
    path = folder / "screen.carelog"
    _write(path, found.entries)
    with _window(path, folder) as (window, house, raised):
        told = [_shown_rows(window)]
        for entry in found.entries:
            if entry.amends is None:
                told.append(_shown_entry(window, house, entry))
        seen = "\n".join(told)
        for slot in found.slots:
            if slot.whole not in seen:
                yield f"screen: {slot.where} isn't as it was"
        record = opened(path)
        for held in Reading(record.everything()).held:
            yield from _form(window, held)
        record.close()
        for name in PAGES:
            window.go(name)
            _settle()
            window.grab()
    yield from (f"screen: {type(each).__name__} raised" for each in raised)


def _shown_rows(window: Any) -> str:
    window.go("timeline")
    model = window.stack.currentWidget().model
    while not model.is_done():
        if model.canFetchMore(model.index(-1, -1)):
            model.fetchMore(model.index(-1, -1))
        _settle()
    window.grab()
    cells = [model.data(model.index(row, column)) for row in range(model.rowCount()) for column in range(5)]
    return "\n".join(str(each) for each in cells)


def _shown_entry(window: Any, house: Any, entry: Entry) -> str:
    house.ways.open_entry(entry.id)
    page = window.stack.currentWidget()
    _wait(lambda: _details(page, entry) != [])
    detail = _details(page, entry)[0]
    detail.grab()
    told = "\n".join(label.text() for label in detail.findChildren(QLabel))
    page.opened()
    return told.replace(breakable("x" * 24)[-1], "")


def _details(page: Any, entry: Entry) -> list[Any]:
    """What shows this entry in full, in place of the rows or beside them."""
    return [each for each in page.findChildren(QWidget, "timeline_entry") if each.root == entry.id]


def _form(window: Any, held: Any) -> Iterator[str]:
    """A form gives back what it was given, also after its draft was put back into another."""
    entry = held.entry
    form = form_for(window.desk, entry.kind, lambda _entry: None, held)
    again = form_for(window.desk, entry.kind, lambda _entry: None, held)
    again.restore(form.typed(), *form.texts())
    for each in (form, again):
        each.grab()
        if each.details() != entry.details or each.note() != entry.note:
            yield f"screen: the form of {entry.kind} gives back something else"
        each.deleteLater()


@contextmanager
def _window(path: Path, folder: Path) -> Iterator[tuple[Any, Any, list[BaseException]]]:
    """A real window on a record, and what was raised in it."""
    app = QApplication.instance() or QApplication(sys.argv[:1])
    places = Places(folder / "data", folder / "config", folder / "state")
    places.make()
    nowhere, clock = io.StringIO(), StandingClock(START + 5 * HOUR, "UTC")
    around = Surroundings(places, clock, Numbered(), nowhere, nowhere, io.BytesIO, {})
    raised: list[BaseException] = []
    hook = sys.excepthook
    window = build(real_parts(path, around), app)  # type: ignore[arg-type]
    try:
        window.show()
        house = furnish(window)
        sys.excepthook = lambda _kind, value, _trace: raised.append(value)
        _wait(lambda: window.desk.access.is_open() and window.desk.present.flags is not None)
        yield window, house, raised
    finally:
        window.close()
        window.deleteLater()
        sys.excepthook = hook


def _settle() -> None:
    QApplication.processEvents()


def _wait(asked: Callable[[], bool]) -> None:
    until = time.monotonic() + PATIENCE
    while not asked():
        if time.monotonic() > until:
            raise TimeoutError
        _settle()
        time.sleep(0.005)


OUTPUTS: dict[str, Judge] = {
    "paper": paper,
    "page": page,
    "commands": commands,
    "screen": screen,
    **GIVEN,
}


def wrong(found: Household, folder: Path, name: str) -> list[str]:
    """What is wrong with a household in one output; what breaks off is wrong as well."""
    try:
        return list(OUTPUTS[name](found, folder))
    except Exception as error:
        return [f"{name}: {error!a}"[:300]]


SPOILED: dict[str, tuple[str, Any]] = {
    "paper": ("carelog.sheet.letters.Letters._drawable", lambda letters, text: letters._plain & set(text)),
    "page": ("carelog.sheet.web.escape", lambda text, quote=True: text),
    "commands": ("carelog.commands.surroundings._SHOWN", {}),
    "screen": ("carelog.ui.forms.control.Control.value", lambda control: control.read()),
    **GIVEN_SPOILED,
}
"""For each output what, in its place, loses or lets through what it shouldn't: the controls."""


def wrong_when_spoiled(found: Household, folder: Path, name: str) -> list[str]:
    """What is seen to be wrong in an output that was spoiled on purpose."""
    with patch(*SPOILED[name]):
        return wrong(found, folder, name)
