"""The spare-tube box: what lies in it by the newest check, and a look through it, an item a press."""

from collections.abc import Callable
from datetime import date

from PySide6.QtWidgets import QWidget

from carelog.analysis.box import SPARES, Box, expiries
from carelog.analysis.boxlook import MISSING, OPENED, THERE, BoxLook, items_of, why_words
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.things import Things
from carelog.analysis.times import SHORT_MONTHS
from carelog.domain.entry import Details
from carelog.domain.units import plain
from carelog.kinds.words import CUFF, ITEM
from carelog.text import mark, say
from carelog.ui import times
from carelog.ui.button import Button, Main
from carelog.ui.columns import SideBySide
from carelog.ui.forms.control import ABSENT
from carelog.ui.forms.picks import Option, Picks
from carelog.ui.kit.panel import FoundRow, Panel, Sight
from carelog.ui.naming import sentence
from carelog.ui.theme import TARGET, Size
from carelog.ui.words import Words

STATES: tuple[Option, ...] = (
    (THERE, mark("there")),
    (MISSING, mark("missing")),
    (OPENED, mark("opened")),
)
BESIDE = (100, 262)  # px at 100 %, of an item's name and of its three buttons


class BoxPanel(Panel):
    """What lies in the box, and what is wanting; one press says that all is there."""

    def __init__(
        self,
        found: Things,
        all_there: Callable[[int | None], object],
        look: Callable[[], object],
        type_in: Callable[[], object],
    ) -> None:
        super().__init__(say(mark("Spare-tube box")), "kit_box")
        self._found = found
        main = Main("", "box_save")
        main.clicked.connect(lambda: all_there(main.taken_stamp()))
        self._tell_when(found.kit.box.check)
        self._tell_items(found.kit.box)
        one_by_one = Button.calling(say(mark("one by one")), "box_look", look)
        one_by_one.setAccessibleName(say(mark("look through the box, one by one")))
        self.row(
            _named(main, say(mark("All there"))),
            one_by_one,
            Button.calling(say(mark("sizes and dates …")), "box_dates", type_in),
        )

    # What the newest check says ---------------------------------------------------------------------

    def _tell_when(self, check: Held | None) -> None:
        kit = self._found.kit
        if check is None:
            self.words(say(mark("Never looked through, by this record.")), soft=True)
            return
        time = times.near(kit.home, check.time, self._found.now)
        who = check.entry.by or say(mark("no name"))
        self.words(say(mark("looked through {time}, {who}")).format(time=time, who=who), soft=True)
        if kit.tube is not None and order_of(check) < order_of(kit.tube):
            words = mark("The tube was changed since. Look through the box again.")
            self.words(say(words), Size.STRONG)

    def _tell_items(self, box: Box) -> None:
        check, kit = box.check, self._found.kit
        last = None if check is None else check.entry.details
        is_current = check is not None and (kit.tube is None or order_of(check) > order_of(kit.tube))
        dates = {} if last is None else expiries(last)
        for item in items_of(last, None if kit.tube is None else kit.tube.entry.details):
            wanting = _wanting(item, box)
            sight = Sight.WANTING if wanting else Sight.THERE if is_current else Sight.UNSEEN
            if check is None:
                sight, wanting = Sight.UNSEEN, ""
            near = item in box.expiring
            told = wanting or _until(dates.get(item), item, last)
            self.add(FoundRow(sight, item_words(item, last), told, is_strong=bool(wanting) or near))
            if wanting:
                self.words(why_words(item), soft=True)


class BoxQuestions:
    """A look through the box: a row a thing with three buttons, and one button for all that is left."""

    def __init__(
        self, look: BoxLook, told: Callable[[BoxLook], object], save: Callable[[BoxLook, int | None], object]
    ) -> None:
        """`told` is given each change; `save` the whole look, and the time of the press."""
        self._look, self._told = look, told
        self.rows = [self._row(item) for item in look.items]
        self.main = main = Main("", "box_save")
        main.clicked.connect(lambda: save(self._look.all_else_there(), main.taken_stamp()))
        self._name_main()

    def _row(self, item: str) -> QWidget:
        made = QWidget()
        line = SideBySide(made, least=BESIDE, share=0.3)
        name = item_words(item, None)
        label = Words(name)
        label.setMinimumHeight(TARGET)
        line.addWidget(label)
        picks = Picks(f"box_{item}", name, STATES)
        picks.put(self._look.found.get(item, ABSENT))
        picks.when_changed.append(lambda: self._on_pick(item, picks))
        line.addWidget(picks)
        return made

    def _on_pick(self, item: str, picks: Picks) -> None:
        value = picks.value()
        self._look = self._look.find(item, value if isinstance(value, str) else None)
        self._told(self._look)
        self._name_main()

    def _name_main(self) -> None:
        if not self._look.found:
            words = mark("All there")
        elif self._look.unseen:
            words = mark("All else is there")
        else:
            words = mark("Save")
        _named(self.main, say(words))


def _named(button: Main, words: str) -> Main:
    """The button with these words, told to be about the box."""
    button.setText(words)
    button.setAccessibleName(say(mark("{words}: the spare-tube box")).format(words=words))
    return button


def item_words(item: str, check: Details | None) -> str:
    """An item, and of a spare tube its size and cuff where a check gives them."""
    spare = (check or {}).get(item, {}) if item in SPARES else {}
    parts = [ITEM.words(item)]
    if "id_mm" in spare:
        parts.append(say(mark("ID\N{NO-BREAK SPACE}{size}")).format(size=plain(spare["id_mm"])))
    if "cuff" in spare:
        none = spare["cuff"] == "none"
        parts.append(
            say(mark("no cuff")) if none else say(mark("{what} cuff")).format(what=CUFF.words(spare["cuff"]))
        )
    return sentence(", ".join(parts))


def _wanting(item: str, box: Box) -> str:
    """What is wrong with an item, by the newest check; empty: nothing that was written down."""
    for words, items in (
        (mark("missing"), box.missing),
        (mark("wrong size"), box.wrong_size),
        (mark("out of date"), box.expired),
        (mark("opened"), box.opened),
    ):
        if item in items:
            return say(words)
    return ""


def _short(expiry: str) -> str:
    """A date or a month as it was typed: 30 Nov 2028, Nov 2028."""
    year, month, *day = expiry.split("-")
    parts = [*(str(int(each)) for each in day), say(SHORT_MONTHS[int(month) - 1]), str(int(year))]
    return "\N{NO-BREAK SPACE}".join(parts)


def _until(last_day: date | None, item: str, check: Details | None) -> str:
    """Until when it is good, as it was typed; of a spare without a size, that none is written down."""
    if last_day is None or check is None:
        is_nameless = check is not None and item in SPARES and "id_mm" not in check.get(item, {})
        return say(mark("size not written down")) if is_nameless else ""
    typed = check.get(item, {}).get("expiry") if item in SPARES else None
    text = typed or check.get("expiries", {}).get(item, last_day.isoformat())
    return say(mark("to {day}")).format(day=_short(text))
