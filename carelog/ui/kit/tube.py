"""The tube in place, large; its age against its date; the catheter's size; and the tubes before."""

from collections.abc import Callable
from datetime import date

from carelog.analysis.in_force import Held
from carelog.analysis.kit import Catheter, inner_diameter, rule_b
from carelog.analysis.things import Things
from carelog.domain.units import exact, plain
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.text import mark, say, say_n
from carelog.ui import times
from carelog.ui.button import Button
from carelog.ui.kit.panel import Panel, ShareBar
from carelog.ui.theme import Size

_SIZES = (
    (mark("ID\N{NO-BREAK SPACE}{size}"), "id_mm"),
    (mark("OD\N{NO-BREAK SPACE}{size}"), "od_mm"),
    (mark("{size}\N{NO-BREAK SPACE}mm"), "length_mm"),
)
_SORT = ("cuff", "fenestrated", "inner_tube", "inner_id_mm", "size_mark")
_BEFORE = ("id_mm", "cuff", "reason", "ease", "bleeding", "done_by")


class TubePanel(Panel):
    """What lies in the neck, since when, until when; how the changes before went, on a press."""

    def __init__(
        self,
        found: Things,
        is_all_shown: bool,
        change: Callable[[], object],
        show_before: Callable[[], object],
    ) -> None:
        super().__init__(say(mark("Tube in place")), "kit_tube")
        self._found = found
        if found.kit.tube is None:
            out = mark("The tube was taken out for good.")
            none = mark("No tube is recorded.")
            self.words(say(out if found.is_out else none), Size.STRONG)
        else:
            self._tell_tube(found.kit.tube)
            self._tell_catheter(found.kit.catheter, found.kit.tube)
        before = [each for each in found.changes if each is not found.kit.tube]
        is_first = found.kit.tube is None and not found.is_out
        changed = mark("write the tube down …") if is_first else mark("tube changed …")
        buttons = [Button.calling(say(changed), "kit_tube_changed", change)]
        if before:
            words = say(mark("hide tubes before") if is_all_shown else mark("tubes before"))
            buttons.append(Button.calling(words, "kit_tubes_before", show_before))
        self.row(*buttons)
        if is_all_shown:
            self._tell_before(before)

    def _tell_tube(self, tube: Held) -> None:
        details = tube.entry.details
        sizes = [say(words).format(size=plain(details[name])) for words, name in _SIZES if name in details]
        self.words("   ".join(sizes), Size.RECEIPT)
        self.words(TUBE_CHANGE.line({name: details[name] for name in _SORT if name in details}))
        age = self._found.kit.age_days or 0
        ago = say_n("one day ago", "{days} days ago", age).format(days=age) if age else say(mark("today"))
        day = times.full_day(self._found.kit.home.day(tube.time))
        who = details.get("done_by") or tube.entry.by
        placed = mark("placed {day} by {who}, {ago}") if who else mark("placed {day}, {ago}")
        self.words(say(placed).format(day=day, who=who, ago=ago), soft=True)
        self._tell_date(tube, age)

    def _tell_date(self, tube: Held, age: int) -> None:
        """Its age against the day on which it is to be changed."""
        text = tube.entry.details.get("next_due")
        if text is None:
            self.words(say(mark("No day for the next change is recorded.")), soft=True)
            return
        due, home = date.fromisoformat(text), self._found.kit.home
        left = (due - home.day(self._found.now)).days
        if left < 0:
            words = say(mark("change was due {day}")).format(day=times.day_name(due))
        elif left == 0:
            words = say(mark("change is due today"))
        else:
            words = say_n("change due {day}, in one day", "change due {day}, in {days} days", left)
            words = words.format(day=times.day_name(due), days=left)
        whole = (due - home.day(tube.time)).days
        self.add(ShareBar(age / whole if whole > 0 else 1.0, words, is_full_ink=left <= 0))
        self.words(words, Size.STRONG if left <= 0 else Size.TEXT)

    def _tell_catheter(self, size: Catheter, tube: Held) -> None:
        if size.prescribed is None:
            self.words(say(mark("Suction catheter: the plan gives no size.")))
        else:
            words = say(mark("Suction catheter: the plan says {size}\N{NO-BREAK SPACE}Fr."))
            self.words(words.format(size=plain(size.prescribed)), Size.STRONG)
        tenths = inner_diameter(tube.entry.details)
        if tenths is None:
            self.words(say(mark("The inner tube's size isn't recorded, so none is worked out.")), soft=True)
        elif size.suggested is None:
            self.words(say(mark("For a child none is worked out from the tube's size.")), soft=True)
        else:
            self.words(_by_size(size, tenths), soft=True)

    def _tell_before(self, before: list[Held]) -> None:
        for held in before:
            day = times.full_day(self._found.kit.home.day(held.time))
            details = held.entry.details
            line = TUBE_CHANGE.line({name: details[name] for name in _BEFORE if name in details})
            self.words(f"{day}: {line}")


def _by_size(size: Catheter, tenths: int) -> str:
    """Both rules' answers, the smaller one, and what is to be said beside it."""
    words = say(mark("By its inner size {small}\N{NO-BREAK SPACE}Fr: the two rules give {a} and {b}."))
    parts = [words.format(small=size.suggested, a=size.rule_a, b=size.rule_b)]
    if 20 * rule_b(tenths) == 3 * tenths:
        half = say(mark("{fr}\N{NO-BREAK SPACE}Fr is exactly half of the inner size."))
        parts.append(half.format(fr=size.rule_b))
    if size.prescribed is not None and exact(size.prescribed) > (size.suggested or 0):
        parts.append(say(mark("The plan's is larger.")))
    return " ".join(parts)
