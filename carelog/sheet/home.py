"""Coming home on one page: what must be there, who can do what; ticked by the ward's nurse and the family."""

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
    from carelog.sheet.homecoming import home_content

    return home_content(found, entries, columns)


HOME = Declaration(
    name="home",
    title=mark("coming home"),
    span=Span.TODAY,
    purpose=mark("for the ward and the family before discharge"),
    fills_a_side=True,
    sketch=(
        "####      ",
        "AABBCCDDEE",
        "          ",
        "x --- x --",
        "x --- x --",
        "x --- x --",
        "          ",
        "# -- -- x-",
        "# -- -- x-",
        "# -- -- x-",
        "AAAAABBBBB",
    ),
    content=_content,
)
