"""All that the kit's pages show: kit, machines, tubes before, orders, a power cut, going out, coming home."""

from dataclasses import dataclass, replace
from fractions import Fraction

from carelog.analysis.battery import pace
from carelog.analysis.homecoming import Homecoming, homecoming
from carelog.analysis.in_force import Held, Reading
from carelog.analysis.kit import Kit, kit
from carelog.analysis.machines import Device, Machine, machines
from carelog.analysis.ordering import OrderLine, order_lines
from carelog.analysis.outing import GoingOut, going_out
from carelog.analysis.plans import plan_at
from carelog.analysis.power import Power, power
from carelog.analysis.tonight import tonight
from carelog.analysis.tube import is_decannulated
from carelog.domain.moment import Instant
from carelog.domain.plan import Plan
from carelog.domain.sure import SURE


@dataclass(frozen=True, slots=True)
class Things:
    """The household's things, by what was known at a moment."""

    now: Instant
    kit: Kit
    plan: Plan | None
    is_out: bool
    """The tube was taken out for good."""
    changes: tuple[Held, ...]
    """Every tube change, those that failed too, newest first."""
    machines: tuple[tuple[Machine, Device], ...]
    pace: Fraction | None
    """Suctions a recorded day of late."""
    supplies: tuple[OrderLine, ...]
    power: Power
    tonight: tuple[str, ...]
    going: GoingOut
    homecoming: Homecoming

    def of_day(self) -> "Things":
        """The same as of the day's beginning, for comparison: nothing here changes by the minute."""
        begun = self.kit.home.start_of(self.kit.home.day(self.now))
        return replace(self, now=begun, going=replace(self.going, now=begun))


def things(reading: Reading, now: Instant, sure: int = SURE[0]) -> Things:
    """The household's things by the entries read; `sure`: in how many of 100 stock outlasts a delivery."""
    found, here, plan = kit(reading, now), machines(reading), plan_at(reading, now)
    return Things(
        now=now,
        kit=found,
        plan=plan,
        is_out=is_decannulated(reading, now),
        changes=tuple(reversed(reading.of("tube_change"))),
        machines=tuple(here),
        pace=pace(reading, now),
        supplies=tuple(order_lines(reading, plan, now, sure)),
        power=power(reading, now),
        tonight=tuple(tonight(found, here, reading, now)),
        going=going_out(reading, found, here, now),
        homecoming=homecoming(reading, now),
    )
