"""The machines: when each was looked at, what was found, its battery and dates; several of a kind by name."""

from collections.abc import Callable, Iterator
from datetime import date

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.analysis.battery import lasting, minute_words, pace_words, picture, runs
from carelog.analysis.machines import SUCTION_DEVICES, Device, Machine, machine_words
from carelog.analysis.things import Things
from carelog.analysis.times import full_day, month_day
from carelog.analysis.tonight import is_of_today
from carelog.domain.entry import Details
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.text import mark, say
from carelog.ui import times
from carelog.ui.button import Button
from carelog.ui.drawing import Drawn
from carelog.ui.kit.panel import FoundRow, Panel, Sight, beside
from carelog.ui.theme import Size
from carelog.ui.words import Words

_A_LINE = 2  # runs at least
_COLUMNS = 24  # of the picture, which may take all the width
_TOLD = ("works", "charged", "canister", "vacuum", "vacuum_unit")


class MachinesPanel(Panel):
    """Each machine with its last look, and a way to look at it again or at another."""

    def __init__(self, found: Things, check: Callable[[Details], object]) -> None:
        """`check` opens the form of a check with what is known already."""
        super().__init__(say(mark("Machines")), "kit_machines")
        self._found, self._check = found, check
        for number, (machine, device) in enumerate(found.machines):
            self._add(number, machine, device)
        if not found.machines:
            self.words(say(mark("No machine was looked at yet, by this record.")), soft=True)
        other = mark("another machine …") if found.machines else mark("look at a machine …")
        self.row(Button.calling(say(other), "check_other", lambda: check({})))

    def _add(self, number: int, machine: Machine, device: Device) -> None:
        words, check = machine_words(machine), self._check
        given = {"device": machine[0]} | ({"name": machine[1]} if machine[1] else {})
        button = Button.calling(say(mark("check …")), f"check_{number}", lambda: check(given))
        button.setAccessibleName(say(mark("check {machine} …")).format(machine=words))
        is_today = is_of_today(device.check, self._found.kit.home, self._found.now)
        sight = Sight.WANTING if not device.works else Sight.THERE if is_today else Sight.UNSEEN
        text, size = QWidget(), Size.TEXT if device.works else Size.STRONG
        column = QVBoxLayout(text)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(FoundRow(sight, words))
        column.addWidget(Words(self._look_words(device), size, soft=device.works))
        for line, is_wanting in self._dates(device):
            column.addWidget(Words(line, Size.STRONG if is_wanting else Size.TEXT, soft=not is_wanting))
        self.add(beside(text, button))
        self._tell_battery(number, machine, device)

    def _look_words(self, device: Device) -> str:
        """What was found at the newest look, when and by whom."""
        assert device.check is not None
        entry, found = device.check.entry, self._found
        line = EQUIPMENT_CHECK.line({name: entry.details[name] for name in _TOLD if name in entry.details})
        time = times.near(found.kit.home, device.check.time, found.now)
        who = entry.by or say(mark("no name"))
        is_today = is_of_today(device.check, found.kit.home, found.now)
        words = (
            mark("{line}; looked at {time}, {who}")
            if is_today
            else mark("last looked at {time}, {who}: {line}")
        )
        return say(words).format(line=line, time=time, who=who)

    def _dates(self, device: Device) -> Iterator[tuple[str, bool]]:
        """What earlier looks say that the newest doesn't, and dates; each with whether it is wanting."""
        home = self._found.kit.home
        if device.filter is not None:
            yield say(mark("filter changed {day}")).format(day=month_day(home.day(device.filter.time))), False
        for name, held in (("canister", device.canister), ("charged", device.charge)):
            if held is not None and held is not device.check:
                value = held.entry.details[name]
                line = EQUIPMENT_CHECK.line({name: value})
                yield f"{line}, {month_day(home.day(held.time))}", value in ("full", False)
        if device.service is not None:
            day = date.fromisoformat(device.service.entry.details["next_service"])
            is_over = day < home.day(self._found.now)
            words = mark("service was due on {day}") if is_over else mark("next service {day}")
            yield say(words).format(day=full_day(day)), is_over

    def _tell_battery(self, number: int, machine: Machine, device: Device) -> None:
        """How long it ran on its battery; of two runs or more a line over time."""
        of, home = runs(device.runs), self._found.kit.home
        lasts = lasting(of, self._found.now)
        if lasts is None:
            self.words(say(mark("No run on battery is written down.")), soft=True)
            return
        pace = self._found.pace if machine[0] in SUCTION_DEVICES else None
        self.words(f"{minute_words(lasts, home)}. {pace_words(pace)}".strip())
        if len(of) >= _A_LINE:
            self.add(
                Drawn(
                    lambda columns: picture(of, home, columns.whole, columns.size), _COLUMNS, f"runs_{number}"
                )
            )
