"""Give and take with a stick; three computers in all orders; a file for somebody with a passphrase."""

import io
import json
import random
from collections.abc import Callable, Iterator
from contextlib import ExitStack
from dataclasses import replace as replaced
from itertools import permutations
from pathlib import Path

import pytest

from carelog.app.clock import new_ids
from carelog.commands.meeting import FOLDER, meet
from carelog.commands.surroundings import Surroundings
from carelog.domain.entry import Entry
from carelog.domain.moment import HOUR, MINUTE, Instant
from carelog.paths import Places
from carelog.seal.code import make
from carelog.seal.keyring import Keyring
from carelog.seal.magic import is_envelope
from carelog.store.opening import open_record
from carelog.store.record import StoredRecord
from tests.commands.test_code import Computer
from tests.journeys.household import Household
from tests.store.making import PERSON, START, change, entry

CODE = make(bytes(range(26)))
PLANTED = "a planted word"


class Standing:
    """A clock that stands still."""

    def __init__(self, instant: Instant) -> None:
        self._instant = instant

    def now(self) -> Instant:
        return self._instant

    def zone(self) -> str:
        return "Europe/London"


class House:
    """One computer with its record, its keys and a clock of its own."""

    def __init__(self, folder: Path, name: str, hours: int = 0, *, has_code: bool = True) -> None:
        self.name = name * 8
        places = Places(*(folder / name / each for each in ("data", "config", "state")))
        places.make()
        clock = Standing(START + hours * HOUR + 400 * MINUTE)
        nowhere = io.StringIO()
        self.around = Surroundings(places, clock, new_ids, nowhere, nowhere, io.BytesIO, {})
        self.keys = Keyring(places.keys)
        if has_code:
            self.keys.take(CODE, clock.now())
        self.record: StoredRecord = open_record(places.record, installation=self.name, create=PERSON)

    def meet(self, stick: Path) -> list[str]:
        return meet(self.record, stick, self.name, self.around, is_sealed=self.keys.read() is not None)

    def all(self) -> list[Entry]:
        return sorted(self.record.everything(), key=lambda each: each.id)


Houses = Callable[..., House]


@pytest.fixture
def houses() -> Iterator[Houses]:
    """Makes houses, and closes their records after the test."""
    with ExitStack() as stack:

        def made(folder: Path, name: str, hours: int = 0, *, has_code: bool = True) -> House:
            house = House(folder, name, hours, has_code=has_code)
            stack.callback(house.record.close)
            return house

        yield made


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    folder = tmp_path / "stick"
    folder.mkdir()
    return folder


def test_what_one_leaves_on_the_stick_the_other_takes_in_one_act(
    houses: Houses, tmp_path: Path, stick: Path
) -> None:
    one, two = houses(tmp_path, "a"), houses(tmp_path, "b")
    one.record.append([entry(1, note=PLANTED), entry(2)])
    two.record.append([entry(3)])
    assert "Nothing of your other computers is on the stick yet." in one.meet(stick)
    said = two.meet(stick)
    assert "2 entries were added, 0 already there." in said
    assert "All 3 entries lie on the stick for your other computers. The file is encrypted." in said
    assert "One entry was added, 2 already there." in one.meet(stick)
    assert one.all() == two.all()
    assert "0 entries were added, 3 already there." in two.meet(stick)
    files = list((stick / FOLDER).iterdir())
    assert len(files) == 2
    for file in files:
        content = file.read_bytes()
        assert is_envelope(content)
        assert PLANTED.encode() not in content
        assert "Odette" not in file.name


def test_without_a_code_the_files_are_plain_and_that_is_said(
    houses: Houses, tmp_path: Path, stick: Path
) -> None:
    one, two = houses(tmp_path, "a", has_code=False), houses(tmp_path, "b", has_code=False)
    one.record.append([entry(1)])
    assert "The file isn't encrypted." in one.meet(stick)[-1]
    assert two.meet(stick)[0] == "One entry was added, 0 already there."
    one.keys.take(CODE, START)
    one.meet(stick)  # and from now on it is encrypted, with nothing plain of it left
    (ours,) = (stick / FOLDER).glob("d4861c73-aaaaaaaa*")
    assert is_envelope(ours.read_bytes())


def test_a_file_that_is_spoiled_or_another_household_s_keeps_nothing_else_from_its_way(
    houses: Houses, tmp_path: Path, stick: Path
) -> None:
    one, two, three, other = (houses(tmp_path, name) for name in "abcd")
    other.keys.path.unlink()
    other.keys.take(make(bytes(26)), START)
    for number, house in enumerate((one, two, three, other)):
        house.record.append([entry(number + 1)])
    two.meet(stick)
    three.meet(stick)
    (spoiled,) = (stick / FOLDER).glob("*bbbbbbbb*")
    spoiled.write_bytes(spoiled.read_bytes()[:-3])
    before = len(one.all())
    other.meet(stick)
    said = one.meet(stick)
    assert any("another household's" in each for each in said)
    assert any("is missing" in each for each in said)
    assert len(one.all()) > before
    assert entry(4) not in one.all()
    assert any("lie on the stick" in each for each in said)


def stories(rng: random.Random) -> list[list[Entry]]:
    """What three computers write: the same beginning, then amendments, strikes and plans of each."""
    first = [entry(number) for number in range(1, 9)]
    found = []
    for house in range(3):
        hours = (0, 5, -7)[house] * HOUR
        own = [
            replaced(entry(100 * (house + 1) + n), recorded_at=START + n * MINUTE + hours + 10_000_000)
            for n in range(6)
        ]
        for n, target in enumerate(rng.sample(range(1, 9), 4)):
            number = 100 * (house + 1) + 50 + n
            made = change(number, target, details={"amount": rng.choice(("small", "large"))})
            if n == 3:
                made = replaced(made, details={}, withdrawn=True, at=entry(target).at, reason="a slip")
            own.append(replaced(made, recorded_at=made.recorded_at + hours))
        plan = {"set_by": f"nurse {house}", "tasks": [{"kind": "mouth_care", "every_h": 4 + house}]}
        own.append(replaced(entry(100 * (house + 1) + 90, "plan", details=plan), by=f"H{house}"))
        found.append([*first, *own])
    return found


def test_three_computers_in_six_orders_have_the_same_set_and_what_they_are_told_is_true(
    houses: Houses, tmp_path: Path
) -> None:
    told = 0
    for number, order in enumerate(permutations("abc")):
        folder = tmp_path / str(number)
        stick = folder / "stick"
        stick.mkdir(parents=True)
        three = {name: houses(folder, name, hours) for name, hours in zip("abc", (0, 5, -7), strict=True)}
        written = stories(random.Random(5))
        for house, entries in zip(three.values(), written, strict=True):
            house.record.append(entries)
        wanted = {each.id: each for entries in written for each in entries}
        for name in (*order, *order):
            house = three[name]
            before = len(house.all())
            said = house.meet(stick)
            added = sum(int(each.split()[0]) for each in said if " were added, " in each)
            added += sum(" was added, " in each for each in said)
            assert added == len(house.all()) - before
            told += added
        for house in three.values():
            assert {each.id: each for each in house.all()} == wanted
            assert house.record.check() == []
    assert told > 100


# For somebody -----------------------------------------------------------------------------------------


def test_a_file_for_somebody_opens_by_its_passphrase_and_by_nothing_else(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = Household(tmp_path)
    home.write("2 08:00", "suction", colour="white", _note=PLANTED)
    record, out = home.record(), tmp_path / "for-the-nurse.sealed"
    here, there = Computer(tmp_path / "here", monkeypatch), Computer(tmp_path / "there", monkeypatch)
    words = "a horse, a staple"
    given = here.run("export", str(out), "--record", str(record), "--passphrase", "-", typed=words)
    assert given.status == 0, given.err
    assert is_envelope(out.read_bytes())
    assert PLANTED.encode() not in out.read_bytes()
    new = ["import", str(out), "--record", str(tmp_path / "new.carelog")]
    assert "encrypted with a passphrase" in there.run(*new).err
    assert "doesn't open" in there.run(*new, "--passphrase", "a horse, a stable").err
    assert not (tmp_path / "new.carelog").exists()
    assert there.run(*new, "--passphrase", words).status == 0
    refused = here.run("export", str(tmp_path / "x"), "--record", str(record), "--passphrase", "short")
    assert (refused.status, "too short" in refused.err) == (2, True)
    assert not (tmp_path / "x").exists()
    assert json.loads(there.run("due", "--record", str(tmp_path / "new.carelog"), "--json").out) == []
