"""The care plan on paper: who set it and since when, all that it says in sentences, the plans before it."""

from collections.abc import Sequence

from carelog.analysis.pictures import Columns
from carelog.domain.entry import Entry
from carelog.domain.paper import Span
from carelog.kinds.plan import PLAN
from carelog.sheet.blocks import Content
from carelog.sheet.declaration import Declaration
from carelog.sheet.material import Material
from carelog.text import mark


def _content(found: Material, entries: Sequence[Entry], columns: Columns) -> Content:
    # Loaded with the first of these: no other sheet needs any of it.
    from carelog.sheet.planned import plan_content

    return plan_content(found, entries, columns)


PLAN_SHEET = Declaration(
    name=PLAN.name,
    title=mark("plan"),
    span=Span.TODAY,
    purpose=mark("for the folder, to be signed"),
    fills_a_side=True,
    sketch=(
        "####      ",
        "          ",
        "###       ",
        "--------- ",
        "-------   ",
        "###       ",
        "--------  ",
        "------    ",
        "          ",
        "AAAAAABBBB",
        "AAAAAABBBB",
    ),
    content=_content,
)
