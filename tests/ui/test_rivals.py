"""What two computers changed stands on the board as one line until somebody has chosen."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from carelog.analysis.in_force import Reading
from carelog.domain.entry import Entry
from carelog.domain.moment import MINUTE
from carelog.store.opening import open_record
from tests.ui.conftest import Opened
from tests.ui.household import NOW
from tests.ui.test_copies import board
from tests.ui.test_guard import record_in

Opens = Callable[[Path], Opened]
LINE = "Two computers changed Mouth care"


def rivals(target: Entry) -> list[Entry]:
    """Two changes of one entry, as two computers make them."""
    return [
        replace(
            target,
            id=f"60000000-0000-7000-8000-00000000000{number}",
            recorded_at=NOW - number * MINUTE,
            amends=target.id,
            reason="a slip",
            note=f"side {number}",
        )
        for number in (1, 2)
    ]


def test_rivals_stand_on_the_board_until_one_is_chosen(on_disk: Opens, tmp_path: Path) -> None:
    path = record_in(tmp_path)
    opened = on_disk(path)
    opened.press("tile_mouth_care")
    slips = opened.window.desk.slips
    opened.wait(lambda: bool(slips.all) and not slips.all[0].is_unsaved)
    target = slips.all[0].entry
    assert LINE not in board(opened)  # the control
    other = open_record(path, installation="elsewhere")
    other.append(rivals(target))
    other.close()
    opened.window.tick()
    opened.wait(lambda: LINE in board(opened))
    opened.window.desk.access.act(
        lambda logbook, record: logbook.keep(
            held := Reading(record.chain([target.id])).held[0], held.rivals[0], "MO"
        ),
        lambda _kept: None,
        lambda sentence: None,
    )
    opened.wait(lambda: LINE not in board(opened))
