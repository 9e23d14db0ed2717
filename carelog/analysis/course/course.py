"""The course of a period: its axis, its rows in the order that was chosen, its marks."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from carelog.analysis.course import doing, happened, looks, readings, secretions
from carelog.analysis.course.axis import Axis
from carelog.analysis.course.found import Gathered
from carelog.analysis.course.rows import Happening, Row, Signs, has_anything
from carelog.analysis.week import Review
from carelog.domain.flag import Flag
from carelog.domain.turn import give_way
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.suction import SUCTION
from carelog.text import mark


@dataclass(frozen=True, slots=True)
class Drawable:
    """One row that may be drawn: its name, as settings keep it, what people call it, how it is made."""

    name: str
    title: str
    made: Callable[[Gathered, str], Row | None]
    is_usual: bool = True
    """Whether it is drawn where nobody has chosen."""


FLAGGED = "flagged"
DRAWABLE: tuple[Drawable, ...] = (
    Drawable("suctions", mark("Suctions a day"), secretions.suctions),
    Drawable("thickness", mark("Thickness"), secretions.shares(SUCTION, "consistency", mark("Thickness"))),
    Drawable("amount", mark("Amount"), secretions.shares(SUCTION, "amount", mark("Amount"))),
    Drawable("colour", mark("Colour"), secretions.colour),
    Drawable("blood", mark("Blood seen"), secretions.blood),
    Drawable("cuff", mark("Cuff pressure"), readings.cuff),
    Drawable(
        "found", mark("Inner tube found"), secretions.shares(INNER_TUBE, "found", mark("Inner tube found"))
    ),
    Drawable("stoma", mark("Stoma worse than before"), looks.stoma),
    Drawable("temperature", mark("Temperature"), readings.observed("temperature_c", mark("Temperature"))),
    Drawable("spo2", mark("SpO2"), readings.observed("spo2_percent", mark("SpO2"))),
    Drawable("pulse", mark("Pulse"), readings.observed("pulse_per_min", mark("Pulse"))),
    Drawable("breaths", mark("Breathing rate"), readings.observed("breaths_per_min", mark("Breathing rate"))),
    Drawable("oxygen", mark("Oxygen"), readings.observed("oxygen_l_min", mark("Oxygen")), is_usual=False),
    Drawable("asked", mark("Asked for, recorded"), doing.doings),
    Drawable(FLAGGED, mark("Flagged"), lambda found, name: happened.flagged(found, found.flags, name)),
)
USUAL = tuple(each.name for each in DRAWABLE if each.is_usual)
ALL_ROWS = tuple(each.name for each in DRAWABLE)
_BY_NAME = {each.name: each for each in DRAWABLE}


@dataclass(frozen=True, slots=True)
class WholeCourse:
    """Rows of values over one axis; a row of which nothing at all was recorded is named in `absent`."""

    axis: Axis
    rows: tuple[Row, ...]
    marks: tuple[Happening, ...]
    absent: tuple[str, ...] = ()

    def chosen(self, names: Sequence[str]) -> "WholeCourse":
        """The same with only these rows, in this order; one that isn't here is passed over."""
        rows = {row.name: row for row in self.rows}
        return replace(self, rows=tuple(rows[name] for name in dict.fromkeys(names) if name in rows))


def course(review: Review, flags: Sequence[Flag] | None = None, names: Sequence[str] = USUAL) -> WholeCourse:
    """The course of a review's period; `flags` are those of it (None: not read yet).

    `names` are the rows in the order in which they are drawn; one that isn't known is passed over.
    """
    found = Gathered(review, flags)
    rows: list[Row] = []
    absent: list[str] = []
    for name in dict.fromkeys(names):
        drawable = _BY_NAME.get(name)
        if drawable is None:
            continue
        give_way()
        row = drawable.made(found, name)
        is_unread = isinstance(row, Signs) and not row.is_read
        if row is not None and (is_unread or has_anything(row.cells)):
            rows.append(row)
        elif name != FLAGGED:
            absent.append(drawable.title)
    return WholeCourse(found.axis, tuple(rows), happened.marks(found), tuple(absent))
