"""The hand-over: what a ward, an ambulance or a new carer must know, what matters at once first."""

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
    from carelog.sheet.handed import handover_content

    return handover_content(found, entries, columns)


HANDOVER = Declaration(
    name="handover",
    title=mark("hand-over"),
    span=Span.DAY,
    purpose=mark("for a ward, an ambulance or a new carer"),
    sketch=(
        "AAAABBBCCC",
        "A##AB#BC-C",
        "DDDDEEEEEE",
        "D##DE####E",
        "D##DE----E",
        "DDDDEEEEEE",
        "---- -----",
        "---- -----",
        "---  -----",
        "---- ---- ",
        "---- -----",
    ),
    for_folder=(),
    fills_a_side=True,
    content=_content,
)
