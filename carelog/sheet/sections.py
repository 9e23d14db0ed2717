"""What people wrote: questions with their answers, what was not recorded, what differs, who signed."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from carelog.analysis.absence import absence_words
from carelog.analysis.compare import Unlike, WeeksBefore, differences, not_compared, too_few
from carelog.analysis.gaps import Gap
from carelog.analysis.in_force import Held
from carelog.analysis.marks import who
from carelog.analysis.rounds import AskedTask, RoundState
from carelog.analysis.times import clock, month_day, near, short_day, span
from carelog.analysis.titles import with_days
from carelog.analysis.visit.questions import AskedQuestion, asked_questions
from carelog.analysis.visit.signed import Signature, changed_since
from carelog.analysis.week import Shown
from carelog.kinds import named_or_unknown
from carelog.kinds.answer import ANSWER
from carelog.sheet.blocks import Block, Compared, Handwriting, Heading, Item, Piece, Points, Words, words
from carelog.sheet.flagged import silent_since
from carelog.sheet.grid import missed_words
from carelog.sheet.head import clock_day
from carelog.sheet.listing import LONGEST_LISTED, beginning, without_references
from carelog.sheet.material import Material, initials
from carelog.text import mark, say, say_n

MOST_DRAWN = 8  # differences in the picture; the smaller ones stand beneath in words
LONGEST = 300  # characters of a text on the first page; the whole text stands in the list of entries
_NO_STRETCH = mark("No stretch of 6 hours outside the quiet hours without an entry.")
_NOTHING_KNOWN = mark("Nothing at all is recorded yet that reaches into these days.")
_NOR_ANYTHING = mark("Nor is anything recorded that the plan asked for since then.")
_MORE = mark("{start} … (whole in the list, {time})")


def questions(found: Material) -> Iterator[Heading | Points]:
    """Questions of the period, and earlier ones without an answer; each with its answers."""
    items = [_question(found, each) for each in asked_questions(found.reading) if _is_told(found, each)]
    yield Heading(say(mark("Questions")))
    yield Points(tuple(items) or (Item(words(say(mark("None recorded.")))),))


def _is_told(found: Material, asked: AskedQuestion) -> bool:
    held = asked.held
    if held.time >= found.period.judged and held.entry.at.instant >= found.period.end:
        return False
    return found.period.holds(held.time) or asked.is_open


def _question(found: Material, asked: AskedQuestion) -> Item:
    held = asked.held
    when = clock_day(found, held.time)
    head = (Piece(f"{when} {who(held.first.by)}: ", bold=True), Piece(shortened(found, held, when)))
    lines = [
        words(
            f"{say(mark('Answer'))} {clock_day(found, each.time)} {who(each.first.by)}: "
            f"{_answer(found, each)}"
        )
        for each in asked.answers
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
    """Notes and what went wrong, as they were written; in one paragraph those that hang on other entries.

    Under the signature of these days stands how many entries were changed since: page one says it too.
    """
    signed = found.review.signed.of(found.period.days)
    changed = () if signed is None else _changed_words(found)
    items = []
    for row in found.review.held:
        kind = named_or_unknown(row.entry.kind)
        if row.held is None or kind.has_section or not is_told(row):
            continue
        when = clock_day(found, row.time)
        line = kind.line(with_days(kind.name, without_references(kind, row.entry.details)))
        title = f"{when} {say(kind.title)}{f', {line}' if line else ''}, {who(row.first.by)}"
        note = shortened(found, row.held, when)
        under = changed if signed is not None and row.held.first.id == signed.held.first.id else ()
        items.append(Item((Piece(title, bold=True), Piece(f": {note}" if note else "")), under=under))
    if changed and signed is not None and not found.period.holds(signed.held.time):
        items.append(Item(words(_signed_words(found, signed), bold=True), under=changed))
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


def unlike_before(found: Material, past: WeeksBefore) -> Iterator[Heading | Points | Compared]:
    """What is different from the three weeks before: one sentence, then a picture with a row for each."""
    yield Heading(say(mark("Different from the three weeks before")))
    rows = sorted(differences(found.review, past), key=lambda row: -row.size)
    notes = [too_few(past) or _most(rows), not_compared(found.review)]
    yield Points(tuple(Item(words(note)) for note in notes if note))
    yield Compared(tuple(rows[:MOST_DRAWN]))
    rest = "; ".join(row.sentence for row in rows[MOST_DRAWN:])
    if rest:
        yield Points((Item((Piece(say(mark("Also: ")), bold=True), Piece(f"{rest}."))),))


def _most(rows: Sequence[Unlike]) -> str:
    """What is different most of all, and how the picture is read."""
    if not rows:
        return say(mark("No difference large enough to print."))
    first, count = rows[0].title, len(rows)
    words = say_n(
        "{first} is different. Black: these days; dotted: before.",
        "{count} things are different, most of all {first}. Black: these days; dotted: before.",
        count,
    )
    return words.format(first=first, count=count)


def unrecorded(found: Material, rounds: Sequence[AskedTask]) -> Iterator[Heading | Points]:
    """Where the household was away, and the hours without any entry."""
    yield Heading(say(mark("Not recorded")), say(mark("neither done nor known")))
    home, review = found.period.home, found.review
    lines = [absence_words(home, each) for each in review.absences]
    lines += [_gap_words(found, gap) for gap in review.silences]
    lines += _missed(found, rounds)
    is_covered = bool(review.times_around) and found.period.judged > found.period.start
    none = say(_NO_STRETCH if is_covered else _NOTHING_KNOWN)
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


def signing(found: Material) -> Iterator[Block]:
    """Who signed these days, else room for the nurse to; and who the initials are."""
    signed = found.review.signed.of(found.period.days)
    if signed is None:
        yield from _signed_in_part(found)
        labels = (
            (say(mark("Nurse's note")), 0.56),
            (say(mark("Name and signature")), 0.3),
            (say(mark("Date")), 0.14),
        )
        yield Handwriting(labels, 1)
    else:
        yield Points((Item(words(_signed_words(found, signed), bold=True), under=_changed_words(found)),))
    text = initials(found) or say(mark("nobody recorded who writes"))
    yield Points((Item((Piece(f"{say(mark('Initials'))}: ", bold=True), Piece(text))),))


def _signed_words(found: Material, signed: Signature) -> str:
    """Who and when; with the note, where the visit itself isn't among the entries of these days."""
    when = clock_day(found, signed.held.time)
    sentence = say(mark("Signed {time} by {nurse}")).format(time=when, nurse=signed.nurse)
    note = shortened(found, signed.held, when)
    is_listed = found.period.holds(signed.held.time)
    return sentence if is_listed or not note else f"{sentence}: “{note}”"


def _changed_words(found: Material) -> tuple[Words, ...]:
    """How many entries of these days were written or changed after somebody signed them."""
    review = found.review
    inside = {row.first.id for row in review.rows}
    shown = (each for each in review.reading.shown if each.first.id in inside)
    count = len(changed_since(review.signed, shown))
    if not count:
        return ()
    sentence = say_n(
        "Since then one entry of these days was written or changed. It is marked.",
        "Since then {count} entries of these days were written or changed. They are marked.",
        count,
    )
    return (words(sentence.format(count=count)),)


def _signed_in_part(found: Material) -> Iterator[Points]:
    """Signatures of other days that reach into these."""
    items = []
    for each in found.review.signed.touching(found.period.start, found.period.end):
        sentence = say(mark("{first} to {last} were signed {time} by {nurse}.")).format(
            first=month_day(each.days[0]),
            last=month_day(each.days[-1]),
            time=clock_day(found, each.held.time),
            nurse=each.nurse,
        )
        items.append(Item(words(sentence)))
    if items:
        yield Points(tuple(items))
