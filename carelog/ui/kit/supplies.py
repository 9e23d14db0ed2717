"""The supplies as bars of days, with a stroke where it is time to order."""

from collections.abc import Callable
from datetime import date
from fractions import Fraction
from math import floor

from carelog.analysis.ordering import OrderLine
from carelog.analysis.things import Things
from carelog.analysis.times import month_day
from carelog.domain.entry import Details
from carelog.domain.units import plain, rounded
from carelog.text import mark, say, say_n
from carelog.ui.button import Button, Main
from carelog.ui.kit.panel import Panel, ShareBar, told_row
from carelog.ui.naming import sentence
from carelog.ui.theme import Size

LONGEST = 42
"""Days that a whole bar is, where lead time and reserve don't ask for more."""

HUNDREDTH = Fraction(1, 100)


class SuppliesPanel(Panel):
    """A bar an item, what has to be ordered first at the top."""

    def __init__(
        self, found: Things, open_stock: Callable[[Details], object], to_order: Callable[[], object]
    ) -> None:
        super().__init__(say(mark("Supplies")), "kit_supplies")
        self._today = found.kit.home.day(found.now)
        if found.supplies:
            self.words(
                say(mark("By what was used on the last 14 days. The stroke is when to order.")), soft=True
            )
        else:
            self.words(say(mark("Nothing was counted yet.")), soft=True)
        for line in found.supplies:
            self._add(line)
        self.row(
            Button.calling(say(mark("count …")), "stock_count", lambda: open_stock({"reason": "count"})),
            Button.calling(
                say(mark("delivered …")), "stock_delivered", lambda: open_stock({"reason": "delivery"})
            ),
            *([Main.calling(say(mark("order list")), "kit_order", to_order)] if found.supplies else []),
        )

    def _add(self, line: OrderLine) -> None:
        supply = line.supply
        days = None if supply.days_left is None else max(floor(supply.days_left), 0)
        if supply.count is None:
            self.add(told_row(sentence(supply.item), say(mark("never counted"))))
            return
        if days is None:
            self.add(told_row(sentence(supply.item), say(mark("days not known"))))
            words = say(mark("{count} left; no use is recorded"))
            self.words(words.format(count=plain(supply.count)), soft=True)
            return
        told = say_n("one day", "{days} days", days).format(days=days)
        self.add(told_row(sentence(supply.item), told, is_strong=True))
        notice = float(line.lead + line.reserve)
        whole = max(LONGEST, 2 * notice)
        is_now = supply.order_by is not None and supply.order_by <= self._today
        self.add(ShareBar(days / whole, told, at=notice / whole, is_full_ink=is_now))
        self.words(self._use_words(line), Size.STRONG if is_now else Size.TEXT, soft=not is_now)

    def _use_words(self, line: OrderLine) -> str:
        supply = line.supply
        parts = [
            say(mark("{count} left, {use} a day")).format(
                count=plain(supply.count or 0), use=plain(rounded(supply.per_day or Fraction(0), HUNDREDTH))
            )
        ]
        if line.coming:
            parts.append(say(mark("{count} ordered")).format(count=plain(line.coming)))
        parts.append(self._order_words(supply.order_by))
        return ", ".join(part for part in parts if part)

    def _order_words(self, by: date | None) -> str:
        if by is None:
            return ""
        if by <= self._today:
            return say(mark("order today"))
        far = (by - self._today).days > 300
        return say(mark("order by {day}")).format(day=by.isoformat() if far else month_day(by))
