"""Going out: tiles for what is taken along, what is still missing, hours against battery; out and back."""

from collections.abc import Callable
from fractions import Fraction
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.analysis.outing import GoingOut, Take, battery_words, catheter_words, out_words
from carelog.domain.entry import Details, Json
from carelog.domain.moment import HOUR
from carelog.kinds.checklist import CHECKLIST
from carelog.kinds.outing import OUTING
from carelog.text import mark, say, say_n
from carelog.ui.access import Access
from carelog.ui.button import Button, Main
from carelog.ui.column import row
from carelog.ui.columns import WideColumns
from carelog.ui.forms.picks import Option, Picks
from carelog.ui.kit.view import ThingsView
from carelog.ui.naming import sentence
from carelog.ui.outing.tile import PackTile, least_width
from carelog.ui.present import Present
from carelog.ui.slips import Slips
from carelog.ui.theme import Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.ui.kit.reader import ThingsFound

HOURS: tuple[Option, ...] = tuple((hours, f"{hours}\N{NO-BREAK SPACE}h") for hours in (1, 2, 3, 4, 6, 8, 12))
BY_CAR: tuple[Option, ...] = ((True, mark("by car")),)
TILE_LEAST = 190  # px at 100 %
MOST_BESIDE = 5
KEPT = 12 * HOUR
"""What was packed longer ago isn't taken for packed (our own choice)."""
LISTS = (
    ("going_out", mark("Own lines for going out")),
    ("car", mark("In the car")),
    ("other", mark("Shower and other")),
)


class OutingPage(ThingsView):
    """Nothing is recorded before somebody presses that they leave; what is packed until then is kept here."""

    title = mark("Going out")

    def __init__(
        self,
        access: Access,
        present: Present,
        slips: Slips,
        open_form: Callable[[str, Details | None], None],
        go: Callable[[str], object],
    ) -> None:
        super().__init__(access, present, slips, "outing")
        self._open_form, self._go = open_form, go
        self._packed: dict[tuple[str, ...], int] = {}
        self._hours: int | None = None
        self._is_by_car = False

    def opened(self) -> None:
        now = self._present.now()
        self._packed = {keys: at for keys, at in self._packed.items() if now - at < KEPT}
        super().opened()

    def shown(self, found: "ThingsFound") -> object:
        return found.things.of_day().going, tuple(self._packed), self._hours, self._is_by_car

    # Showing --------------------------------------------------------------------------------------

    def fill_found(self, found: "ThingsFound") -> None:
        going = found.things.going
        if going.back is not None:
            came = going.back.time
            self._packed = {keys: at for keys, at in self._packed.items() if at > came}
        if going.out is not None:
            self._fill_out(going)
        else:
            self._fill_packing(going)
        for name, title in LISTS:
            self._fill_list(going, name, say(title))

    def _fill_out(self, found: GoingOut) -> None:
        assert found.out is not None
        self.across(Words(out_words(found), Size.NAME))
        field = OUTING.field("missing")
        missing = found.out.entry.details.get("missing")
        if missing and field is not None:
            words = say(mark("Not packed then: {items}.")).format(items=field.type.words(missing))
            self.across(Words(words))
        back = Main(say(mark("Back home")), "outing_back")
        back.clicked.connect(lambda: self._save({"action": "back"}, back.taken_stamp()))
        self.across(row(back))

    def _fill_packing(self, found: GoingOut) -> None:
        self.across(row(Words(say(mark("Hours planned")), wraps=False), self._pick_hours(), self._pick_car()))
        holder = QWidget()
        takes = self._takes(found)
        texts = [f"{sentence(take.words)} {take.told}" for take in takes]
        least = max(TILE_LEAST, *map(least_width, texts))
        tiles = WideColumns(holder, least=least, most=MOST_BESIDE)
        for number, take in enumerate(takes):
            tiles.addWidget(self._tile(number, take, found))
        self.across(holder)
        self.across(Words(self._missing_words(found), Size.NAME))
        leave = Main(say(mark("We are leaving")), "outing_leave")
        leave.clicked.connect(lambda: self._save(self._leaving(found), leave.taken_stamp()))
        self.across(row(leave, Button.calling(say(mark("Kit …")), "outing_kit", lambda: self._go("kit"))))
        self._fill_battery(found)

    def _fill_battery(self, found: GoingOut) -> None:
        self.heading(say(mark("Battery and hours")), Size.NAME)
        self.words(battery_words(found, None if self._hours is None else Fraction(self._hours)))

    def _fill_list(self, found: GoingOut, name: str, title: str) -> None:
        lines = found.lists.get(name, ())
        self.heading(title, Size.NAME)
        for line in lines:
            self.words(line)
        if not lines:
            self.words(say(mark("Nothing written here yet.")), soft=True)
        words = say(mark("Change …")) if lines else say(mark("Write …"))
        button = Button(words, f"outing_list_{name}")
        button.setAccessibleName(f"{title}: {words}")
        given: Details = {"list": name, "items": list(lines)} if lines else {"list": name}
        button.clicked.connect(lambda: self._open_form(CHECKLIST.name, given))
        self.row(button)

    # Choosing -------------------------------------------------------------------------------------

    def _pick_hours(self) -> QWidget:
        picks = Picks("outing_hours", say(mark("Hours planned")), HOURS)
        picks.put(self._hours)
        picks.when_changed.append(lambda: self._choose_hours(picks.read()))
        return picks

    def _choose_hours(self, hours: object) -> None:
        self._hours = hours if isinstance(hours, int) else None
        self.refresh()

    def _pick_car(self) -> QWidget:
        picks = Picks("outing_car", "", BY_CAR)
        picks.put(True if self._is_by_car else None)
        picks.when_changed.append(lambda: self._choose_car(picks.read() is True))
        return picks

    def _choose_car(self, is_by_car: bool) -> None:
        self._is_by_car = is_by_car
        self.refresh()

    def _takes(self, found: GoingOut) -> list[Take]:
        lines = found.lists.get("car", ()) if self._is_by_car else ()
        return [*found.takes, *(Take((line,), line) for line in lines)]

    def _tile(self, number: int, take: Take, found: GoingOut) -> PackTile:
        told = take.told
        if take.keys == ("catheters",) and self._hours is not None:
            told = catheter_words(found, Fraction(self._hours))
        tile = PackTile(f"pack_{number}", sentence(take.words), told, is_packed=take.keys in self._packed)
        tile.switched.connect(lambda is_on: self._pack(take, is_on))
        return tile

    def _pack(self, take: Take, is_packed: bool) -> None:
        if is_packed:
            self._packed[take.keys] = self._present.now()
        else:
            self._packed.pop(take.keys, None)
        self.refresh()

    def _still_missing(self, found: GoingOut) -> list[Take]:
        return [take for take in self._takes(found) if take.keys not in self._packed]

    def _missing_words(self, found: GoingOut) -> str:
        missing = self._still_missing(found)
        if not self._packed:
            return say(mark("Nothing is packed yet. Press each tile once it is in the bag."))
        if not missing:
            return say(mark("Each tile was pressed."))
        names = ", ".join(take.words for take in missing)
        return say_n("Still missing: {names}.", "Still missing, {count}: {names}.", len(missing)).format(
            names=names, count=len(missing)
        )

    # Saving ---------------------------------------------------------------------------------------

    def _leaving(self, found: GoingOut) -> dict[str, Json]:
        """What was packed, and what wasn't; where no tile was pressed nothing is said of either."""
        details: dict[str, Json] = {"action": "leaving"}
        if self._packed:
            for name, is_packed in (("packed", True), ("missing", False)):
                keys = [
                    key
                    for take in self._takes(found)
                    if (take.keys in self._packed) == is_packed
                    for key in take.keys
                ]
                if keys:
                    details[name] = keys
        if self._hours is not None:
            details["hours"] = self._hours
        return details

    def _save(self, details: Details, stamp: int | None) -> None:
        self._saving.save(lambda logbook, by: [logbook.record(OUTING.name, details, by)], stamp)
