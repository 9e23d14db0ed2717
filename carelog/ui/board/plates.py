"""What stands on the tiles whatever the record holds: painted before the kinds' declarations are loaded.

`resources/tiles.json` holds it, written from the declarations by `packaging/catalogue.py`.
"""

import json
from collections.abc import Iterable, Mapping, Sequence

from carelog import resources
from carelog.ui.board.plate import Plate, names_in_order

FILE = "tiles.json"


def on_board(chosen: Sequence[str]) -> list[Plate]:
    """The plates of the board in the household's order, or in the usual one."""
    known = _kept()
    if not known or not known.keys() >= set(chosen):
        from carelog.ui.board.order import every_tile  # a tile or a file that isn't there

        known = {placed.name: placed.plate for placed in every_tile()}
    return [known[name] for name in chosen or names_in_order(known.values()) if name in known]


def written(plates: Iterable[Plate]) -> str:
    """What the file holds for these."""
    lines = (json.dumps(plate, ensure_ascii=False) for plate in plates)
    return "[\n" + ",\n".join(lines) + "\n]\n"


def _kept() -> Mapping[str, Plate]:
    try:
        found = json.loads(resources.find(FILE).read_text(encoding="utf-8"))
        return {plate.name: plate for plate in map(Plate._make, found)}
    except (OSError, ValueError, TypeError):
        return {}
