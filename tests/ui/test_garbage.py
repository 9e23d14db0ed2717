"""When the window looks for garbage: it halts every thread meanwhile."""

import gc
from collections.abc import Callable, Iterator

import pytest

from tests.ui.conftest import Opened

Opener = Callable[..., Opened]
MANY = 150_000
"""So many things are made by a page of ten years."""


@pytest.fixture(autouse=True)
def as_before() -> Iterator[None]:
    """Other tests look as often as ever."""
    before = gc.get_threshold()
    yield
    gc.set_threshold(*before)


def looks_through_all_while_much_is_made() -> int:
    """How often garbage is looked for among all there is."""
    looks = list[int]()

    def note(phase: str, told: dict[str, int]) -> None:
        if phase == "start" and told["generation"] == 2:
            looks.append(1)

    gc.callbacks.append(note)
    try:
        made = [[number] for number in range(MANY)]
    finally:
        gc.callbacks.remove(note)
    assert len(made) == MANY
    return len(looks)


def test_what_a_page_makes_of_ten_years_has_nobody_look_through_all_there_is(opener: Opener) -> None:
    gc.set_threshold(700, 10, 10)
    opened = opener()
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    assert gc.isenabled()
    assert looks_through_all_while_much_is_made() <= 1  # where much had been made just before
    gc.set_threshold(700, 10, 10)
    assert looks_through_all_while_much_is_made() > 1


def test_garbage_is_looked_for_in_the_end(opener: Opener) -> None:
    opened = opener()
    opened.wait(lambda: opened.window.desk.present.flags is not None)
    assert sum(looks_through_all_while_much_is_made() for _ in range(10)) > 0
