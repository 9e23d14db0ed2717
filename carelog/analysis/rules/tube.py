"""Rules about the tube itself: a change that failed, and the date for the next one."""

from collections.abc import Collection, Sequence
from datetime import date, timedelta

from carelog.analysis.flags.ledger import Ledger, Shift, key_of
from carelog.analysis.flags.life import NEVER, Cause
from carelog.analysis.in_force import Held
from carelog.analysis.rules.evidence import evidence, timed
from carelog.analysis.rules.rule import EMERGENCY, PRACTICE, Rule, Source, Status
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Events, Row, Standing
from carelog.analysis.times import full_day
from carelog.domain.flag import Level
from carelog.domain.moment import Home, Instant
from carelog.text import mark, say

NOTE_DAYS = 3

FAILED = Rule(
    name="tube_change_failed",
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
        return tube is not None and key_of(tube) > key_of(self.ledger.held[sign.key])

    def ended_words(self) -> str:
        tube = self.ledger.tubes.newest()
        return timed(_CHANGED, self.ledger, tube) if tube is not None else ""


TUBE_AGE = Rule(
    name="tube_age",
    title=mark("Tube change due"),
    raised=mark("The date for the next tube change is 3 days away, or has come."),
    level=mark("note; call on the day"),
    clears=mark("A tube change that didn't fail; a new date."),
    sources=(
        Source(
            mark("the date in the plan or the maker's leaflet; published numbers disagree: no default"),
            Status.PRACTICE,
        ),
    ),
    falls=True,
)
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
    """The date that the tube in place is to be changed by."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("tube_change",))

    def _due(self) -> tuple[Held, date] | None:
        tube = self.ledger.tubes.newest()
        text = tube.entry.details.get("next_due") if tube is not None else None
        return (tube, date.fromisoformat(text)) if tube is not None and text is not None else None

    def _steps(self, day: date) -> tuple[Instant, Instant]:
        home = self.ledger.home
        return start_of(home, day, -NOTE_DAYS), start_of(home, day)

    def wake(self, now: Instant) -> Instant:
        due = self._due()
        return min((step for step in self._steps(due[1]) if step > now), default=NEVER) if due else NEVER

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        due = self._due()
        if due is None or now < self._steps(due[1])[0]:
            return []
        tube, day = due
        level = Level.CALL if now >= self._steps(day)[1] else Level.NOTE
        headline = say(_DUE).format(day=full_day(day))
        why = say(_PLACED).format(day=full_day(self.ledger.home.day(tube.time)))
        return [evidence(self.rule, self.ledger, tube, level, headline, why=why)]

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        due = self._due()
        tube = self.ledger.tubes.newest()
        if tube is not None and tube.first.id not in members:
            return timed(_CHANGED, self.ledger, tube)
        return say(_NEW_DATE).format(day=full_day(due[1])) if due is not None else ""


ROWS: tuple[Row, ...] = ((FAILED, FailedEvents), (TUBE_AGE, TubeAge))
