"""Registrations that run out: the electricity company's list, the ambulance's, the supplier's."""

from collections.abc import Collection, Iterator, Sequence
from datetime import date

from carelog.analysis.flags.ledger import Ledger
from carelog.analysis.flags.life import NEVER, Cause
from carelog.analysis.in_force import Held
from carelog.analysis.rules.evidence import evidence, timed
from carelog.analysis.rules.rule import PRACTICE, Rule
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Row, Standing
from carelog.analysis.rules.tube import start_of
from carelog.analysis.times import full_day
from carelog.domain.flag import Level, Matter
from carelog.domain.moment import Instant
from carelog.kinds.registration import REGISTRATION
from carelog.text import mark, say

AHEAD_DAYS = 30
VITAL = ("electricity_priority", "ambulance")
VENTILATED = ("ventilator_at_night", "ventilator_always")

RUNS_OUT = Rule(
    name="registration",
    title=mark("Registration runs out"),
    subject=mark("what is registered"),
    raised=mark(
        "A registration is to be renewed within 30 days, or the day has passed. The newest of its sort "
        "counts."
    ),
    level=mark(
        "note. From the day after it call, where it is the electricity company's list or the ambulance's and "
        "the person is helped by a ventilator."
    ),
    clears=mark("A newer one of its sort."),
    sources=(PRACTICE,),
    falls=True,
    matter=Matter.KIT,
)
_ENDS = mark("{what}: to be renewed by {day}.")
_ENDED = mark("{what}: the day to renew it was {day}.")
_WRITTEN = mark("Written down {day}.")
_NEWER = mark("a newer one {time}")


class RegistrationTracker(Standing):
    """The newest registration of each sort, and by when it is to be renewed."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("registration", "person"))

    def _dated(self) -> Iterator[tuple[str, Held, date]]:
        newest: dict[str, Held] = {}
        for held in self.ledger.shelf("registration").held:
            newest[held.entry.details["what"]] = held
        for what, held in newest.items():
            if "renew_by" in held.entry.details:
                yield what, held, date.fromisoformat(held.entry.details["renew_by"])

    def _steps(self, day: date) -> tuple[Instant, Instant]:
        """From when it is a note, and from when it is over."""
        return start_of(self.ledger.home, day, -AHEAD_DAYS), start_of(self.ledger.home, day, 1)

    def wake(self, now: Instant) -> Instant:
        steps = (step for _, _, day in self._dated() for step in self._steps(day))
        return min((step for step in steps if step > now), default=NEVER)

    def signs(self, now: Instant, cause: Cause) -> Sequence[Sign]:
        return [
            self._sign(what, held, day, now)
            for what, held, day in self._dated()
            if self._steps(day)[0] <= now
        ]

    def _sign(self, what: str, held: Held, day: date, now: Instant) -> Sign:
        is_over = self._steps(day)[1] <= now
        is_vital = what in VITAL and self.ledger.person("helped_by") in VENTILATED
        level = Level.CALL if is_over and is_vital else Level.NOTE
        field = REGISTRATION.field("what")
        words = field.type.words(what) if field is not None else what
        headline = say(_ENDED if is_over else _ENDS).format(
            what=words[:1].upper() + words[1:], day=full_day(day)
        )
        why = say(_WRITTEN).format(day=full_day(self.ledger.home.day(held.time)))
        return evidence(self.rule, self.ledger, held, level, headline, subject=what, why=why)

    def ending(self, subject: str | None, members: Collection[str]) -> str:
        newest = self.ledger.shelf("registration").newest()
        is_new = newest is not None and self.ledger.just_known(newest)
        return timed(_NEWER, self.ledger, newest) if newest is not None and is_new else ""


ROWS: tuple[Row, ...] = ((RUNS_OUT, RegistrationTracker),)
