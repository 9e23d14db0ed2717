"""What somebody asks the record to be given out as."""

from dataclasses import dataclass, field

from carelog.domain.moment import Instant


@dataclass(frozen=True, slots=True)
class GiveRequest:
    """In which form, and from which moment to which (None: all of it).

    `has_bom`: for older spreadsheets; `nameless`: the titles of its PDFs have no name; `passphrase`: what
    alone opens the file (empty: anybody does).
    """

    form: str = "exchange"
    since: Instant | None = None
    until: Instant | None = None
    has_bom: bool = True
    nameless: bool = False
    passphrase: str = field(default="", repr=False)
