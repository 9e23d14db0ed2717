"""What an import did beside adding lines: whose entries came, and what changed through them."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from carelog.analysis.home import home_of
from carelog.analysis.in_force import Held, Reading
from carelog.analysis.past import PastWindow
from carelog.analysis.plans import plan_at
from carelog.analysis.revision import revision
from carelog.analysis.times import dated
from carelog.app.ports import Arrival, Record
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag
from carelog.domain.moment import HOUR, MINUTE, Home, Instant
from carelog.domain.plan import Plan
from carelog.kinds import named_or_unknown
from carelog.kinds.plan import PLAN
from carelog.text import mark, say, say_n

DOUBT = 15 * MINUTE  # ahead of this clock: no time of writing any more, but another clock's fault
MOST_RIVALS = 5  # lines; the timeline shows all

CLOCK = mark(
    "The newest of them was written {hours} h ahead of this computer's clock. One of the two clocks is wrong."
)
OTHER_PLAN = mark("The care plan changed: {words}. Set by {earlier} before, by {by} from {when} on.")
FIRST_PLAN = mark("There is a care plan now, set by {by}, from {when} on.")
BEGAN = mark("Flag through it: {headline}")
ENDED = mark("No flag any more through it: {headline}")
TWO = mark("Two computers changed {what} of {when}. Choose one on the page Two versions.")


@dataclass(frozen=True, slots=True)
class BeforeImport:
    """How a record stood before an import: its last place of arrival, the plan in force, the flags."""

    last: Arrival
    plan: Plan | None
    flags: Mapping[tuple[str, str], Flag]


def before_import(record: Record, now: Instant) -> BeforeImport:
    """How a record stands now; `told` compares it with what an import made of it."""
    last = record.last_arrival()
    return BeforeImport(last, _plan(record, now), _flags(record, now) if last else {})


def told(record: Record, before: BeforeImport, now: Instant) -> list[str]:
    """What an import did, a line each: who wrote what; in a record that had entries also what changed."""
    new = [entry for _, entry in record.arrived(before.last)]
    home = home_of(record)
    lines = [*_whose(new), *_clock(new, now)]
    if new and before.last:
        lines += [*_plan_words(record, before, now, home), *_flag_words(record, before, now)]
    chains = Reading(record.chain([each.amends or each.id for each in new if each.amends]))
    lines += [two_words(held, home) for held in unsolved(chains)[:MOST_RIVALS]]
    return lines


def unsolved(reading: Reading) -> list[Held]:
    """The entries that two computers changed, each another way, and nobody has chosen between."""
    return [held for held in reading.held if held.rivals]


def two_words(held: Held, home: Home) -> str:
    """The line for an entry that two computers changed."""
    what = say(named_or_unknown(held.entry.kind).title)
    return say(TWO).format(what=what, when=dated(home, held.time))


def _whose(new: Sequence[Entry]) -> Iterator[str]:
    """One line a person: how many entries of which kinds."""
    by: dict[str, Counter[str]] = {}
    for entry in new:
        by.setdefault(entry.by, Counter())[entry.kind] += 1
    for initials, kinds in sorted(by.items(), key=lambda each: (-each[1].total(), each[0])):
        parts = (
            f"{say(named_or_unknown(kind).title)} {count}"
            for kind, count in sorted(kinds.items(), key=lambda each: (-each[1], each[0]))
        )
        who = initials or say("no name")
        words = say_n("{count} entry by {who}: {kinds}.", "{count} entries by {who}: {kinds}.", kinds.total())
        yield words.format(count=kinds.total(), who=who, kinds=", ".join(parts))


def _clock(new: Sequence[Entry], now: Instant) -> Iterator[str]:
    ahead = max((entry.recorded_at for entry in new), default=now) - now
    if ahead > DOUBT:
        yield say(CLOCK).format(hours=f"{ahead / HOUR:.1f}".removesuffix(".0"))


def _plan(record: Record, now: Instant) -> Plan | None:
    return plan_at(Reading(record.of_kinds([PLAN.name])), now)


def _plan_words(record: Record, before: BeforeImport, now: Instant, home: Home) -> Iterator[str]:
    after = _plan(record, now)
    if after is None or (before.plan is not None and after.entry == before.plan.entry):
        return
    when, by = dated(home, after.since), after.details["set_by"]
    if before.plan is None:
        yield say(FIRST_PLAN).format(by=by, when=when)
    else:
        earlier, words = before.plan.details["set_by"], revision(before.plan, after)
        yield say(OTHER_PLAN).format(earlier=earlier, by=by, when=when, words=words)


def _flags(record: Record, now: Instant) -> dict[tuple[str, str], Flag]:
    """The flags in force at a moment, by rule and subject."""
    found = PastWindow(record, now, live_now=now).flags()
    return {(each.rule, each.subject or ""): each for each in found if each.cleared_at is None}


def _flag_words(record: Record, before: BeforeImport, now: Instant) -> Iterator[str]:
    after = _flags(record, now)
    for words, of, other in ((BEGAN, after, before.flags), (ENDED, before.flags, after)):
        for name in sorted(of.keys() - other.keys(), key=lambda each: (-of[each].level, each)):
            yield say(words).format(headline=of[name].headline)
