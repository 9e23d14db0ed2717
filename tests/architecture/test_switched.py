"""Assistive tools switch a button that stays pressed without clicking it: every such button hears of that."""

import re

from tests.architecture.tree import ROOT

TEXTS = {path: path.read_text(encoding="utf-8") for path in (ROOT / "carelog/ui").rglob("*.py")}


def deaf(text: str) -> bool:
    """Whether a module makes a button that stays pressed and doesn't listen to its being switched."""
    return ".setCheckable(True)" in text and ".toggled.connect" not in text


def test_what_stays_pressed_listens_to_any_switching() -> None:
    assert [path.name for path, text in TEXTS.items() if deaf(text)] == []
    assert any(".setCheckable(True)" in text for text in TEXTS.values())


def test_no_other_sort_of_button_that_can_be_switched_is_used() -> None:
    assert [path.name for path, text in TEXTS.items() if re.search(r"Q(CheckBox|Radio|ToolB)", text)] == []


def test_a_deaf_button_would_be_found() -> None:
    assert deaf("button.setCheckable(True)\nbutton.clicked.connect(press)")
