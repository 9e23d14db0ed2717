"""What the tests of the first evening share: the question that is shown, and how it is answered."""

from PySide6.QtWidgets import QLabel, QPushButton

from carelog.analysis.in_force import Reading
from carelog.domain.entry import Details
from tests.ui.conftest import Opened


def asks(opened: Opened) -> str:
    """The question that is shown."""
    page = opened.shown()
    headings = [each for each in page.findChildren(QLabel) if getattr(each, "is_heading", False)]
    return next((each.text() for each in headings if each.isVisible()), "")


def said(opened: Opened) -> str:
    """All texts of the page that is open."""
    shown = opened.shown()
    texts = (label.text() for label in shown.findChildren(QLabel) if label.isVisibleTo(shown))
    return " ".join(texts).replace("\N{NO-BREAK SPACE}", " ")


def press(opened: Opened, name: str) -> None:
    """Press a button and wait until another question stands there."""
    before = opened.shown().findChildren(QPushButton)
    opened.press(name)
    opened.wait(lambda: opened.shown().findChildren(QPushButton) != before)


def answer(opened: Opened, button: str = "basics_save", **texts: str) -> None:
    """Type these into their fields and save."""
    for name, text in texts.items():
        opened.find(f"field_{name}").setText(text)
    press(opened, button)


def to(opened: Opened, question: str) -> None:
    """Leave questions open until this one."""
    while asks(opened) != question:
        press(opened, "basics_unknown")


def standing(opened: Opened, kind: str) -> list[Details]:
    """What the record holds of a kind."""
    return [held.entry.details for held in Reading(opened.record.everything()).of(kind)]
