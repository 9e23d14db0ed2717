"""Rules about the tube itself: a change that failed, and the date for the next one."""

from collections.abc import Collection, Sequence
from datetime import date, timedelta

from carelog.analysis.flags.ledger import Ledger, Shift
from carelog.analysis.flags.life import NEVER, Cause
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.evidence import evidence, timed
from carelog.analysis.rules.newest import NewestSaying
from carelog.analysis.rules.rule import EMERGENCY, PRACTICE, URGENT_LEVEL, Rule, Source, Status
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import OUT, TAKEN_OUT, Events, Row, Standing
from carelog.analysis.times import full_day
from carelog.domain.entry import Details
from carelog.domain.flag import Level, Matter
from carelog.domain.moment import DAY_24_H, Home, Instant
from carelog.text import mark, say

NOTE_DAYS = 3
NOTE_AGE = 30 * DAY_24_H
"""Where no date for the next change was recorded: many leaflets say 28 to 30 days (PRACTICE)."""
HARD_LASTS = 7 * DAY_24_H

FAILED = Rule(
    name="tube_change_failed",
    by_rivals=URGENT_LEVEL,
    title=mark("Tube change failed"),
    raised=mark("A tube change failed."),
    level=mark("urgent"),
    clears=mark("Somebody was told. A later change that didn't fail."),
    sources=(PRACTICE,),
    told=True,
    after=EMERGENCY,
)
_FAILED = mark("A tube change failed at {time}.")
_CHANGED = mark("tube changed {time}")


def _failed(rule: Rule, ledger: Ledger, held: Held) -> Sign | None:
    if held.entry.details.get("ease") != "failed":
        return None
    return evidence(rule, ledger, held, Level.URGENT, timed(_FAILED, ledger, held))


class FailedEvents(Events):
    """Failed changes, until one succeeds."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("tube_change",), lambda ledger, held: _failed(rule, ledger, held))

    def take(self, shift: Shift, now: Instant) -> bool:
        changed = super().take(shift, now)
        if shift.before is not None:
            self.look_again()
        return changed or bool(self._live)

    def has_ended(self, sign: Sign) -> bool:
        tube = self.ledger.tubes.newest()
        return tube is not None and self.is_after(tube, sign)

    def ended_words(self) -> str:
        tube = self.ledger.tubes.newest()
        return timed(_CHANGED, self.ledger, tube) if tube is not None else ""


HARD = Rule(
    name="tube_change_hard",
    title=mark("Tube change was hard"),
    raised=mark("A tube change was hard."),
    level=mark("note"),
    clears=mark(
        "Somebody was told. A later change that was easy. 7 days after the change. The tube taken out for "
        "good."
    ),
    sources=(PRACTICE,),
    told=True,
    with_tube=True,
)
_HARD = mark("The tube change at {time} was hard.")
_WAS_EASY = mark("changed easily {time}")
_LONG_AGO = mark("7 days ago")


def is_easy(details: Details) -> bool:
    """A change that was easy."""
    return bool(details.get("ease") == "easy")


class HardEvents(Events):
    """Hard changes, until one is easy, or for 7 days."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("tube_change",), self._judged)
        self._easy = NewestSaying(ledger, "tube_change", is_easy)

    def _judged(self, ledger: Ledger, held: Held) -> Sign | None:
        if held.entry.details.get("ease") != "hard":
            return None
        return evidence(self.rule, ledger, held, Level.NOTE, timed(_HARD, ledger, held))

    def take(self, shift: Shift, now: Instant) -> bool:
        changed = super().take(shift, now)
        if shift.kind != "tube_change" or not self._easy.take(shift):
            return changed
        if self._easy.fell_back:
            self.look_again()
        return changed or bool(self._live)

    def has_ended(self, sign: Sign) -> bool:
        held = self._easy.held
        return held is not None and order_of(held) > order_of(self.held_of(sign))

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        return [sign for sign in super().signs(now, cause) if now < sign.time + HARD_LASTS]

    def wake(self, now: Instant) -> Instant:
        moments = (sign.time + HARD_LASTS for sign in self._live.values())
        return min((moment for moment in moments if moment > now), default=NEVER)

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        return super().ending(subject, members) or (say(_LONG_AGO) if self._is_old(members) else "")

    def _is_old(self, members: Collection[str]) -> bool:
        """Whether those that showed it are in force still, so that only time can have ended it."""
        return all(key in self._all for key in members)

    def ended_words(self) -> str:
        return timed(_WAS_EASY, self.ledger, self._easy.held) if self._easy.held is not None else ""


TUBE_AGE = Rule(
    name="tube_age",
    title=mark("Tube change due"),
    raised=mark(
        "The date for the next tube change is 3 days away, or has come. Or no date was recorded, and the "
        "tube was placed 30 days ago."
    ),
    level=mark("note; call on the day; without a date only a note"),
    clears=mark("A tube change that didn't fail; a new date. The tube taken out for good."),
    sources=(
        Source(
            mark("the date in the plan or the maker's leaflet; published numbers disagree: no default"),
            Status.PRACTICE,
        ),
        Source(mark("30 days without a date: many leaflets, 28 to 30"), Status.PRACTICE),
    ),
    falls=True,
    with_tube=True,
    matter=Matter.LATENESS,
)
_NO_DATE = mark("No date for the next tube change is recorded.")
_DUE = mark("Tube change due on {day}.")
_PLACED = mark("The tube in place was placed on {day}.")
_NEW_DATE = mark("a new date: {day}")


def start_of(home: Home, day: date, days: int = 0) -> Instant:
    """00:00 of a day so many days later; far beyond any calendar, never."""
    try:
        return home.start_of(day + timedelta(days=days))
    except OverflowError:
        return NEVER if days > 0 else -NEVER


class TubeAge(Standing):
    """The date that the tube in place is to be changed by; without one, its age."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("tube_change", OUT))

    def _due(self, tube: Held) -> date | None:
        text = tube.entry.details.get("next_due")
        return date.fromisoformat(text) if text is not None else None

    def _steps(self, tube: Held) -> tuple[Instant, Instant]:
        """From when it is a note, and from when a call."""
        day = self._due(tube)
        if day is None:
            return tube.time + NOTE_AGE, NEVER
        return start_of(self.ledger.home, day, -NOTE_DAYS), start_of(self.ledger.home, day)

    def wake(self, now: Instant) -> Instant:
        tube = self.ledger.tube_in_place()
        steps = self._steps(tube) if tube is not None else ()
        return min((step for step in steps if step > now), default=NEVER)

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        tube = self.ledger.tube_in_place()
        if tube is None or now < self._steps(tube)[0]:
            return []
        level = Level.CALL if now >= self._steps(tube)[1] else Level.NOTE
        day = self._due(tube)
        headline = say(_DUE).format(day=full_day(day)) if day is not None else say(_NO_DATE)
        why = say(_PLACED).format(day=full_day(self.ledger.home.day(tube.time)))
        return [evidence(self.rule, self.ledger, tube, level, headline, why=why)]

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        out, tube = self.ledger.shelf(OUT).newest(), self.ledger.tube_in_place()
        if tube is None:
            return timed(TAKEN_OUT, self.ledger, out) if out is not None else ""
        if tube.first.id not in members:
            return timed(_CHANGED, self.ledger, tube)
        day = self._due(tube)
        return say(_NEW_DATE).format(day=full_day(day)) if day is not None else ""


ROWS: tuple[Row, ...] = ((FAILED, FailedEvents), (HARD, HardEvents), (TUBE_AGE, TubeAge))
