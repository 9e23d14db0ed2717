"""The sheet of the course: some weeks over one axis."""

from collections.abc import Sequence

from carelog.analysis.pictures import Columns
from carelog.domain.entry import Entry
from carelog.domain.paper import Span
from carelog.sheet.blocks import Content
from carelog.sheet.declaration import Declaration
from carelog.sheet.material import Material
from carelog.text import mark


def _content(found: Material, entries: Sequence[Entry], columns: Columns) -> Content:
    # What works out and draws the course is much, and no other sheet needs any of it.
    from carelog.sheet.axis import course_content

    return course_content(found, entries, columns)


COURSE = Declaration(
    name="course",
    title=mark("course"),
    span=Span.WEEKS,
    purpose=mark("weeks over one axis, for a clinic"),
    sketch=(
        "#####     ",
        "--------- ",
        "AAAAAAAAAA",
        "A# ## # #A",
        "A########A",
        "A   --   A",
        "A--    --A",
        "A #  #   A",
        "A########A",
        "AAAAAAAAAA",
        "----- --- ",
    ),
    content=_content,
)
