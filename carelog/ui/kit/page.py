"""The household's things in order: tonight in one line, tube, machines, spare-tube box, supplies."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.analysis.boxlook import BoxLook, items_of
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.stock import STOCK
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.text import mark, say
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.button import Button, Strong
from carelog.ui.column import row
from carelog.ui.kit.box import BoxPanel, BoxQuestions
from carelog.ui.kit.machines import MachinesPanel
from carelog.ui.kit.panel import Panel
from carelog.ui.kit.registered import RegisteredPanel
from carelog.ui.kit.supplies import SuppliesPanel
from carelog.ui.kit.tube import TubePanel
from carelog.ui.kit.view import ThingsView
from carelog.ui.preferences import Preferences
from carelog.ui.present import Present
from carelog.ui.slips import Slips
from carelog.ui.theme import Size

if TYPE_CHECKING:
    from carelog.analysis.things import Things
    from carelog.domain.entry import Details
    from carelog.ui.kit.reader import ThingsFound

PANEL_LEAST = 380  # px at 100 %: three beside one another in a window of 1366
ROW_LEAST = 390  # px at 100 %: a name and its three buttons


class KitPage(ThingsView):
    """Where people keep things in order in a minute."""

    title = mark("Kit")

    def __init__(
        self,
        access: Access,
        present: Present,
        slips: Slips,
        preferences: Preferences,
        open_form: "Callable[[str, Details | None], None]",
        go: Callable[[str], object],
        open_sheet: Callable[[str], object],
        begin_cut: Callable[[int | None], object],
    ) -> None:
        super().__init__(access, present, slips, "kit", lambda: preferences.now.sure)
        self._open_form, self._go, self._open_sheet = open_form, go, open_sheet
        self._begin_cut = begin_cut
        self._preferences = preferences
        self._look: BoxLook | None = None
        self._is_all_shown = False
        preferences.when_changed.append(self.look)

    def shown(self, found: "ThingsFound") -> object:
        asks = self._preferences.now.asks_registrations
        return found.things.of_day(), self._look is not None, self._is_all_shown, asks

    # Showing --------------------------------------------------------------------------------------

    def fill_found(self, found: "ThingsFound") -> None:
        if self._look is not None:
            self._fill_look(self._look)
            return
        self.across(self._tonight(found.things), is_whole=True)
        self.list(self._panels(found.things), least=PANEL_LEAST)

    def _fill_look(self, look: BoxLook) -> None:
        """The box alone, in as many columns as there is room for."""
        self.heading(say(mark("Spare-tube box")), Size.NAME)
        questions = BoxQuestions(look, self._on_look, self._save_box)
        self.list(questions.rows, least=ROW_LEAST)
        self.across(
            row(
                questions.main,
                Button.calling(say(mark("leave it")), "box_leave", self.show_list),
                Button.calling(say(mark("sizes and dates …")), "box_dates", self._type_in),
            )
        )

    def _tonight(self, found: "Things") -> QWidget:
        made = Panel("", "kit_tonight")
        parts = " · ".join(found.tonight)
        made.words(say(mark("For tonight, from today's entries: {parts}")).format(parts=parts))
        made.row(*self._acts(found))
        return made

    def _acts(self, found: "Things") -> list[QWidget]:
        """What leads on from here."""
        since = found.power.since
        out = Button.calling(say(mark("going out …")), "kit_outing", lambda: self._go("outing"))
        home = Button.calling(say(mark("coming home …")), "kit_home", lambda: self._go("home"))
        if since is None:
            off = Strong(say(mark("Power is off")), "power_off")
            off.clicked.connect(lambda: self._begin_cut(off.taken_stamp()))
            return [
                out,
                home,
                off,
                Button.calling(say(mark("if the power goes off …")), "kit_power", lambda: self._go("power")),
            ]
        time = times.near(found.kit.home, since, found.now)
        words = say(mark("Power off since {time} …")).format(time=time)
        return [Strong.calling(words, "kit_power", lambda: self._go("power")), out, home]

    def _panels(self, found: "Things") -> list[QWidget]:
        tube = TubePanel(
            found, self._is_all_shown, lambda: self._open_form(TUBE_CHANGE.name, None), self._show_before
        )
        machines = MachinesPanel(found, lambda given: self._open_form(EQUIPMENT_CHECK.name, given))
        supplies = SuppliesPanel(
            found,
            self._preferences,
            lambda given: self._open_form(STOCK.name, given),
            lambda: self._open_sheet("order"),
        )
        box = BoxPanel(
            found,
            lambda stamp: self._save_box(self._begun().all_else_there(), stamp),
            self._begin_look,
            self._type_in,
        )
        return [tube, machines, *([] if found.is_out else [box]), supplies, *self._asked(found)]

    def _asked(self, found: "Things") -> list[QWidget]:
        """The registrations, until they are recorded or nobody wants to be asked any more."""
        is_known = all(held is not None for _, held in found.power.registrations)
        if is_known or not self._preferences.now.asks_registrations:
            return []
        return [
            RegisteredPanel(
                found.power,
                self._open_form,
                lambda: self._preferences.change(asks_registrations=False),
            )
        ]

    # What can be done -----------------------------------------------------------------------------

    def _show_before(self) -> None:
        self._is_all_shown = not self._is_all_shown
        self.refresh()

    def _begin_look(self) -> None:
        self._look = self._begun()
        self.refresh()

    def show_list(self) -> bool:
        """From the look through the box back to the page, nothing saved; False when there is none."""
        was_looking, self._look = self._look is not None, None
        self.refresh()
        return was_looking

    def _on_look(self, look: BoxLook) -> None:
        """Something was found; the page stays as it is under the hand."""
        self._look = look

    def _begun(self) -> BoxLook:
        found = self._reader.found
        tube = None if found is None else found.things.kit.tube
        placed = None if tube is None else tube.entry.details
        return BoxLook(tuple(items_of(self._last_box(), placed)), {})

    def _last_box(self) -> "Details | None":
        found = self._reader.found
        check = None if found is None else found.things.kit.box.check
        return None if check is None else check.entry.details

    def _save_box(self, look: BoxLook, stamp: int | None) -> None:
        details = look.check(self._last_box())
        self._saving.save(
            lambda logbook, by: [logbook.record(BOX_CHECK.name, details, by)], stamp, self.show_list
        )

    def _type_in(self) -> None:
        """The form of a check, with what the last one says and what was found since."""
        last = self._last_box()
        self._open_form(BOX_CHECK.name, last if self._look is None else self._look.check(last))
