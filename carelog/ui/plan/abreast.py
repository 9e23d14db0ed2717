"""Two plans side by side, thing by thing; what differs says so in a word."""

from collections.abc import Callable
from dataclasses import dataclass

from PySide6.QtWidgets import QGridLayout, QWidget

from carelog.analysis.revision import revision
from carelog.analysis.sentences import BothSay, beside
from carelog.domain.plan import Plan
from carelog.text import mark, say
from carelog.ui.button import Button, Main
from carelog.ui.column import ColumnView, row
from carelog.ui.naming import sentence
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words


@dataclass(frozen=True)
class PlansAbreast:
    """An older plan and a newer one, and what can be done with the one that was chosen."""

    older: Plan
    newer: Plan
    is_adult: bool
    named: Callable[[Plan], str]
    beside_newest: Callable[[], None] | None
    begin: Callable[[], None]
    open_entry: Callable[[], None]
    back: Callable[[], bool]

    def fill(self, page: ColumnView) -> None:
        """Fill the page with both."""
        page.heading(say(mark("Two plans side by side")))
        is_one = self.older is self.newer
        told = revision(None if is_one else self.older, self.newer)
        page.across(Words(f"{sentence(told)}.", Size.STRONG))
        page.across(row(*self._acts()))
        page.across(self._table())

    def _acts(self) -> list[QWidget]:
        acts: list[QWidget] = [Main.calling(say(mark("Back to the plan")), "plan_back", self.back)]
        if self.beside_newest is not None:
            acts.append(
                Button.calling(say(mark("Beside the newest plan")), "plan_beside_newest", self.beside_newest)
            )
        return [
            *acts,
            Button.calling(say(mark("Begin a plan with this one …")), "plan_begin_with", self.begin),
            Button.calling(say(mark("Its entry")), "plan_entry", self.open_entry),
        ]

    def _table(self) -> QWidget:
        holder = QWidget()
        grid = QGridLayout(holder)
        grid.setContentsMargins(0, 0, 0, 0)
        grid.setHorizontalSpacing(2 * STEP)
        for column, stretch in enumerate((4, 4, 1)):
            grid.setColumnStretch(column, stretch)
        for column, plan in enumerate((self.older, self.newer)):
            grid.addWidget(Words(self.named(plan), Size.STRONG), 0, column)
        line = 1
        for part in beside(self.older.details, self.newer.details, is_adult=self.is_adult):
            grid.addWidget(Words(part.title, Size.NAME, heading=True), line, 0, 1, 3)
            line += 1
            for each in part.rows:
                size = Size.STRONG if each.is_changed else Size.TEXT
                for column, text in enumerate((each.before or "–", each.after or "–", _word(each))):
                    grid.addWidget(Words(text, size), line, column)
                line += 1
        return holder


def _word(each: BothSay) -> str:
    if not each.is_changed:
        return ""
    if not each.before:
        return say(mark("new"))
    return say(mark("changed")) if each.after else say(mark("gone"))
