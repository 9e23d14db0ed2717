"""As much of a record as is read for them shows the flags that the whole of it shows."""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from carelog.analysis import excerpt, past
from carelog.analysis.flags import replay
from carelog.analysis.flags.ledger import Ledger
from carelog.analysis.flags.period import flags
from carelog.analysis.flags.watch import SHOWN_FOR, Watch
from carelog.analysis.in_force import Held
from carelog.analysis.past import PastWindow
from carelog.analysis.rules.equipment import EQUIPMENT, EquipmentTracker
from carelog.analysis.rules.evidence import evidence
from carelog.analysis.rules.rule import PRACTICE, Rule
from carelog.analysis.rules.sign import Sign
from carelog.analysis.rules.table import ROWS
from carelog.analysis.rules.tracker import Events, Row
from carelog.analysis.usual.noticing import Noticing
from carelog.domain.entry import Entry
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import DAY_24_H, HOUR, Instant, Moment
from carelog.kinds import ALL
from tests.flags import households
from tests.flags.households import FIRST, LARGEST_SEED, Household, household
from tests.flags.story import Story, clock
from tests.flags.test_rules import CASES
from tests.strategies import entries as every_kind
from tests.ui.household import Memory

HALF_A_YEAR = 180 * DAY_24_H


@pytest.fixture(autouse=True, scope="module")
def _short() -> Iterator[None]:
    """Read no further back for the flags by statistics, which aren't held here."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(excerpt, "NEWEST", 1)
        patch.setattr(past, "NEWEST", 1)
        patch.setattr(Noticing, "known_from", lambda noticing: FIRST - HALF_A_YEAR)
        yield


def written(found: Sequence[Flag]) -> list[Flag]:
    """The flags by the rules on what was written."""
    return [flag for flag in found if not flag.by_statistics]


def whole(entries: Sequence[Entry], now: Instant) -> list[Flag]:
    """The flags of now in a replay of everything."""
    return written(flags(entries, now - SHOWN_FOR, now, live_now=now))


def part(entries: Sequence[Entry], now: Instant) -> list[Flag]:
    """The flags of now in as much as is read for them."""
    window = PastWindow(Memory(entries=list(entries)), now - SHOWN_FOR, live_now=now).settled()
    return written(window.between(now - SHOWN_FOR, now + 1, now))


def check(entries: Sequence[Entry], days: int, times: Sequence[float]) -> None:
    """At some times of the last two thirds of the days the part shows what the whole shows."""
    for each in times:
        now = FIRST + int((days // 3 + each * (days - days // 3)) * 24) * HOUR
        assert part(entries, now) == whole(entries, now)


def anywhere(entry: Entry, place: tuple[float, int], days: int) -> list[Entry]:
    """An entry at some time of these days, written down some hours later; none where it can't be."""
    share, later = place
    at = FIRST + int(share * days * 24) * HOUR
    if NAMED[entry.kind].problems(entry.details, at):
        return []
    return [replace(entry, at=Moment(at), recorded_at=at + later * HOUR)]


shares = st.floats(0, 1, exclude_max=True)
NAMED = {kind.name: kind for kind in ALL}


@settings(max_examples=6, suppress_health_check=list(HealthCheck))
@given(
    st.sampled_from([100, 200, 365]),
    st.lists(st.integers(0, LARGEST_SEED), min_size=1, max_size=120),
    st.lists(st.tuples(every_kind, st.tuples(shares, st.integers(0, 47))), max_size=24),
    st.lists(shares, min_size=3, max_size=3),
)
def test_a_part_of_a_year_shows_what_the_whole_shows(
    days: int, seeds: list[int], others: list[tuple[Entry, tuple[float, int]]], times: list[float]
) -> None:
    """Each entry is whole in its own number or draw, so that an example that fails shrinks entry by entry."""
    entries = Household(days, is_fuller=True).write(seeds)
    entries += [made for entry, place in others for made in anywhere(entry, place, days)]
    check(list({entry.id: entry for entry in entries}.values()), days, times)


@pytest.mark.parametrize("seed", [5, *(pytest.param(seed, marks=pytest.mark.long) for seed in (9, 35))])
def test_it_does_so_in_fuller_years(seed: int) -> None:
    random = Random(seed)
    check(household(random, 250, 300), 300, [random.random() for _ in range(3)])


def test_an_entry_of_a_household_stays_as_it_is_whatever_else_may_be_drawn(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """So one more kind or field moves no other draw, and no rare rule out of the households of a seed."""
    before = Household(10, is_fuller=True).write(range(300), changes=0)
    more = {**households.MORE, "shift": {}}
    more["suction"] = {**more["suction"], "saline": (0.5, [True])}
    monkeypatch.setattr(households, "MORE", more)
    after = Household(10, is_fuller=True).write(range(300), changes=0)
    assert {each.kind for each in after} == {each.kind for each in before} | {"shift"}
    for old, new in zip(before, after, strict=True):
        kept = {name: value for name, value in new.details.items() if name != "saline"}
        assert new.kind == "shift" or replace(new, details=kept, kind=old.kind) == old
    assert sum(each.kind == "shift" for each in after) < 30


def test_what_a_clock_ahead_wrote_first_of_all_shows_its_flag_now() -> None:
    """The clock is put right after the first entry of a record: all of it lies ahead of now."""
    entries = Story().tell("9 08:00 inner_tube outcome=stuck").entries
    now = clock("2 08:00")
    assert [flag.rule for flag in part(entries, now)] == ["stuck_inner_tube"]
    assert part(entries, now) == whole(entries, now)


# A rule that looks back half a year ---------------------------------------------------------------------

LONG = Rule(
    name="saline_again",
    title="Saline again",
    raised="",
    level="",
    clears="",
    sources=(PRACTICE,),
    day=True,
    looks_back=HALF_A_YEAR,
)


def again(rule: Rule, ledger: Ledger, held: Held) -> Sign | None:
    """A suction with saline, and one before it in the last 180 days."""
    before = ledger.shelf("suction").between(held.time - HALF_A_YEAR, held.time - 1)
    if not all(any(each.entry.details.get("saline") for each in some) for some in ([held], before)):
        return None
    return evidence(rule, ledger, held, Level.CALL, "Saline again")


def row(rule: Rule) -> Row:
    """The rule at work."""
    return rule, lambda rule, ledger: Events(rule, ledger, ("suction",), partial(again, rule))


def long_story() -> Story:
    """Suctions every day, twice with saline, 160 days apart."""
    story = Story().tell("1 08:00 person name=Odette home_zone=UTC")
    story.tell(*(f"{day} 08:00 suction amount=small" for day in range(1, 281)))
    return story.tell("120 09:00 suction saline=true", "280 09:00 suction saline=true")


def found_by(rule: Rule, monkeypatch: pytest.MonkeyPatch) -> tuple[set[str], set[str]]:
    """The rules whose flags a part and the whole of that story show, with one rule more."""
    monkeypatch.setattr(replay, "ROWS", (*ROWS, row(rule)))
    entries, now = long_story().entries, clock("280 12:00")
    return {flag.rule for flag in part(entries, now)}, {flag.rule for flag in whole(entries, now)}


def test_a_rule_that_declares_half_a_year_is_shown_by_the_window(monkeypatch: pytest.MonkeyPatch) -> None:
    in_part, in_whole = found_by(LONG, monkeypatch)
    assert "saline_again" in in_part
    assert in_part == in_whole


def test_a_rule_that_declares_too_little_is_caught(monkeypatch: pytest.MonkeyPatch) -> None:
    """The control: the same comparison fails."""
    in_part, in_whole = found_by(replace(LONG, looks_back=DAY_24_H), monkeypatch)
    assert "saline_again" in in_whole - in_part


# Every case of many weeks ------------------------------------------------------------------------------


def among_days(*lines: str) -> Story:
    """What a case tells, with mouth care on every day of two months before it and up to its end."""
    story = Story().tell(*lines)
    first = min(each.at.instant for each in story.entries)
    last = max(each.recorded_at for each in story.entries)
    days = range(first - 60 * DAY_24_H, last, DAY_24_H)
    care = [
        Entry(f"{n:08}-0000-4000-8000-000000000000", "mouth_care", Moment(t), t) for n, t in enumerate(days)
    ]
    return Story([*story.entries, *care])


def weeks(lines: Sequence[str]) -> float:
    """How many weeks lie between the first and the last entry that a case tells of."""
    entries = Story().tell(*lines).entries
    times = [each.at.instant for each in entries] or [0]
    return (max(times) - min(times)) / (7 * DAY_24_H)


@pytest.mark.parametrize("name", [name for name, case in CASES.items() if weeks(case[1]) > 3])
def test_a_case_of_many_weeks_is_shown_by_as_much_as_is_read(name: str) -> None:
    """A case with something that ends a rule between what shows it finds a look-back that is too short."""
    rule, lines, _ = CASES[name]
    entries = among_days(*lines).entries
    now = max(each.recorded_at for each in entries) + 1
    assert [each for each in part(entries, now) if each.rule == rule] == [
        each for each in whole(entries, now) if each.rule == rule
    ]


@pytest.mark.parametrize(("looks_back", "is_found"), [(HALF_A_YEAR, True), (DAY_24_H, False)])
def test_of_such_a_case_a_part_lacks_what_a_rule_doesnt_declare(
    looks_back: Instant, is_found: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The control: a day in place of half a year."""
    monkeypatch.setattr(replay, "ROWS", (*ROWS, row(replace(LONG, looks_back=looks_back))))
    saline = "suction saline=true"
    entries = among_days(f"2 08:00 {saline}", "80 08:00 suction amount=small", f"122 08:00 {saline}").entries
    now = max(each.recorded_at for each in entries) + 1
    assert "saline_again" in {each.rule for each in whole(entries, now)}
    assert ("saline_again" in {each.rule for each in part(entries, now)}) is is_found


# The window, entry by entry -----------------------------------------------------------------------------


class Counting(Memory):
    """A record that counts how often its past is read."""

    times = 0

    def begins(self) -> Instant:
        self.times += 1
        return super().begins()


def live(entries: Sequence[Entry], now: Instant) -> list[Flag]:
    """What a replay of everything shows now."""
    return flags(entries, now - SHOWN_FOR, now, live_now=now)


@pytest.mark.parametrize("seed", range(6))
def test_the_live_flags_are_those_of_a_replay_whatever_arrives_in_whatever_order(seed: int) -> None:
    random = Random(seed)
    waiting = sorted(household(random, 60, 40), key=lambda entry: entry.recorded_at)
    for _ in range(len(waiting) // 5):
        waiting.insert(random.randrange(len(waiting)), waiting.pop(random.randrange(len(waiting))))
    record, now = Memory(), waiting[0].recorded_at
    watch = Watch(record)
    while waiting:
        batch = [waiting.pop(0) for _ in range(min(random.randrange(1, 5), len(waiting)))]
        record.append(batch)
        watch.add(batch)
        now = max(*(entry.recorded_at for entry in batch), now - random.choice([0, 0, 6]) * HOUR)
        now += random.choice([0, 0, 1, 30]) * HOUR - random.choice([0, 0, 0, 20]) * HOUR
        assert written(watch.at(now)) == written(live(record.entries, now))


def test_a_press_doesnt_make_it_read_the_past_again() -> None:
    record = Counting(entries=long_story().entries)
    watch = Watch(record)
    watch.at(clock("280 12:00"))
    for hour in range(13, 20):
        entry = Story().tell(f"280 {hour}:00 suction blood=fresh").entries[0]
        record.append([replace(entry, id=f"{hour:08}-0000-4000-8000-000000000000")])
        watch.add(record.entries[-1:])
        assert "blood" in {flag.rule for flag in watch.at(clock(f"280 {hour}:01"))}
    assert record.times == 1


def test_an_entry_of_long_ago_makes_it_read_what_lies_beside() -> None:
    record = Counting(entries=long_story().entries)
    watch = Watch(record)
    watch.at(clock("280 12:00"))
    late = replace(Story().tell("120 08:00 > 280 12:30 suction blood=fresh").entries[0], id="f" * 36)
    record.append([late])
    watch.add([late])
    now = clock("280 13:00")
    assert written(watch.at(now)) == written(live(record.entries, now))
    assert "blood" in {flag.rule for flag in watch.at(now)}
    assert record.times == 2


def test_an_empty_record_shows_nothing_live() -> None:
    watch = Watch(Memory())
    assert watch.at(clock("2 09:00")) == []
    assert watch.at(clock("1 09:00")) == []


# Several things of a kind, each with what stands of it ---------------------------------------------------


def machines() -> list[Entry]:
    """A small machine found broken long ago; since then a large one is checked every day."""
    story = Story().tell("1 08:00 person name=Odette home_zone=UTC")
    story.tell("2 08:00 equipment_check device=nebuliser name=small works=false")
    large = "equipment_check device=nebuliser name=large works=true"
    return story.tell(*(f"{day} 09:00 {large}" for day in range(3, 141))).entries


def test_a_machine_that_nobody_checked_for_months_still_shows_what_was_found() -> None:
    entries, now = machines(), clock("140 12:00")
    assert "nebuliser:small" in [flag.subject for flag in whole(entries, now)]
    assert part(entries, now) == whole(entries, now)


def test_machines_that_are_not_told_apart_would_be_missed(monkeypatch: pytest.MonkeyPatch) -> None:
    """The control: what stands is asked of all of them together."""
    together = replace(EQUIPMENT, stands=tuple(replace(said, each=()) for said in EQUIPMENT.stands))
    others = [row for row in ROWS if row[0] is not EQUIPMENT]
    monkeypatch.setattr(replay, "ROWS", (*others, (together, EquipmentTracker)))
    found = part(machines(), clock("140 12:00"))
    assert "nebuliser:small" not in [flag.subject for flag in found]
