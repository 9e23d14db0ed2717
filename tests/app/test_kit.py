"""The household's things read from as much of a record as they need, and the computer's own battery."""

from pathlib import Path
from random import Random
from typing import Any

import pytest

from carelog.analysis.in_force import Reading
from carelog.analysis.things import things
from carelog.app.kit import things_of
from carelog.app.kit_battery import ComputerBattery, computer_battery
from carelog.domain.moment import DAY_24_H, HOUR
from tests.ui.household import NOW, Memory, household


def years(random: Random) -> Memory:
    """A year and a half of care, machines and counts, with gaps."""
    record = household()
    number = 0

    def add(kind: str, back: int, details: dict[str, Any]) -> None:
        nonlocal number
        number += 1
        entry = record.entries[0]
        moment = NOW - back
        record.entries.append(
            type(entry)(
                f"70000000-0000-7000-8000-{number:012x}",
                kind,
                type(entry.at)(moment),
                moment,
                entry.zone,
                "LR",
                details,
            )
        )

    for day in range(1, 540):
        back = day * DAY_24_H
        if random.random() < 0.8:
            for hour in range(random.randrange(4)):
                add("suction", back + hour * HOUR, {"catheter_fr": 10, "passes": random.randrange(1, 4)})
        if random.random() < 0.1:
            device = random.choice(["suction_machine", "suction_backup", "nebuliser"])
            more: dict[str, Any] = random.choice(
                [{}, {"charged": True}, {"on_battery_min": 60}, {"canister": "full"}]
            )
            name: dict[str, Any] = random.choice([{}, {"name": "upstairs"}])
            add("equipment_check", back, {"device": device, "works": True, **name, **more})
        if random.random() < 0.05:
            add("box_check", back, {"present": ["ties"], "missing": ["gel"]})
    for back in (300, 200, 100):
        add("stock", back * DAY_24_H, {"item": "suction catheter 10 Fr", "count": 5000})
    add("stock", 400 * DAY_24_H, {"item": "HME", "count": 40})
    add("equipment_check", 200 * DAY_24_H, {"device": "other", "works": True, "given_back": True})
    add("equipment_check", 300 * DAY_24_H, {"device": "other", "works": True, "on_battery_min": 9})
    return record


@pytest.mark.parametrize("seed", range(3))
def test_what_is_read_of_a_long_record_tells_the_same_as_all_of_it(seed: int) -> None:
    record = years(Random(seed))
    assert things_of(record, NOW) == things(Reading(record.everything(), live_now=NOW), NOW)


def test_an_empty_record_has_no_things() -> None:
    found = things_of(Memory(), NOW)
    assert (found.kit.tube, found.machines, found.supplies, found.changes) == (None, (), (), ())


def shown(folder: Path, name: str, **files: object) -> None:
    """One supply as the system shows it."""
    place = folder / name
    place.mkdir(parents=True)
    for file, text in files.items():
        (place / file).write_text(f"{text}\n")


BATTERY = {"type": "Battery", "status": "Discharging", "capacity": 82}


@pytest.mark.parametrize(
    ("supplies", "expected"),
    [
        ([], None),
        ([{"type": "Mains", "online": 1}], None),
        ([{**BATTERY, "scope": "Device"}], None),
        ([{**BATTERY, "energy_now": 30_000_000, "power_now": 10_000_000}], ComputerBattery(82, 180, True)),
        ([{**BATTERY, "charge_now": 2_000_000, "current_now": -1_000_000}], ComputerBattery(82, 120, True)),
        ([BATTERY], ComputerBattery(82, None, True)),
        ([{**BATTERY, "energy_now": 30_000_000, "power_now": 0}], ComputerBattery(82, None, True)),
        ([{**BATTERY, "energy_now": "unreadable", "power_now": 5_000}], ComputerBattery(82, None, True)),
        (
            [{**BATTERY, "status": "Charging", "energy_now": 30_000_000, "power_now": 10_000_000}],
            ComputerBattery(82, None, False),
        ),
        (
            [
                {**BATTERY, "capacity": 60, "energy_now": 30_000_000, "power_now": 10_000_000},
                {"type": "Battery", "status": "Unknown", "capacity": 100, "energy_now": 20_000_000},
            ],
            ComputerBattery(80, 300, True),
        ),
    ],
)
def test_how_long_the_computers_battery_lasts_is_what_the_system_tells(
    tmp_path: Path, supplies: list[dict[str, object]], expected: ComputerBattery | None
) -> None:
    for number, files in enumerate(supplies):
        shown(tmp_path, f"BAT{number}", **files)
    assert computer_battery(tmp_path) == expected


def test_a_system_that_shows_no_batteries_has_none(tmp_path: Path) -> None:
    assert computer_battery(tmp_path / "nowhere") is None
