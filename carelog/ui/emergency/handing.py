"""The hand-over from the emergency page: two presses from anywhere, with or without a readable record."""

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from carelog.domain.paper import SheetRequest
from carelog.text import say
from carelog.ui.desk import Desk
from carelog.ui.emergency.fallback import backup_sheet
from carelog.ui.sheet.bundle import Bundle
from carelog.ui.sheet.choice import usual_paper
from carelog.ui.sheet.made import Made
from carelog.ui.sheet.printing import PdfPages, print_pages

NAME = "handover"


def hand_over(window: QWidget, desk: Desk, is_nameless: bool, told: Callable[[str], None]) -> None:
    """Make the hand-over of now and ask which printer; `told` gets the sentences on how it goes."""
    present, access, parts = desk.present, desk.access, desk.parts
    source = present.picture or (present.backup[1] if present.backup else None)
    if source is None:
        return
    now = present.now()
    request = SheetRequest(
        name=NAME, day=source.home.day(now), now=now, paper=usual_paper(), nameless=is_nameless
    )

    def print_it(made: Made) -> None:
        told(print_pages(window, PdfPages(made.pdf), made.file_name))

    if present.picture is not None:
        Bundle(access, parts.sheets, told).make([request], lambda made: print_it(made[0]))
        return
    told(say("Making the sheets …"))
    access.reader.ask(
        lambda: backup_sheet(parts, access.path, request), lambda pdf: print_it(Made(request, pdf)), told
    )
