"""The household's machines: each by its device and name, and what its checks say of it."""

from collections.abc import Iterable
from dataclasses import dataclass, field

from carelog.analysis.in_force import Held, Reading
from carelog.domain.entry import Details
from carelog.domain.kind import order
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.text import mark, say

Machine = tuple[str, str]
"""A device and its name; a check without a name is a machine of its own."""
SUCTION_DEVICES = ("suction_machine", "suction_backup")
_NAMED = mark("{device} “{name}”")


def machine_of(details: Details) -> Machine:
    """Which machine a check is about."""
    return details["device"], details.get("name", "")


def machine_words(machine: Machine) -> str:
    """A machine as people read it: Suction machine “the small one”."""
    device, name = machine
    of_kind = EQUIPMENT_CHECK.field("device")
    words = of_kind.type.words(device) if of_kind is not None else device
    words = words[:1].upper() + words[1:]
    return say(_NAMED).format(device=words, name=name) if name else words


@dataclass(slots=True)
class Device:
    """What the checks since it was last given back say of a machine, each the newest that says it."""

    check: Held | None = None
    canister: Held | None = None
    service: Held | None = None
    charge: Held | None = None
    filter: Held | None = None
    """The newest that says its filter was changed."""
    vacuum: Held | None = None
    runs: list[Held] = field(default_factory=list)
    """All that say how long it ran on its battery."""
    newest: Held | None = None

    def take(self, held: Held) -> None:
        """Take in the next check in order."""
        details = held.entry.details
        if details.get("given_back") is True:
            self.check = self.canister = self.service = self.charge = self.filter = self.vacuum = None
            self.runs = []
        else:
            self.check = held
            self.canister = held if "canister" in details else self.canister
            self.service = held if "next_service" in details else self.service
            self.charge = held if "charged" in details else self.charge
            self.filter = held if details.get("filter_changed") is True else self.filter
            self.vacuum = held if "vacuum" in details else self.vacuum
            if "on_battery_min" in details:
                self.runs.append(held)
        self.newest = held

    @property
    def is_full(self) -> bool:
        """Whether its canister is full."""
        return self.canister is not None and self.canister.entry.details["canister"] == "full"

    @property
    def works(self) -> bool:
        """Whether it works, by its newest check; with a full canister it doesn't count as working."""
        return self.check is not None and self.check.entry.details["works"] is True and not self.is_full

    @property
    def is_here(self) -> bool:
        """Whether it was checked, and not given back since."""
        return self.check is not None


def devices(checks: Iterable[Held]) -> dict[Machine, Device]:
    """Every machine that these checks, in reading order, are about."""
    found: dict[Machine, Device] = {}
    for held in checks:
        found.setdefault(machine_of(held.entry.details), Device()).take(held)
    return found


def machines(reading: Reading) -> list[tuple[Machine, Device]]:
    """The machines that are here, suction first, each device by the names that it has."""
    rank = order(EQUIPMENT_CHECK, "device")
    found = [each for each in devices(reading.of("equipment_check")).items() if each[1].is_here]
    return sorted(found, key=lambda each: (rank[each[0][0]], each[0][1]))
