"""The order: what runs out, how many packs last until the next one, the reckoning beside it, room to sign."""

from collections.abc import Sequence

from carelog.analysis.pictures import Columns
from carelog.domain.entry import Entry
from carelog.domain.paper import Span
from carelog.sheet.blocks import Content
from carelog.sheet.declaration import Declaration
from carelog.sheet.material import Material
from carelog.text import mark


def _content(found: Material, entries: Sequence[Entry], columns: Columns) -> Content:
    # Loaded with the first of these: no other sheet needs any of it.
    from carelog.sheet.ordered import order_content

    return order_content(found, entries, columns)


ORDER = Declaration(
    name="order",
    title=mark("order"),
    span=Span.TODAY,
    purpose=mark("for supplies that run out"),
    takes=("all",),
    fills_a_side=True,
    sketch=(
        "####      ",
        "          ",
        "### -- - #",
        "--------- ",
        "### -- - #",
        "--------- ",
        "### -- - #",
        "------    ",
        "          ",
        "AAAAAABBBB",
        "AAAAAABBBB",
    ),
    content=_content,
)
