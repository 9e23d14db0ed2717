"""What each table and each column means: the dictionary that goes with the tables."""

from collections.abc import Iterable, Iterator

from carelog.export.extract import STATES
from carelog.export.table import UNKNOWN_KINDS, Column, Holds, Table, choices
from carelog.kinds import kind_named
from carelog.text import mark, say

HEADS = (
    Column("table", Holds.TEXT, mark("which table")),
    Column("column", Holds.TEXT, mark("which column")),
    Column("unit", Holds.TEXT, mark("in which unit")),
    Column("holds", Holds.TEXT, mark("what its cells are")),
    Column("means", Holds.TEXT, mark("what it means")),
    Column("choices", Holds.TEXT, mark("what may stand there")),
)


def rows(found: Iterable[Table]) -> Iterator[list[str]]:
    """One row a column of each table."""
    for table in found:
        kind = None if table.name == UNKNOWN_KINDS else kind_named(table.name)
        for column in table.columns:
            field = kind.field(column.name) if kind is not None else None
            may = choices(field) if field is not None else ""
            if column.name == "entry_state":
                may = "; ".join(f"{state}: {say(words)}" for state, words in STATES.items())
            yield [table.name, column.name, column.unit, column.holds.value, say(column.means), may]
