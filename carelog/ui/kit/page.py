"""The household's things in order: tonight in one line, tube, machines, spare-tube box, supplies."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.analysis.boxlook import BoxLook
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.incident import INCIDENT
from carelog.kinds.stock import STOCK
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.text import mark, say
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.button import Button, Strong
from carelog.ui.column import ColumnView
from carelog.ui.kit.box import BoxPanel
from carelog.ui.kit.machines import MachinesPanel
from carelog.ui.kit.panel import Panel
from carelog.ui.kit.reader import ThingsReader
from carelog.ui.kit.saved import Saving
from carelog.ui.kit.supplies import SuppliesPanel
from carelog.ui.kit.tube import TubePanel
from carelog.ui.present import Present
from carelog.ui.recorder import Recorder
from carelog.ui.slips import Slips
from carelog.ui.theme import Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.analysis.things import Things
    from carelog.domain.entry import Details

PANEL_LEAST = 380  # px at 100 %: three beside one another in a window of 1366
CUT = {"what": "power_cut"}


class KitPage(ColumnView):
    """Where people keep things in order in a minute."""

    def __init__(
        self,
        access: Access,
        present: Present,
        slips: Slips,
        recorder: Recorder,
        open_form: "Callable[[str, Details | None], None]",
        go: Callable[[str], object],
        open_sheet: Callable[[str], object],
    ) -> None:
        super().__init__()
        self._present = present
        self._open_form, self._go, self._open_sheet = open_form, go, open_sheet
        self._reader = ThingsReader(access, present, self.refresh)
        self._saving = Saving(access, slips, recorder, "kit", self.refresh)
        self._look: BoxLook | None = None
        self._has_look = False
        self._is_all_shown = False
        present.when_changed.append(self._on_change)

    def opened(self) -> None:
        self._saving.forget()
        self._reader.look()
        self.refresh()

    def _on_change(self) -> None:
        if self.isVisible():
            self._reader.look()
            self.refresh()

    def key(self) -> object:
        reader = self._reader
        return (
            reader.found and reader.found.things.of_day(),
            reader.trouble,
            self._saving.key(),
            self._has_look,
            self._is_all_shown,
            self._present.stage,
        )

    # Showing --------------------------------------------------------------------------------------

    def fill(self) -> None:
        self.heading(say(mark("Kit")))
        found = self._reader.found
        for widget in self._saving.told():
            self.across(widget)
        if self._reader.trouble:
            self.across(Words(self._reader.trouble, Size.STRONG))
        if found is None:
            is_open = self._present.picture is not None
            self.words(say(mark("Reading …")) if is_open else self._present.unread(), soft=True)
            return
        self.across(self._tonight(found.things))
        self.list(self._panels(found.things), least=PANEL_LEAST)

    def _tonight(self, found: "Things") -> QWidget:
        made = Panel("", "kit_tonight")
        parts = " · ".join(found.tonight)
        made.words(say(mark("For tonight, from today's entries: {parts}")).format(parts=parts))
        made.row(*self._acts(found))
        return made

    def _acts(self, found: "Things") -> list[QWidget]:
        """What leads on from here."""
        since = found.power.since
        if since is None:
            return [
                Strong.calling(say(mark("Power is off")), "power_off", self._start_cut),
                Button.calling(say(mark("if the power goes off …")), "kit_power", lambda: self._go("power")),
            ]
        time = times.near(found.kit.home, since, found.now)
        words = say(mark("Power off since {time} …")).format(time=time)
        return [Strong.calling(words, "kit_power", lambda: self._go("power"))]

    def _panels(self, found: "Things") -> list[QWidget]:
        tube = TubePanel(
            found, self._is_all_shown, lambda: self._open_form(TUBE_CHANGE.name, None), self._show_before
        )
        machines = MachinesPanel(found, lambda given: self._open_form(EQUIPMENT_CHECK.name, given))
        supplies = SuppliesPanel(
            found, lambda given: self._open_form(STOCK.name, given), lambda: self._open_sheet("order")
        )
        box = BoxPanel(found, self._look, self._looked, self._save_box, self._type_in)
        return [tube, machines, *([] if found.is_out else [box]), supplies]

    # What can be done -----------------------------------------------------------------------------

    def _show_before(self) -> None:
        self._is_all_shown = not self._is_all_shown
        self.refresh()

    def _looked(self, look: BoxLook | None) -> None:
        """A look through the box began, went on or was left; only begin and end fill the page anew."""
        self._look, self._has_look = look, look is not None
        self.refresh()

    def _last_box(self) -> "Details | None":
        found = self._reader.found
        check = None if found is None else found.things.kit.box.check
        return None if check is None else check.entry.details

    def _save_box(self, look: BoxLook) -> None:
        details = look.check(self._last_box())
        self._saving.save(
            lambda logbook, by: [logbook.record(BOX_CHECK.name, details, by)], lambda: self._looked(None)
        )

    def _type_in(self) -> None:
        """The form of a check, with what the last one says and what was found since."""
        last = self._last_box()
        self._open_form(BOX_CHECK.name, last if self._look is None else self._look.check(last))

    def _start_cut(self) -> None:
        self._saving.save(
            lambda logbook, by: [logbook.record(INCIDENT.name, CUT, by)], lambda: self._go("power")
        )
