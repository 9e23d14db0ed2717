"""Blood: fresh or red at once, stained twice within a day unless that is usual for the person."""

from bisect import bisect_left
from collections import Counter
from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from datetime import date

from carelog.analysis.flags.ledger import Ledger, Shelf, Shift
from carelog.analysis.in_force import Held, order_of
from carelog.analysis.rules.evidence import as_written, evidence, timed
from carelog.analysis.rules.rule import URGENT_LEVEL, Rule, Said, Source, Status
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.tracker import Events, Row
from carelog.domain.entry import Details, Entry
from carelog.domain.flag import Level
from carelog.domain.moment import DAY_24_H, Instant
from carelog.text import mark, say

TWICE_WITHIN = DAY_24_H
USUAL_DAYS = 42
NEWEST_DAYS = 3
USUAL_FROM = 3

BLOOD = Rule(
    name="blood",
    by_rivals=URGENT_LEVEL,
    title=mark("Blood"),
    raised=mark(
        "Fresh or red blood in a suction. Fresh bleeding at a tube change. Blood at the stoma. Or a large "
        "amount with streaks or pink, or a second suction with streaks or pink within 24 h. The second one "
        "is left out where this is usual: two within 24 h on 3 or more of the 42 recorded days before the "
        "newest three."
    ),
    level=mark(
        "urgent. call for blood-stained, for blood from the edge of the stoma, and for fresh bleeding at a "
        "planned change that a nurse recorded."
    ),
    clears=mark("Somebody was told; of a call: or 24 h."),
    sources=(
        Source(mark("University of Rochester children's programme"), Status.FOUND),
        Source(mark("RCEM Learning, tracheostomy emergencies in adults"), Status.FOUND),
        Source(mark("LITFL, bleeding tracheostomy"), Status.FOUND),
        Source(mark("how often, the person's own days, and when only a call"), Status.PRACTICE),
    ),
    told=True,
    day=True,
    looks_back=2 * DAY_24_H,
    recorded_days=USUAL_DAYS + NEWEST_DAYS + 2,
    until_told=(
        Said("suction", "blood", ("fresh",)),
        Said("suction", "colour", ("red",)),
        Said("stoma", "fluid", ("blood",)),
    ),
)
_FRESH_WORDS = {
    "suction": mark("Fresh or red blood in the suction at {time}."),
    "tube_change": mark("Fresh bleeding at the tube change at {time}."),
    "stoma": mark("Blood at the stoma at {time}."),
}
_LARGE = mark("A large amount, blood-stained, at {time}.")
_TWICE = mark("Blood-stained a second time within 24 h, at {time}.")
_BEFORE = mark("Before it: {entry}")


def is_fresh(entry: Entry) -> bool:
    """Blood that is urgent whatever came before."""
    details = entry.details
    if entry.kind == "suction":
        return details.get("blood") == "fresh" or details.get("colour") == "red"
    if entry.kind == "tube_change":
        return bool(details.get("bleeding") == "fresh")
    return bool(details.get("fluid") == "blood")


def is_stained(details: Details) -> bool:
    """Streaks or pink in a suction, neither fresh nor red."""
    fresh = details.get("blood") == "fresh" or details.get("colour") == "red"
    return not fresh and (details.get("blood") == "streaks" or details.get("colour") == "pink")


def is_usual(days: Sequence[date], pair_days: Collection[date], day: date) -> bool:
    """Whether two within 24 h happened on 3 or more of the 42 recorded days before the newest three."""
    end = max(bisect_left(days, day) + 1 - NEWEST_DAYS, 0)
    return sum(1 for each in days[max(end - USUAL_DAYS, 0) : end] if each in pair_days) >= USUAL_FROM


def _fresh(rule: Rule, ledger: Ledger, held: Held) -> Sign | None:
    if not is_fresh(held.entry):
        return None
    level = Level.CALL if _is_expected(ledger, held.entry) else Level.URGENT
    return evidence(rule, ledger, held, level, timed(_FRESH_WORDS[held.entry.kind], ledger, held))


def _is_expected(ledger: Ledger, entry: Entry) -> bool:
    """Blood from the edge of the stoma; bleeding at a planned change that a nurse recorded."""
    if entry.kind == "tube_change":
        return entry.details.get("reason") == "planned" and ledger.roles.get(entry.id) == "nurse"
    return entry.kind == "stoma" and entry.details.get("fluid_from") == "skin_edge"


def _is_pair(first: Held, second: Held) -> bool:
    """Whether a suction is blood-stained and lies in the 24 h before another that is."""
    both = is_stained(first.entry.details) and is_stained(second.entry.details)
    return both and first.time <= second.time <= first.time + TWICE_WITHIN


class BloodEvents(Events):
    """Fresh blood by itself; blood-stained suctions by the one before and by the person's own days."""

    def __init__(self, rule: Rule, ledger: Ledger) -> None:
        super().__init__(rule, ledger, ("suction", "tube_change", "stoma"), self._either)
        self._stained = Shelf()
        self._pairs: dict[str, date] = {}
        self._pair_days: Counter[date] = Counter()
        self._recent: dict[str, Instant] = {}

    def _either(self, ledger: Ledger, held: Held) -> Sign | None:
        return _fresh(self.rule, ledger, held) or self._second(held) or self._large(held)

    def _large(self, held: Held) -> Sign | None:
        details = held.entry.details
        if held.entry.kind != "suction" or not is_stained(details) or details.get("amount") != "large":
            return None
        return evidence(self.rule, self.ledger, held, Level.CALL, timed(_LARGE, self.ledger, held))

    def _second(self, second: Held) -> Sign | None:
        day = self._pairs.get(second.first.id)
        if day is None or is_usual(self.ledger.days, self._pair_days, day):
            return None
        first = self._before(second)
        if first is None:
            return None
        why = f"{as_written(self.ledger, second)} {say(_BEFORE).format(entry=as_written(self.ledger, first))}"
        sign = evidence(
            self.rule, self.ledger, second, Level.CALL, timed(_TWICE, self.ledger, second), why=why
        )
        known = self.ledger.first_known(first, lambda version: _is_pair(version, second))
        return replace(sign, entries=(first.entry.id, second.entry.id), known=max(known, second.known))

    def _before(self, second: Held) -> Held | None:
        """The blood-stained suction in the 24 h before another, the newest."""
        earlier = self._stained.backward(order_of(second))
        first = next((held for held in earlier if held.first.id != second.first.id), None)
        return first if first is not None and _is_pair(first, second) else None

    def take(self, shift: Shift, now: Instant) -> bool:
        if shift.kind != "suction":
            return super().take(shift, now)
        stained = [held for held in (shift.before, shift.after) if held and is_stained(held.entry.details)]
        if not stained and shift.root not in self._all:
            return super().take(shift, now)
        changed = self._take_stained(shift, stained, now)
        return super().take(shift, now) or changed

    def _take_stained(self, shift: Shift, stained: Sequence[Held], now: Instant) -> bool:
        """Keep the stained suctions in order, and judge those anew whose place or days have changed."""
        later = {next(self._stained.forward(order_of(held)), None) for held in stained}
        self._keep(shift)
        later |= {next(self._stained.forward(order_of(held)), None) for held in stained}
        roots = {held.first.id for held in later if held is not None} | {shift.root}
        moved = {day for root in roots for day in self._pair_anew(root)}
        self._recent = {root: at for root, at in self._recent.items() if at + DAY_24_H > now}
        self._recent |= dict.fromkeys(roots, now)
        changed = [self._judge_anew(root) for root in roots]
        return self._days_moved(moved, now) or any(changed)

    def _keep(self, shift: Shift) -> None:
        before, after = shift.before, shift.after
        if before is not None and is_stained(before.entry.details):
            self._stained.drop(before)
        if after is not None and is_stained(after.entry.details):
            self._stained.put(after)

    def _pair_anew(self, root: str) -> Iterator[date]:
        """Work out anew whether a stained suction is a second one; the days on which that has changed."""
        held = self.ledger.held.get(root)
        is_stain = held is not None and held.entry.kind == "suction" and is_stained(held.entry.details)
        is_second = held is not None and is_stain and self._before(held) is not None
        day = self.ledger.day(held.time) if held is not None and is_second else None
        before = self._pairs.pop(root, None)
        if day is not None:
            self._pairs[root] = day
            self._pair_days[day] += 1
        if before is not None:
            self._pair_days[before] -= 1
            if not self._pair_days[before]:
                del self._pair_days[before]
        if day != before:
            yield from (each for each in (day, before) if each is not None)

    def _days_moved(self, moved: Collection[date], now: Instant) -> bool:
        newest = self.ledger.days[-NEWEST_DAYS:]
        if not moved or (newest and min(moved) >= newest[0]):
            return False
        return self.days_changed(now)

    def days_changed(self, now: Instant) -> bool:
        """Judge anew what may still show something: pairs of the last 24 h, and those a flag holds."""
        roots = [root for root in {*self._recent, *self._live} if root in self._pairs]
        changed = [self._judge_anew(root) for root in roots]
        return any(changed)


ROWS: tuple[Row, ...] = ((BLOOD, BloodEvents),)
