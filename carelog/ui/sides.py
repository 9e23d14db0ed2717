"""The page of entries that two computers changed: both sides, what differs, and which one is kept."""

from collections.abc import Iterator, Sequence
from difflib import SequenceMatcher
from typing import TYPE_CHECKING

from carelog.analysis.in_force import Held, same_value
from carelog.analysis.marks import who
from carelog.domain.entry import Entry
from carelog.domain.moment import Home
from carelog.kinds import named_or_unknown
from carelog.text import say, say_n
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.announce import announce
from carelog.ui.button import Button
from carelog.ui.column import ColumnView
from carelog.ui.naming import line_words, sentence
from carelog.ui.newest import Newest
from carelog.ui.present import Present
from carelog.ui.slips import Slips
from carelog.ui.theme import Size

if TYPE_CHECKING:
    from carelog.app.ports import Record

MOST = 20  # entries on the page; the others follow once these are settled


class SidesPage(ColumnView):
    """Nothing is lost by a choice: the side that isn't kept is struck out, and stays readable."""

    def __init__(self, access: Access, present: Present, slips: Slips) -> None:
        super().__init__()
        self._access = access
        self._present = present
        self._slips = slips
        self._found: list[Held] | None = None
        self._said = ""
        self._newest = Newest()
        access.when_told.append(lambda _entries: self._look())

    def opened(self) -> None:
        self._said = ""
        self._look()
        super().opened()

    def key(self) -> object:
        rivals = None if self._found is None else [[each.id for each in held.rivals] for held in self._found]
        return self._present.stage, self._said, rivals

    def fill(self) -> None:
        self.heading(say("Two versions"))
        if self._said:
            self.words(self._said, Size.STRONG)
        if self._found is None:
            self.words(
                self._access.unread() if not self._access.is_open() else say("Not read yet"), soft=True
            )
            return
        if not self._found:
            self.words(say("No entry has two versions to choose from."))
            return
        self.words(say("Two computers changed the same entry. Both versions are kept until you choose."))
        home = self._present.home()
        for number, held in enumerate(self._found[:MOST]):
            self._fill_one(number, held, home)
        more = len(self._found) - MOST
        if more > 0:
            words = say_n("One more entry follows.", "{count} more entries follow.", more)
            self.words(words.format(count=more))

    def _fill_one(self, number: int, held: Held, home: Home) -> None:
        first = held.first
        title, when = (
            say(named_or_unknown(first.kind).title),
            times.near(home, held.time, self._present.now()),
        )
        self.heading(f"{title}, {when}, {who(first.by)}", Size.NAME)
        for place, side in enumerate(held.rivals):
            self.words(written_words(side, home), Size.STRONG)
            others = [each for each in held.rivals if each is not side]
            for line in differing(side, others, home):
                self.words(line)
            keep = Button(say("Keep this one"), f"keep_{number}_{place}")
            keep.setAccessibleName(say("Keep this one: {words}").format(words=written_words(side, home)))
            keep.clicked.connect(lambda _=False, of=held, one=side: self._keep(of, one))
            self.row(keep)

    def _keep(self, held: Held, side: Entry) -> None:
        self._slips.record(lambda logbook, by: logbook.keep(held, side, by), self._kept, self._say)

    def _kept(self) -> None:
        self._say(say("It is kept. The other version is struck out, and stays readable in the days."))
        self._look()

    def _look(self) -> None:
        if not self._access.is_open():
            return
        asking = self._newest.ask()

        def seen(record: "Record") -> list[Held]:
            from carelog.analysis.in_force import Reading
            from carelog.app.merging import unsolved

            return unsolved(Reading(record.forked()))

        self._access.read(seen, asking.only(self._on_seen), self._say)

    def _on_seen(self, found: list[Held]) -> None:
        self._found = found
        self.refresh()

    def _say(self, sentence: str) -> None:
        self._said = sentence
        announce(self, sentence)
        self.refresh()


def written_words(side: Entry, home: Home) -> str:
    """Who wrote a side, and when."""
    day, clock = times.full_day(home.day(side.recorded_at)), times.clock(home, side.recorded_at)
    words = say("Written by {who}, {day}, {clock}").format(who=who(side.by), day=day, clock=clock)
    return f"{words} ({side.reason})" if side.reason else words


def differing(side: Entry, others: Sequence[Entry], home: Home) -> list[str]:
    """What one side says otherwise than the others, a line each; what all say alike is left out."""
    if side.withdrawn:
        return [say("This version strikes the entry out.")]
    said = [each for each in others if not each.withdrawn]
    found = list(_differing(side, said, home))
    if not said:
        line = line_words(side.kind, side.details)
        found = [" · ".join(part for part in (line, side.note.strip()) if part) or say("No details")]
    return found or [say("It says the same, written at another time.")]


def _differing(side: Entry, others: Sequence[Entry], home: Home) -> Iterator[str]:
    if any(each.at.instant != side.at.instant for each in others):
        day, clock = times.full_day(home.day(side.at.instant)), times.clock(home, side.at.instant)
        yield say("Happened: {day}, {clock}").format(day=day, clock=clock)
    for name in dict.fromkeys(name for each in (side, *others) for name in each.details):
        if all(_same(side, each, name) for each in others):
            continue
        field = named_or_unknown(side.kind).field(name)
        label = sentence(say(field.asked or field.label)) if field is not None else name
        words = line_words(side.kind, {name: side.details[name]}) if name in side.details else ""
        if name not in side.details:
            words = say("not given")
        yield f"{label}: {words or str(side.details.get(name))}"
    notes = [each.note for each in others]
    if any(note != side.note for note in notes):
        yield say("Note: {words}").format(words=unlike(side.note, notes))


def _same(one: Entry, other: Entry, name: str) -> bool:
    if (name in one.details) != (name in other.details):
        return False
    return name not in one.details or same_value(one.details[name], other.details[name])


def unlike(text: str, others: Sequence[str]) -> str:
    """A text, with the words that another of them doesn't have in its place between pointed brackets."""
    words = text.split()
    if not words:
        return say("not given")
    marked = [False] * len(words)
    for other in others:
        matching = SequenceMatcher(None, words, other.split(), autojunk=False)
        for what, start, end, _, _ in matching.get_opcodes():
            if what != "equal":
                marked[start:end] = [True] * (end - start)
    parts = []
    for place, word in enumerate(words):
        opens = marked[place] and (place == 0 or not marked[place - 1])
        closes = marked[place] and (place == len(words) - 1 or not marked[place + 1])
        parts.append(f"{'‹' if opens else ''}{word}{'›' if closes else ''}")
    return " ".join(parts)
