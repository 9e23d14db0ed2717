"""What the tour shows, one thing after another, and when a thing was done."""

from collections.abc import Callable
from dataclasses import dataclass

from carelog.text import mark
from carelog.ui.slip import Slip, State


@dataclass(frozen=True, slots=True)
class TourSight:
    """Where the window is, for the tour."""

    page: str
    newest: Slip | None
    """The last press."""


@dataclass(frozen=True, slots=True)
class TourStop:
    """One thing to press, by the names of what may show it; the first that is seen is pointed at."""

    words: str
    at: tuple[str, ...]
    is_done: Callable[[TourSight], bool]


def _is_saved(sight: TourSight) -> bool:
    return sight.newest is not None and sight.newest.state is State.SAVED


def _is_undone(sight: TourSight) -> bool:
    return sight.newest is not None and sight.newest.state is State.UNDONE


def _on(page: str) -> Callable[[TourSight], bool]:
    return lambda sight: sight.page == page


STOPS = (
    TourStop(
        mark("Press “Suction”. One press writes it down, with the time and your initials."),
        ("tile_suction", "go_board"),
        _is_saved,
    ),
    TourStop(
        mark("It is saved, and stands below. Was it a slip? Press “Undo”."),
        ("undo", "go_board"),
        _is_undone,
    ),
    TourStop(
        mark("A flag says that somebody should look. Press “Flags” to see why."),
        ("go_flags", "go_others"),
        _on("flags"),
    ),
    TourStop(
        mark("Each flag tells what shows it. For the nurse there is paper: press “Paper”."),
        ("go_sheet", "go_others"),
        _on("sheet"),
    ),
    TourStop(
        mark("This is the week on paper. The last thing is always at this corner: press it."),
        ("go_emergency",),
        _on("emergency"),
    ),
)
END = mark(
    "Whom to call stands first here. That was all. Look round as you like: nothing here is real. For a "
    "record of your own, close the window and start again."
)
