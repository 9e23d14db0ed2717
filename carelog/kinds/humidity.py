"""Warm and moist air: the HME, a stoma cover, a nebuliser or a humidifier."""

from carelog.domain.entry import Details
from carelog.domain.field import Field, choice
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark


def _does(details: Details) -> bool:
    return details.get("action") in ("changed", "given", "started")


HUMIDITY = Kind(
    name="humidity",
    title=mark("Humidification"),
    is_care=True,
    is_clockwork=True,
    is_frequent=True,
    fields=(
        Field(
            "device",
            "",
            choice(
                ("hme", mark("HME")),
                ("stoma_cover", mark("stoma cover")),
                ("nebuliser", mark("nebuliser")),
                ("humidifier", mark("humidifier")),
            ),
            required=True,
            asked=mark("Device"),
        ),
        Field(
            "action",
            "",
            choice(
                ("changed", mark("changed")),
                ("given", mark("given")),
                ("started", mark("started")),
                ("stopped", mark("stopped")),
            ),
            required=True,
            asked=mark("What was done"),
        ),
    ),
    tiles=(
        Tile(mark("HME changed"), {"device": "hme", "action": "changed"}, value="hme", place=3),
        Tile(
            mark("Nebuliser given"),
            {"device": "nebuliser", "action": "given"},
            value="nebuliser",
            glyph="nebuliser",
        ),
    ),
    does=_does,
    draw=Draw.DOINGS,
    export=Export("Procedure"),
)
