"""What a sheet declares about itself; commands, the Paper page and the making of it read from here."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from carelog.analysis.pictures import Columns
from carelog.domain.entry import Entry
from carelog.domain.paper import Sheet
from carelog.sheet.blocks import Content
from carelog.sheet.material import Material


@dataclass(frozen=True, slots=True, kw_only=True)
class Declaration(Sheet):
    """A sheet and what stands on it, from which paper and page are both made."""

    content: Callable[[Material, Sequence[Entry], Columns], Content]
