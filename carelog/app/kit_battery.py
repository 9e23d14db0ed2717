"""This computer's own battery, as far as the system tells: how full it is and how long it lasts."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

SYSTEM = Path("/sys/class/power_supply")
"""Where Linux shows batteries and chargers, a folder each; on other systems there is none."""
DISCHARGING = "Discharging"
MOST_MINUTES = 7 * 24 * 60
SLOWEST = 1000
"""µW or µA; less than that is a gauge that hasn't settled after the plug was pulled."""


@dataclass(frozen=True, slots=True)
class ComputerBattery:
    """How full it is in percent, and the minutes that it lasts; None: not told, or it is plugged in."""

    percent: int | None
    minutes: int | None
    is_discharging: bool


def computer_battery(folder: Path = SYSTEM) -> ComputerBattery | None:
    """The batteries that drive this computer, taken together; None where the system shows none.

    Those of mice and headsets (`scope` Device) aren't meant. Energy in µWh and power in µW, or charge in µAh
    and current in µA, as the kernel's documentation of the power supply class gives them (FOUND).
    """
    found = [_read(each) for each in _batteries(folder)]
    if not found:
        return None
    percents = [each["capacity"] for each in found if "capacity" in each]
    is_discharging = any(each.get("is_discharging") for each in found)
    return ComputerBattery(
        round(sum(percents) / len(percents)) if percents else None,
        _minutes(found) if is_discharging else None,
        is_discharging,
    )


def _batteries(folder: Path) -> Iterator[Path]:
    try:
        supplies = sorted(folder.iterdir())
    except OSError:
        return
    for each in supplies:
        if _text(each / "type") == "Battery" and _text(each / "scope") != "Device":
            yield each


def _read(battery: Path) -> dict[str, int]:
    """What one battery says, in whole numbers, never below 0."""
    found = {"is_discharging": int(_text(battery / "status") == DISCHARGING)}
    for name in ("capacity", "energy_now", "power_now", "charge_now", "current_now"):
        number = _number(battery / name)
        if number is not None:
            found[name] = number
    return found


def _minutes(found: list[dict[str, int]]) -> int | None:
    """How long all of them last together at what is drawn now."""
    for amount, flow in (("energy_now", "power_now"), ("charge_now", "current_now")):
        if all(amount in each for each in found) and any(each.get(flow) for each in found):
            whole, drawn = sum(each[amount] for each in found), sum(each.get(flow, 0) for each in found)
            minutes = 60 * whole // drawn if drawn >= SLOWEST else MOST_MINUTES + 1
            return minutes if minutes <= MOST_MINUTES else None
    return None


def _number(file: Path) -> int | None:
    text = _text(file).lstrip("-")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 18 else None


def _text(file: Path) -> str:
    try:
        return file.read_text(encoding="utf-8", errors="replace").strip()
    except OSError:
        return ""
