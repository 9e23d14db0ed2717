"""What people wrote: questions with their answers, what was not recorded, what differs, who signed."""

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import replace

from carelog.analysis.absence import absence_words
from carelog.analysis.compare import WeeksBefore, differences
from carelog.analysis.gaps import Gap, gaps
from carelog.analysis.in_force import Held
from carelog.analysis.marks import who
from carelog.analysis.rounds import AskedTask, RoundState
from carelog.analysis.times import clock, near, short_day, span
from carelog.analysis.week import Shown
from carelog.domain.moment import Instant
from carelog.kinds import named_or_unknown
from carelog.kinds.answer import ANSWER
from carelog.kinds.question import QUESTION
from carelog.sheet.blocks import Block, Handwriting, Heading, Item, Piece, Points, words
from carelog.sheet.flagged import silent_since
from carelog.sheet.grid import missed_words
from carelog.sheet.head import clock_day
from carelog.sheet.listing import LONGEST_LISTED, beginning, without_references
from carelog.sheet.material import Material, initials
from carelog.text import mark, say

LONGEST = 300  # characters of a text on the first page; the whole text stands in the list of entries
_NO_STRETCH = mark("No stretch of 6 hours outside the quiet hours without an entry.")
_NOTHING_KNOWN = mark("Nothing at all is recorded yet that reaches into these days.")
_NOR_ANYTHING = mark("Nor is anything recorded that the plan asked for since then.")
_MORE = mark("{start} … (whole in the list, {time})")


def questions(found: Material) -> Iterator[Heading | Points]:
    """Questions of the period, and earlier ones without an answer; each with its answers."""
    items = [_question(found, held) for held in found.reading.of(QUESTION.name) if _is_open(found, held)]
    yield Heading(say(mark("Questions")))
    yield Points(tuple(items) or (Item(words(say(mark("None recorded.")))),))


def _is_open(found: Material, held: Held) -> bool:
    if held.time >= found.period.judged and held.entry.at.instant >= found.period.end:
        return False
    return found.period.holds(held.time) or not _answers(found, held)


def _answers(found: Material, question: Held) -> list[Held]:
    ids = {each.id for each in question.chain}
    return [held for held in found.reading.of(ANSWER.name) if held.entry.details.get("question") in ids]


def _question(found: Material, held: Held) -> Item:
    answers = _answers(found, held)
    when = clock_day(found, held.time)
    head = (Piece(f"{when} {who(held.first.by)}: ", bold=True), Piece(shortened(found, held, when)))
    lines = [
        words(
            f"{say(mark('Answer'))} {clock_day(found, each.time)} {who(each.first.by)}: "
            f"{_answer(found, each)}"
        )
        for each in answers
    ]
    return Item(head, under=tuple(lines) or (words(say(mark("Not answered yet."))),))


def _answer(found: Material, held: Held) -> str:
    """An answer as it was written; the week has the beginning of one that would fill pages."""
    text = held.entry.note
    is_cut = len(text) > LONGEST_LISTED and len(found.period.days) > 1
    return beginning(text, LONGEST) if is_cut else text


def shortened(found: Material, held: Held, when: str) -> str:
    """A text as it was written; a long one's beginning, and where the whole stands."""
    text = held.entry.note.strip()
    if len(text) <= LONGEST:
        return text
    if len(text) > LONGEST_LISTED and len(found.period.days) > 1:
        return beginning(text, LONGEST)  # the week's list has it cut as well
    return say(_MORE).format(start=text[:LONGEST].rsplit(" ", 1)[0], time=when)


def is_told(row: Shown) -> bool:
    """Whether the first page tells an entry: what is nothing but words, and what is rare and weighty."""
    kind = named_or_unknown(row.entry.kind)
    return row.held is not None and (kind.needs_note or kind.is_weighty)


def is_short(row: Shown) -> bool:
    """Whether the first page tells the whole of an entry."""
    is_under_its_question = row.entry.kind == ANSWER.name  # which may not be on this sheet
    return is_told(row) and len(row.entry.note.strip()) <= LONGEST and not is_under_its_question


def is_noted(row: Shown) -> bool:
    """Whether the first page tells the whole of the note that hangs on an entry."""
    return _has_note(row) and len(row.entry.note.strip()) <= LONGEST


def _has_note(row: Shown) -> bool:
    kind = named_or_unknown(row.entry.kind)
    return bool(row.held is not None and row.entry.note.strip()) and not (is_told(row) or kind.has_section)


def notes(found: Material) -> Iterator[Heading | Points]:
    """Notes and what went wrong, as they were written; in one paragraph those that hang on other entries."""
    items = []
    for row in found.review.held:
        kind = named_or_unknown(row.entry.kind)
        if row.held is None or kind.has_section or not is_told(row):
            continue
        when = clock_day(found, row.time)
        line = kind.line(without_references(kind, row.entry.details))
        title = f"{when} {say(kind.title)}{f', {line}' if line else ''}, {who(row.first.by)}"
        note = shortened(found, row.held, when)
        items.append(Item((Piece(title, bold=True), Piece(f": {note}" if note else ""))))
    hanging = tuple(_hanging(found))
    if hanging:
        items.append(Item(hanging))
    if items:
        yield Heading(say(mark("Notes, incidents and changes")))
        yield Points(tuple(items))


def _hanging(found: Material) -> Iterator[Piece]:
    """The notes of entries that have more to them, one after the other."""
    for number, row in enumerate(row for row in found.review.held if _has_note(row)):
        assert row.held is not None
        when = clock_day(found, row.time)
        title = f"{when} {say(named_or_unknown(row.entry.kind).title)}, {who(row.first.by)}"
        if number:
            yield Piece("; ")
        yield Piece(title, bold=True)
        yield Piece(f": {shortened(found, row.held, when)}")


def unlike_before(found: Material, past: WeeksBefore) -> Iterator[Heading | Points]:
    """What is different from the three weeks before."""
    lines = differences(found.review, past)
    yield Heading(say(mark("Different from the three weeks before")), say(mark("numbers only")))
    none = say(mark("No difference large enough to print."))
    yield Points(tuple(Item(words(line)) for line in lines) or (Item(words(none)),))


def unrecorded(found: Material, rounds: Sequence[AskedTask]) -> Iterator[Heading | Points]:
    """Where the household was away, and the hours without any entry."""
    yield Heading(say(mark("Not recorded")), say(mark("neither done nor known")))
    home, review = found.period.home, found.review
    plan = review.plan_at(found.period.start) or review.plan_at(found.period.judged)
    times = _times_around(found)
    lines = [absence_words(home, each) for each in review.absences]
    if times:
        absent = review.absences
        spans = gaps(times, found.period, plan.quiet if plan else None, known=absent)
        lines += [_gap_words(found, gap) for gap in spans]
    lines += _missed(found, rounds)
    none = say(_NO_STRETCH if times and found.period.judged > found.period.start else _NOTHING_KNOWN)
    yield Points(tuple(Item(words(line)) for line in lines) or (Item(words(none)),))


def _missed(found: Material, rounds: Sequence[AskedTask]) -> list[str]:
    """What the plan asked for; since a household stopped writing in one line; the rows have the times."""
    silent = silent_since(found)
    if silent is None or len(found.period.days) == 1:
        return missed_words(found.review, rounds)
    before = [replace(each, rounds=tuple(one for one in each.rounds if one.at <= silent)) for each in rounds]
    had = any(one.state is RoundState.MISSED and one.at > silent for each in rounds for one in each.rounds)
    return [*missed_words(found.review, before), *([say(_NOR_ANYTHING)] if had else [])]


def _gap_words(found: Material, gap: Gap) -> str:
    """From when to when and how long; of one that goes on only since when: the clock isn't printed."""
    home = found.period.home
    start = f"{short_day(home.day(gap.start))} {clock(home, gap.start)}"
    if gap.end == found.period.judged and not found.period.is_finished:
        return say(mark("since {start}: no entry")).format(start=start)
    return say(mark("{start} to {end}: no entry for {span}")).format(
        start=start, end=near(home, gap.end, gap.start), span=span(gap.length)
    )


def _times_around(found: Material) -> list[Instant]:
    """The times of the period's entries, and of the nearest before and after it."""
    held = found.reading.held
    low = bisect_left(held, found.period.start, key=lambda each: each.time)
    high = bisect_left(held, found.period.end, key=lambda each: each.time)
    return [each.time for each in held[max(low - 1, 0) : high + 1]]


def signing(found: Material) -> Iterator[Block]:
    """Room for the nurse, and who the initials are."""
    labels = (
        (say(mark("Nurse's note")), 0.56),
        (say(mark("Name and signature")), 0.3),
        (say(mark("Date")), 0.14),
    )
    yield Handwriting(labels, 2)
    text = initials(found) or say(mark("nobody recorded who writes"))
    yield Points((Item((Piece(f"{say(mark('Initials'))}: ", bold=True), Piece(text))),))
