"""The receipt's quick choices: who it was, when, and the details that this person's entries mostly have."""

from collections.abc import Callable, Iterator
from functools import partial

from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QWidget

from carelog.analysis.times import clock
from carelog.domain.kind import Pick
from carelog.domain.moment import MINUTE, Instant
from carelog.kinds import named_or_unknown
from carelog.text import say
from carelog.ui.acts import SlipActs
from carelog.ui.button import Button, ChoiceButton
from carelog.ui.present import Present
from carelog.ui.recorder import names
from carelog.ui.slip import Slip, State

GAP = 4  # px
FIRST_LEFT_OUT = ("minutes_30", "minutes_20", "minutes_0", "who_else")
"""Where the row is short these go first, in this order."""
PADDING = 7  # px
MINUTES = (0, 5, 10, 20, 30, 60)
Choice = tuple[str, str, str, Callable[[bool], None]]
"""A button's name, its words, how a reader of the screen says it (empty: as it is), what it does."""


class Choices(QWidget):
    """In a fixed order, never chosen beforehand; the buttons stay while the kind of entry stays the same."""

    def __init__(self, present: Present, acts: SlipActs, open_form: Callable[[Slip], None]) -> None:
        super().__init__()
        self._present = present
        self._acts = acts
        self._open_form = open_form
        self._slip: Slip | None = None
        self._shown: tuple[object, ...] = ()
        self._picks: tuple[Pick, ...] = ()
        self._asks_who_else = False
        self._room = 0
        self._buttons: dict[str, ChoiceButton] = {}
        """By name, in their order; behind them is “more …”."""
        self._does: dict[str, Callable[[bool], None]] = {}
        """What each of them does now when it is switched."""
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(0, 0, 0, 0)
        self._row.setSpacing(GAP)
        self._more = Button.calling(say("more …"), "more_details", lambda: self._do(self._open_form))
        self._more.padding = PADDING
        self._more.setAccessibleName(say("More details, another time or a note"))
        self._row.addWidget(self._more)
        self._row.addStretch(1)
        # What fits the row is shown: it never asks the window for room.
        self.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Preferred)

    def show_for(self, slip: Slip | None, *, is_on: bool) -> None:
        """Offer the choices for this entry, or none."""
        if slip is not self._slip:
            self._asks_who_else = False
        self._slip = slip if is_on else None
        if slip is None or not is_on:
            self._keep_place(False)
            self.hide()
            # What waits for the disk, or failed to change, is offered its choices again in a moment.
            if slip is None or (slip.trouble == "" and slip.state is not State.WAITING):
                self._shown = ()
                _drop(self._take_out())
            return
        self._arrange(slip)
        self._mark(slip)
        self.show()

    def make_way(self) -> None:
        """Others come in a moment: until then there are none, and what is around them stays where it is."""
        self._slip, self._asks_who_else = None, False
        self._keep_place(True)
        self.hide()

    def _keep_place(self, is_kept: bool) -> None:
        policy = self.sizePolicy()
        policy.setRetainSizeWhenHidden(is_kept)
        self.setSizePolicy(policy)

    def are_for(self, slip: Slip) -> bool:
        """Whether they are offered for this entry already, or the same buttons for another one."""
        return slip is self._slip or self._wanted_for(slip) == self._shown

    def keep_to_a_row(self, width: int) -> None:
        """Show only what fits one row of this width in px, and “more …”."""
        self._room = width
        widths = {name: each.sizeHint().width() + GAP for name, each in self._buttons.items()}
        taken = sum(widths.values()) + self._more.sizeHint().width()
        rest = [name for name in widths if name not in FIRST_LEFT_OUT]
        first = [name for name in FIRST_LEFT_OUT if name in widths]
        for name in (*first, *reversed(rest)):
            self._buttons[name].setVisible(taken <= width)
            if taken > width:
                taken -= widths[name]

    def _wanted_for(self, slip: Slip) -> tuple[object, ...]:
        """What it hangs on which buttons an entry has."""
        is_asking = slip.asks_who or (self._asks_who_else and slip is self._slip)
        who = (slip.first.by, names(self._present.picture)) if is_asking else None
        return slip.first.kind, who, slip.asked_at, slip.is_of_now

    def _arrange(self, slip: Slip) -> None:
        wanted = self._wanted_for(slip)
        if wanted != self._shown:
            self.hide()
            self._shown = ()
            self._renew(slip)
            self._shown = wanted  # all of them: where one couldn't be made, they are made again
            self.keep_to_a_row(self._room)  # before it is seen: for a moment it would be wider than its place

    def _renew(self, slip: Slip) -> None:
        """Other choices: a button whose name is among them stays, whatever it does now."""
        before = self._take_out()
        for name, words, told, does in self._wanted(slip):
            button = before.pop(name, None) or self._made(name)
            button.begin_anew()
            button.setText(words)
            button.setAccessibleName(told)
            self._row.insertWidget(len(self._buttons), button)
            self._buttons[name], self._does[name] = button, does
        _drop(before)

    def _take_out(self) -> dict[str, ChoiceButton]:
        """The buttons of the row, which has none of them from now on."""
        before, self._buttons, self._does = self._buttons, {}, {}
        for button in before.values():
            self._row.removeWidget(button)
        return before

    def _made(self, name: str) -> ChoiceButton:
        button = ChoiceButton("", name)
        button.padding = PADDING
        button.switched.connect(lambda is_on: self._switch(name, is_on))
        return button

    def _switch(self, name: str, is_on: bool) -> None:
        """A button that was taken out and isn't deleted yet does nothing any more."""
        if name in self._does:
            self._does[name](is_on)

    # What is offered --------------------------------------------------------------------------------

    def _wanted(self, slip: Slip) -> Iterator[Choice]:
        kind = named_or_unknown(slip.first.kind)
        self._picks = self._present.picks(kind)
        is_asking = slip.asks_who or self._asks_who_else
        if is_asking:
            yield from self._names(slip)
        if slip.asked_at is not None:
            yield self._yesterday(slip.asked_at)
        for minutes in MINUTES if slip.is_of_now else ():
            does = partial(self._move, minutes)
            yield f"minutes_{minutes}", minutes_words(minutes), spoken_minutes(minutes), does
        # One line of choices: first who, then what.
        for pick in () if is_asking else self._picks:
            yield f"pick_{pick.field}_{pick.value}", kind.pick_label(pick), "", partial(self._pick, pick)
        if len(names(self._present.picture)) > 1 and not slip.asks_who:
            yield "who_else", say("who?"), say("Who? Somebody else did it"), self._ask_who_else

    def _names(self, slip: Slip) -> Iterator[Choice]:
        known = [initials for initials, _name in names(self._present.picture)]
        first = [slip.first.by] if slip.first.by else []
        for initials in dict.fromkeys([*first, *known]):
            words = f"{initials}?" if slip.asks_who and initials == slip.first.by else initials
            told = say("{initials} did it").format(initials=initials)
            yield f"by_{initials}", words, told, partial(self._name, initials)

    def _yesterday(self, asked_at: Instant) -> Choice:
        """It was asked for yesterday, and nobody has recorded it since: perhaps it was done then."""
        home = self._present.home()
        time, moment = clock(home, asked_at), home.moment(asked_at)

        def move(is_on: bool) -> None:
            self._do(lambda slip: self._acts.move_to(slip, moment if is_on else slip.first.at))

        words = say("yesterday {clock}?").format(clock=time)
        return "yesterday", words, say("It was yesterday at {clock}").format(clock=time), move

    # What each of them does -------------------------------------------------------------------------

    def _name(self, initials: str, _is_on: bool) -> None:
        self._do(lambda slip: self._say_by(slip, initials))

    def _say_by(self, slip: Slip, initials: str) -> None:
        """Where it was uncertain who records, that is said too."""
        if slip.asks_who:
            self._acts.say_who(slip, initials)
        else:
            self._asks_who_else = False
            self._acts.say_by(slip, initials)

    def _ask_who_else(self, is_on: bool) -> None:
        self._asks_who_else = is_on
        self._present.when_changed.tell()

    def _move(self, minutes: int, is_on: bool) -> None:
        """So long before the press; a time that is pressed again is taken back."""
        if is_on:
            self._do(lambda slip: self._acts.move(slip, minutes))
        else:
            self._do(lambda slip: self._acts.move_to(slip, slip.first.at))

    def _pick(self, pick: Pick, is_on: bool) -> None:
        """What the record holds and is pressed again stays."""
        if is_on:
            self._do(lambda slip: self._acts.pick(slip, pick.field, pick.value))
        elif self._slip is not None:
            self._mark(self._slip)

    def _do(self, act: Callable[[Slip], None]) -> None:
        if self._slip is not None:
            self._mark(self._slip)
            act(self._slip)

    def _mark(self, slip: Slip) -> None:
        """Tick only what the record holds: a press that isn't saved yet ticks nothing."""
        moved = slip.first.recorded_at - slip.entry.at.instant
        ticked = {f"minutes_{n}" for n in MINUTES if n > 0 and moved == n * MINUTE}
        if slip.asked_at is not None and slip.entry.at.instant == slip.asked_at:
            ticked.add("yesterday")
        if self._asks_who_else:
            ticked.add("who_else")
        for pick in self._picks:
            if slip.entry.details.get(pick.field) == pick.value:
                ticked.add(f"pick_{pick.field}_{pick.value}")
        for name, button in self._buttons.items():
            button.show_on(name in ticked)


def _drop(buttons: dict[str, ChoiceButton]) -> None:
    for button in buttons.values():
        button.setParent(None)
        button.deleteLater()


def minutes_words(minutes: int) -> str:
    """The short words on a time choice."""
    if minutes == 0:
        return say("just now")
    if minutes == 5:
        return say("5 min ago")
    return say("1 h") if minutes == 60 else str(minutes)


def spoken_minutes(minutes: int) -> str:
    """The full words of a time choice."""
    if minutes in (0, 5):
        return minutes_words(minutes)
    return say("1 hour ago") if minutes == 60 else say("{minutes} minutes ago").format(minutes=minutes)
