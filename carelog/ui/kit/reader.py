"""Reads the household's things for a page, when it is seen and may have changed since."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from carelog.analysis.times import dated
from carelog.domain.moment import MINUTE
from carelog.text import mark, say
from carelog.ui.access import Access
from carelog.ui.newest import Newest
from carelog.ui.present import Present

if TYPE_CHECKING:
    from carelog.analysis.things import Things
    from carelog.app.kit_battery import ComputerBattery
    from carelog.app.ports import Record


@dataclass(frozen=True, slots=True)
class ThingsFound:
    """The things, and this computer's own battery; None: the system shows none."""

    things: "Things"
    battery: "ComputerBattery | None"


class ThingsReader:
    """The newest answer counts; `found` is None until the first, `trouble` says why there is none."""

    def __init__(
        self,
        access: Access,
        present: Present,
        refresh: Callable[[], None],
        sure: Callable[[], int],
        *,
        is_by_minute: bool,
    ) -> None:
        """`sure`: in how many of 100 the household wants the stock to outlast a delivery.

        `is_by_minute`: read anew each minute, and not only each day and after each entry.
        """
        self._is_by_minute = is_by_minute
        self._access = access
        self._sure = sure
        self._present = present
        self._refresh = refresh
        self._newest = Newest()
        self._asked: object = None
        self.found: ThingsFound | None = None
        self.trouble = ""

    def look(self) -> None:
        """Read it again, if it may have changed since."""
        picture = self._present.picture
        if picture is None:
            return
        now = picture.as_of or self._present.now()
        sure = self._sure()
        time = now // MINUTE if self._is_by_minute else picture.home.day(now)
        wanted = (picture.count, picture.last_known, time, sure)
        if wanted == self._asked:
            return
        self._asked, asking = wanted, self._newest.ask()

        def read(record: "Record") -> ThingsFound:
            from carelog.app.kit import things_of
            from carelog.app.kit_battery import computer_battery

            return ThingsFound(things_of(record, now, sure), computer_battery())

        self._access.read(read, asking.only(self._on_found), asking.only(self._failed))

    def as_of_words(self) -> str:
        """Of which moment all this is, while the clock can't be believed; empty: it is of now."""
        picture = self._present.picture
        if picture is None or picture.as_of is None:
            return ""
        words = say(mark("The clock is wrong. All of this is as of {time}."))
        return words.format(time=dated(picture.home, picture.as_of))

    def _on_found(self, found: ThingsFound) -> None:
        self.found, self.trouble = found, ""
        self._refresh()

    def _failed(self, sentence: str) -> None:
        self._asked, self.trouble = None, sentence
        self._refresh()
