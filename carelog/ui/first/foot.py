"""The buttons beneath a question: saving first, then the ways on, and the board from anywhere."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from carelog.text import say
from carelog.ui.button import Button, Main
from carelog.ui.first.asked import Asked, Now
from carelog.ui.first.screens import Screen, after, is_settled
from carelog.ui.first.sentences import Sort

Press = Callable[[], object]


@dataclass(frozen=True, slots=True)
class Presses:
    """What each button does."""

    save: Press
    save_one_more: Press
    on: Press
    not_here: Press
    later: Press
    back: Press
    strike: Press
    put_aside: Press
    to_basics: Press
    to_board: Press


def saving(asked: Asked, screen: Screen, presses: Presses) -> Iterator[Button]:
    """What saves, where a press of an answer doesn't."""
    if not asked.is_saved_by_button:
        return
    yield Main.calling(say("Save and go on"), "basics_save", presses.save)
    if screen.asked.is_repeated and asked.now.held is None:
        yield Button.calling(say("Save, and one more"), "basics_more", presses.save_one_more)


def ways_on(screen: Screen, now: Now, presses: Presses) -> Iterator[Button]:
    """In the row of questions; that nobody knows an answer is a full answer."""
    if is_settled(screen, now.picture, now.aside):
        yield Button.calling(say("Go on"), "basics_on", presses.on)
    elif screen.asked.has_end:
        yield Button.calling(say("I don't know yet"), "basics_unknown", presses.on)
        sentence = screen.of_plan()
        if sentence is not None and sentence.sort not in (Sort.WHO, Sort.QUIET):
            yield Button.calling(say("Doesn't apply here"), "basics_not_here", presses.not_here)
        yield Button.calling(say("Later"), "basics_later", presses.later)
    if after(screen, now.picture, -1) is not None:
        yield Button.calling(say("Back"), "basics_before", presses.back)
    is_last = after(screen, now.picture) is None
    make = Main.calling if is_last else Button.calling
    yield make(say("To the board"), "first_ready", presses.to_board)


def ways_back(screen: Screen, now: Now, presses: Presses, *, is_open: bool) -> Iterator[Button]:
    """Of a question that was opened alone; `is_open`: it is among what is still to fill in.

    The plan's sentences follow one another here too.
    """
    following = after(screen, now.picture)
    if following is not None and following.question == screen.question:
        is_done = is_settled(screen, now.picture, now.aside)
        words = say("Go on") if is_done else say("I don't know yet")
        yield Button.calling(words, "basics_unknown", presses.on)
    if now.held is not None and screen.asked.is_repeated:
        yield Button.calling(say("Take out"), "basics_strike", presses.strike)
    elif is_open:
        yield Button.calling(say("Put aside for good"), "basics_aside", presses.put_aside)
    yield Button.calling(say("Back to the basics"), "basics_back", presses.to_basics)
