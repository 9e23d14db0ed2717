"""Several sheets made one after the other, to be printed in one go."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from carelog.text import say
from carelog.ui.access import Access
from carelog.ui.sheet.made import Made
from carelog.ui.sheet.maker import Maker

if TYPE_CHECKING:
    from carelog.app.ports import Sheets
    from carelog.domain.paper import Sheet, SheetRequest


def folder_requests(sheets: "Iterable[Sheet]", base: "SheetRequest") -> "list[SheetRequest]":
    """What is asked for the household's folder, in the order of its pages."""
    wanted = [each for each in sheets if each.for_folder is not None]
    return [replace(base, name=each.name, **dict(each.for_folder or ())) for each in wanted]


class Bundle:
    """Sheets of now, whatever else a page shows."""

    def __init__(self, access: Access, sheets: "Callable[[], Sheets]", told: Callable[[str], None]) -> None:
        """`told` gets the sentences on how it goes."""
        self._told = told
        self._maker = Maker(access, sheets, self._on_page)
        access.when_ending.append(self._maker.end)

    def _on_page(self, page: int) -> None:
        self._told(say("Making page {page} …").format(page=page))

    def make(self, requests: "Sequence[SheetRequest]", then: Callable[[list[Made]], object]) -> None:
        """Make all of them; one that fails is said, and then nothing is handed over."""
        self._told(say("Making the sheets …"))
        self._next(list(requests), [], then)

    def _next(
        self, rest: "list[SheetRequest]", done: list[Made], then: Callable[[list[Made]], object]
    ) -> None:
        if not rest:
            then(done)
            return
        self._maker.make(rest[0], lambda made: self._next(rest[1:], [*done, made], then), self._told)
