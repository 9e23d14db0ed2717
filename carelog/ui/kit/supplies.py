"""The supplies as bars of days, with a stroke where it is time to order."""

from collections.abc import Callable, Iterator
from datetime import date
from fractions import Fraction
from math import ceil, floor

from carelog.analysis.ordering import OrderLine, lasting
from carelog.analysis.things import Things
from carelog.analysis.times import full_day, month_day
from carelog.domain.entry import Details
from carelog.domain.sure import SURE
from carelog.domain.units import plain, rounded
from carelog.text import mark, say, say_n
from carelog.ui.button import Button, Main
from carelog.ui.forms.picks import Option, Picks
from carelog.ui.kit.panel import Panel, ShareBar, told_row
from carelog.ui.naming import sentence
from carelog.ui.preferences import Preferences
from carelog.ui.theme import Size

LONGEST = 42
"""Days that a whole bar is, where lead time and reserve don't ask for more."""

_SHORT = mark("By what was used on the last 14 days. The stroke is when to order.")
_HOW = mark(
    "By what was used on the last 14 days. In brackets: at least and at most, each in {sure} of 100. They "
    "are left out where too few days are recorded, or the use was entered. The stroke is when to order."
)
HUNDREDTH = Fraction(1, 100)


class SuppliesPanel(Panel):
    """A bar an item, what has to be ordered first at the top."""

    def __init__(
        self,
        found: Things,
        preferences: Preferences,
        open_stock: Callable[[Details], object],
        to_order: Callable[[], object],
    ) -> None:
        super().__init__(say(mark("Supplies")), "kit_supplies")
        self._preferences = preferences
        self._today = found.kit.home.day(found.now)
        if found.supplies:
            words = say(_HOW).format(sure=preferences.now.sure)
            self.words(words if any(line.lasts for line in found.supplies) else say(_SHORT), soft=True)
        else:
            self.words(say(mark("Nothing was counted yet.")), soft=True)
        for line in found.supplies:
            self._add(line)
        if any(line.lasts for line in found.supplies):
            self._ask_how_sure()
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
        told = say_n("{days} day", "{days} days", days).format(days=lasting(line))
        self.add(told_row(sentence(supply.item), told, is_strong=True))
        notice, by = float(line.lead + line.reserve), line.order_by
        whole = max(LONGEST, 2 * notice)
        is_now = by is not None and by <= self._today
        if by is not None and not is_now:
            notice = max(notice, days - (by - self._today).days)
        self.add(ShareBar(min(days, ceil(whole)) / whole, told, at=notice / whole, is_full_ink=is_now))
        self.words(self._use_words(line), Size.STRONG if is_now else Size.TEXT, soft=not is_now)
        for words in _date_words(line, self._today):
            self.words(words)

    def _use_words(self, line: OrderLine) -> str:
        supply = line.supply
        words = mark("{count} left, {use} a day")
        if supply.is_entered:
            words = mark("{count} left, {use} a day as entered")
        use = plain(rounded(supply.per_day or Fraction(0), HUNDREDTH))
        parts = [say(words).format(count=plain(supply.count or 0), use=use)]
        if line.coming:
            parts.append(say(mark("{count} ordered")).format(count=plain(line.coming)))
        late = sum((each.count for each in line.orders if each.is_late), Fraction(0))
        if late:
            parts.append(say(mark("{count} ordered haven't come")).format(count=plain(late)))
        parts.append(self._order_words(line.order_by))
        return ", ".join(part for part in parts if part)

    def _ask_how_sure(self) -> None:
        """In how many of 100 the stock is to outlast a delivery."""
        title = say(mark("Stock is to outlast a delivery in"))
        options: list[Option] = [(sure, say(mark("{sure} of 100")).format(sure=sure)) for sure in SURE]
        picks = Picks("kit_sure", title, options, is_needed=True)
        picks.put(self._preferences.now.sure)
        picks.when_changed.append(lambda: self._choose(picks.read()))
        self.words(title)
        self.add(picks)

    def _choose(self, sure: object) -> None:
        self._preferences.change(sure=sure if sure in SURE else SURE[0])

    def _order_words(self, by: date | None) -> str:
        if by is None:
            return ""
        if by <= self._today:
            return say(mark("order today"))
        far = (by - self._today).days > 300
        return say(mark("order by {day}")).format(day=by.isoformat() if far else month_day(by))


def _date_words(line: OrderLine, today: date) -> Iterator[str]:
    """What is out of date, what is used first, and what won't be used before its date."""
    gone = sum((lot.count for lot in line.lots if lot.last < today), Fraction(0))
    if gone:
        yield say_n("Out of date: one.", "Out of date: {count}.", ceil(gone)).format(count=plain(gone))
    good = [lot for lot in line.lots if lot.last >= today]
    if len(good) > 1 and good[0].is_dated:
        words = say(mark("Use first: {count}, good to {day}."))
        yield words.format(count=plain(good[0].count), day=full_day(good[0].last))
    late = ceil(line.unused - gone)
    if late > 0:
        words = say_n(
            "About one goes out of date before it is used.",
            "About {count} go out of date before they are used.",
            late,
        )
        yield words.format(count=late)
