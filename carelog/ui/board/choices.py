"""The receipt's quick choices: who it was, when, and the details that this person's entries mostly have."""

from collections.abc import Callable

from PySide6.QtWidgets import QWidget

from carelog.analysis.times import clock
from carelog.domain.kind import Pick
from carelog.domain.moment import MINUTE, Instant
from carelog.kinds import named_or_unknown
from carelog.text import say
from carelog.ui.acts import SlipActs
from carelog.ui.button import Button, ChoiceButton
from carelog.ui.flow import Flow
from carelog.ui.present import Present
from carelog.ui.recorder import names
from carelog.ui.slip import Slip

GAP = 4  # px
FIRST_LEFT_OUT = ("minutes_30", "minutes_20", "minutes_0", "who_else")
"""Where the row is short these go first, in this order."""
PADDING = 7  # px
MINUTES = (0, 5, 10, 20, 30, 60)


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
        self._row = 0
        self._flow = Flow(self, gap=GAP)

    def show_for(self, slip: Slip | None, *, is_on: bool) -> None:
        """Offer the choices for this entry, or none."""
        if slip is not self._slip:
            self._asks_who_else = False
        self._slip = slip if is_on else None
        if slip is None or not is_on:
            self.hide()
            if slip is None or slip.trouble == "":
                self._forget()
            return
        is_asking = slip.asks_who or self._asks_who_else
        who = (slip.first.by, names(self._present.picture)) if is_asking else None
        wanted = (slip.first.kind, who, slip.asked_at, slip.is_of_now)
        if wanted != self._shown:
            self.hide()
            self._forget()
            self._shown = wanted
            self._add(slip)
            self.keep_to_a_row(self._row)  # before it is seen: for a moment two rows would move the tiles
        self._mark(slip)
        self.show()

    def keep_to_a_row(self, width: int) -> None:
        """Show only what fits one row of this width in px, and “more …”."""
        self._row = width
        items = [self._flow.itemAt(number) for number in range(self._flow.count())]
        buttons = [widget for item in items if item is not None and (widget := item.widget()) is not None]
        taken = sum(each.sizeHint().width() + GAP for each in buttons) - GAP
        rest = [each for each in buttons[:-1] if each.objectName() not in FIRST_LEFT_OUT]
        named = {each.objectName(): each for each in buttons[:-1]}
        first = [named[name] for name in FIRST_LEFT_OUT if name in named]
        for button in (*first, *reversed(rest)):
            button.setVisible(taken <= width)
            if taken > width:
                taken -= button.sizeHint().width() + GAP

    def _forget(self) -> None:
        self._shown = ()
        while (item := self._flow.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.setParent(None)
                widget.deleteLater()

    def _add(self, slip: Slip) -> None:
        kind = named_or_unknown(slip.first.kind)
        self._picks = self._present.picks(kind)
        if slip.asks_who or self._asks_who_else:
            self._add_names(slip)
        if slip.asked_at is not None:
            self._add_yesterday(slip.asked_at)
        for minutes in MINUTES if slip.is_of_now else ():
            button = self._small(minutes_words(minutes), f"minutes_{minutes}")
            button.setAccessibleName(spoken_minutes(minutes))
            button.switched.connect(lambda is_on, n=minutes: self._move(n if is_on else None))
        # One line of choices: first who, then what.
        for pick in () if slip.asks_who or self._asks_who_else else self._picks:
            button = self._small(kind.pick_label(pick), f"pick_{pick.field}_{pick.value}")
            button.switched.connect(lambda is_on, p=pick: self._pick(p) if is_on else self._show_truth())
        if len(names(self._present.picture)) > 1 and not slip.asks_who:
            button = self._small(say("who?"), "who_else")
            button.setAccessibleName(say("Who? Somebody else did it"))
            button.switched.connect(self._ask_who_else)
        more = Button(say("more …"), "more_details")
        more.padding = PADDING
        more.setAccessibleName(say("More details, another time or a note"))
        more.clicked.connect(lambda: self._do(self._open_form))
        self._flow.addWidget(more)

    def _add_names(self, slip: Slip) -> None:
        known = [initials for initials, _name in names(self._present.picture)]
        first = [slip.first.by] if slip.first.by else []
        for initials in dict.fromkeys([*first, *known]):
            words = f"{initials}?" if slip.asks_who and initials == slip.first.by else initials
            button = self._small(words, f"by_{initials}")
            button.setAccessibleName(say("{initials} did it").format(initials=initials))
            button.switched.connect(lambda _on, who=initials: self._do(lambda s: self._say_by(s, who)))

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

    def _add_yesterday(self, asked_at: Instant) -> None:
        """It was asked for yesterday, and nobody has recorded it since: perhaps it was done then."""
        home = self._present.home()
        words = say("yesterday {clock}?").format(clock=clock(home, asked_at))
        button = self._small(words, "yesterday")
        button.setAccessibleName(say("It was yesterday at {clock}").format(clock=clock(home, asked_at)))
        moment = home.moment(asked_at)
        button.switched.connect(
            lambda is_on: self._do(lambda slip: self._acts.move_to(slip, moment if is_on else slip.first.at))
        )

    def _small(self, text: str, name: str) -> ChoiceButton:
        button = ChoiceButton(text, name)
        button.padding = PADDING
        self._flow.addWidget(button)
        return button

    def _move(self, minutes: int | None) -> None:
        """So long before the press; None: a time that was pressed again is taken back."""
        if minutes is None:
            self._do(lambda slip: self._acts.move_to(slip, slip.first.at))
        else:
            self._do(lambda slip: self._acts.move(slip, minutes))

    def _pick(self, pick: Pick) -> None:
        self._do(lambda slip: self._acts.pick(slip, pick.field, pick.value))

    def _do(self, act: Callable[[Slip], None]) -> None:
        if self._slip is not None:
            self._mark(self._slip)
            act(self._slip)

    def _show_truth(self) -> None:
        """A choice that the record holds was pressed again: it stays."""
        if self._slip is not None:
            self._mark(self._slip)

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
        for button in self.findChildren(ChoiceButton):
            button.show_on(button.objectName() in ticked)


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
