"""The figures of what was asked for and of what happened: rounds, incidents, stays, kit, silences, marks."""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence

from carelog.analysis.absence import absence_words
from carelog.analysis.in_force import Held
from carelog.analysis.rounds import AskedTask, Round, RoundState
from carelog.analysis.times import clock, near, short_day
from carelog.analysis.visit.figure import FigureRow, Half, VisitFigure, ids
from carelog.analysis.visit.flagged import flags_of
from carelog.analysis.visit.signed import changed_since
from carelog.analysis.week import Shown
from carelog.domain.entry import PAPER
from carelog.domain.flag import Flag, Level
from carelog.domain.kind import Draw
from carelog.kinds import ALL, kind_named, task_title
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.gap import GAP
from carelog.kinds.incident import INCIDENT
from carelog.kinds.order import ORDER
from carelog.kinds.stay import STAY
from carelog.kinds.stock import STOCK
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.text import mark, say

KIT = (TUBE_CHANGE, BOX_CHECK, EQUIPMENT_CHECK, STOCK, ORDER)
STATES = (
    (RoundState.DONE, mark("{count} in time"), False),
    (RoundState.LATE, mark("{count} overdue"), True),
    (RoundState.MISSED, mark("{count} not recorded"), True),
    (RoundState.OPEN, mark("{count} due"), False),
)
_NOT_ASKED = mark("not asked for")
_ASKED_AT = mark("Asked for {when}, not recorded")
_DUE_AT = mark("Due {when}")
_WHICH = mark("{words}: {times}")
MOST_TIMES = 3
"""So many times of what nobody recorded stand beside their number; of more the number opens them."""
_TIMES = mark("{words} {count}")
_RECORDED = mark("{count} recorded")
_NONE_LONG = mark("none of 6 h or more")
_SILENCE = mark("{start} to {end}")
_LATE = mark("late entries {count}")
_FROM_PAPER = mark("from paper {count}")
_CHANGED = mark("changed {count}")
_STRUCK = mark("struck out {count}")
_AFTER = mark("since signed {count}")
_NONE = mark("none")
_FLAG = mark("{level}: {headline} ({time})")


def tasks(here: Half, before: Half) -> Iterator[FigureRow]:
    """Each task of the plans: in time, late, not recorded; then what was done and no plan asks for."""
    found = [{each.task.key: each for each in half.asked} for half in (here, before)]
    wanted = {key: each.task for these in reversed(found) for key, each in these.items()}
    several = Counter(task.kind for task in wanted.values())
    for number, (key, task) in enumerate(wanted.items()):
        title = task_title(task.kind, task.where if several[task.kind] > 1 else {})
        one, other = (
            tuple(_rounds(half, these.get(key))) for half, these in zip((here, before), found, strict=True)
        )
        yield FigureRow(f"task_{number}", title, one, other)
    for kind in ALL:
        if kind.draw is Draw.DOINGS and kind.name not in several:
            entries = [half.of(kind.name) for half in (here, before)]
            if any(entries):
                figures = [VisitFigure(say(_RECORDED).format(count=len(each)), ids(each)) for each in entries]
                yield FigureRow(f"kind_{kind.name}", say(kind.title), (figures[0],), (figures[1],))


def _rounds(half: Half, asked: AskedTask | None) -> Iterator[VisitFigure]:
    rounds = asked.rounds if asked is not None else ()
    if not rounds:
        yield VisitFigure(say(_NOT_ASKED))
    for state, words, is_marked in STATES:
        same = [each for each in rounds if each.state is state]
        if same:
            assert asked is not None
            done = _done(half, asked, same)
            undone = [each for each in same if each.done_at is None]
            lines = tuple(_undone(half, each) for each in undone)
            told = say(words).format(count=len(same))
            if lines and len(lines) <= MOST_TIMES:
                told = say(_WHICH).format(words=told, times=", ".join(_when(half, each) for each in undone))
            yield VisitFigure(told, done, lines, is_marked)


def _done(half: Half, asked: AskedTask, rounds: Sequence[Round]) -> tuple[str, ...]:
    """The entries that did it."""
    times = {each.done_at for each in rounds}
    return ids(held for held in half.of(asked.task.kind) if held.time in times)


def _undone(half: Half, each: Round) -> str:
    words = say(_DUE_AT if each.state is RoundState.OPEN else _ASKED_AT)
    return words.format(when=_when(half, each))


def _when(half: Half, each: Round) -> str:
    home = half.review.period.home
    return f"{short_day(home.day(each.due_at))} {clock(home, each.due_at)}"


def happened(here: Half, before: Half) -> Iterator[FigureRow]:
    """Incidents, stays and unwritten hours, kit, silences, flags, and what was written later or changed."""
    told: tuple[tuple[str, str, Callable[[Half], tuple[VisitFigure, ...]]], ...] = (
        ("incidents", say(mark("Incidents")), _incidents),
        ("stays", say(mark("Away, or not written down")), _stays),
        ("kit", say(mark("Tube, box, machines, stock")), _kit),
        ("silences", say(mark("Hours without any entry")), _silences),
        ("flagged", say(mark("Flagged")), _flagged),
        ("changed", say(mark("Late entries, changes")), _changed),
    )
    for name, title, figures in told:
        yield FigureRow(name, title, figures(here), figures(before))


def _incidents(half: Half) -> tuple[VisitFigure, ...]:
    found = half.of(INCIDENT.name)
    begun = [held for held in found if "ends" not in held.entry.details]
    words = _counted(INCIDENT.parts(held.entry.details)[0] for held in begun)
    return (VisitFigure(words, ids(found), (), is_marked=True),) if begun else _none_in(half)


def _none_in(half: Half) -> tuple[VisitFigure, ...]:
    """Nothing of it among what was recorded; where nothing at all was, not even that is known."""
    return (VisitFigure(say(mark("none recorded"))),) if half.is_written else (half.nothing(),)


def _counted(words: Iterable[str]) -> str:
    found = Counter(words)
    return ", ".join(
        each if count == 1 else say(_TIMES).format(words=each, count=count) for each, count in found.items()
    )


def _stays(half: Half) -> tuple[VisitFigure, ...]:
    lines = tuple(absence_words(half.review.period.home, each) for each in half.review.absences)
    entries = ids([*half.of(STAY.name), *half.of(GAP.name)])
    return (VisitFigure("; ".join(lines), entries, lines, is_marked=True),) if lines else _none_in(half)


def _kit(half: Half) -> tuple[VisitFigure, ...]:
    found = [held for kind in KIT for held in half.of(kind.name)]
    words = _counted(say(kind.title) if (kind := kind_named(held.entry.kind)) else "" for held in found)
    return (VisitFigure(words, ids(found)),) if found else _none_in(half)


def _silences(half: Half) -> tuple[VisitFigure, ...]:
    review, home = half.review, half.review.period.home
    if not review.times_around:
        return (half.nothing(),)
    lines = tuple(
        say(_SILENCE).format(
            start=f"{short_day(home.day(each.start))} {clock(home, each.start)}",
            end=near(home, each.end, each.start),
        )
        for each in review.silences
    )
    return (
        VisitFigure("; ".join(lines), (), lines, is_marked=True) if lines else VisitFigure(say(_NONE_LONG)),
    )


def _flagged(half: Half) -> tuple[VisitFigure, ...]:
    """Those in force at any moment of the period, as they are listed, a number a level."""
    if half.flags is None:
        return (VisitFigure(say(mark("being worked out …"))),)
    listed, found = flags_of(half.review, half.flags), []
    for level in sorted(Level, reverse=True):
        same = [each for each in listed if each.level is level]
        if same:
            words = say(_TIMES).format(words=level.asks, count=len(same))
            lines = tuple(_flag_line(half, each) for each in same)
            entries = tuple(dict.fromkeys(each for flag in same for each in flag.entries))
            found.append(VisitFigure(words, entries, lines, level > Level.NOTE))
    if not found and not half.is_written:
        return (half.nothing(),)
    return tuple(found) or (VisitFigure(say(mark("nothing flagged in what was recorded"))),)


def _flag_line(half: Half, flag: Flag) -> str:
    home = half.review.period.home
    time = f"{short_day(home.day(flag.raised_at))} {clock(home, flag.raised_at)}"
    return say(_FLAG).format(level=flag.level.asks, headline=flag.headline, time=time)


def _changed(half: Half) -> tuple[VisitFigure, ...]:
    """What a reader of the days must know: what wasn't written at the time, or isn't as it was written."""
    rows, review = half.review.rows, half.review
    inside = {row.first.id for row in rows}
    shown = [each for each in review.reading.shown if each.first.id in inside]
    after = changed_since(review.signed, shown)
    found = (
        (_LATE, _roots(rows, lambda held: held.written_late)),
        (_FROM_PAPER, _roots(rows, lambda held: PAPER in (held.entry.source, held.first.source))),
        (_CHANGED, _roots(rows, lambda held: held.corrected)),
        (_STRUCK, tuple(row.first.id for row in rows if row.struck)),
        (_AFTER, tuple(after)),
    )
    figures = tuple(
        VisitFigure(say(words).format(count=len(roots)), roots, (), words is _AFTER)
        for words, roots in found
        if roots
    )
    return figures or ((VisitFigure(say(_NONE)),) if half.is_written else (half.nothing(),))


def _roots(rows: Sequence[Shown], is_so: Callable[[Held], bool]) -> tuple[str, ...]:
    return tuple(row.first.id for row in rows if row.held is not None and is_so(row.held))
