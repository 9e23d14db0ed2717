"""The questions about the plan, a sentence at a time: a press, or what the letter says, saves it."""

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from PySide6.QtWidgets import QVBoxLayout, QWidget

from carelog.analysis.limits import CUFF, CUFF_TARGET, TEMPERATURE, limit_of, range_words
from carelog.analysis.people import NIGHT
from carelog.analysis.published import odd_limits
from carelog.app.basics.answers import (
    Answer,
    say_plan,
    taken_line,
    with_limit,
    with_task,
    with_value,
    without,
)
from carelog.domain.entry import Details, Json, details_text
from carelog.domain.field import CLOCK, Group
from carelog.domain.number import typed as number_typed
from carelog.domain.trouble import Refused
from carelog.domain.units import PASCAL, STEP, plain, pressure, rounded, with_unit
from carelog.kinds.plan import LIMITS, PLAN
from carelog.text import mark, say
from carelog.ui.button import Button, ChoiceButton, Main
from carelog.ui.column import row
from carelog.ui.first.asked import Asked, FieldsAsked, Now, enlarge
from carelog.ui.first.screens import Screen, is_answered
from carelog.ui.first.sentences import PlanSentence, Sort
from carelog.ui.ringed import Line, Ringed
from carelog.ui.theme import Size
from carelog.ui.words import ToldWords, Words

HOURS = (2, 4, 6, 8, 12, 24)
QUIETS = (("22:00", "06:00"), ("22:00", "07:00"), ("23:00", "06:00"), ("23:00", "07:00"))
TEAMS = (mark("The hospital ward"), mark("The tracheostomy clinic"), mark("The home care team"))
_NO_OFFER = mark("Under 18 or with no birth date, no value is offered. Take it from the letter.")
_SOURCE = mark("Proposed for an adult. Source: {source}")
_OVER = mark(
    "{value} is {other}: more than the {most} that reviews give for adults. Is the unit right? "
    "Save again if the letter says so."
)
_NIGHT_ALL_THE_SAME = mark(
    "If there is none, {start} to {end} still counts as night for the dark screen and for whom to call."
)
_IS = mark("{value} is {other}.")


class PlanAsked(Asked):
    """A question whose answer is one sentence of the plan, set by the team that was named."""

    def __init__(self, now: Now, sentence: PlanSentence, set_by: str) -> None:
        super().__init__(now)
        self.sentence = sentence
        self._set_by = set_by
        self.plan: Details = now.picture.plan.details if now.picture.plan is not None else {}
        self.column = QVBoxLayout(self)
        self.column.setContentsMargins(0, 0, 0, 0)
        screen = Screen(PLAN.name, sentence.name)
        self.is_none = screen.key in now.aside and not is_answered(screen, now.picture)
        if self.is_none and sentence.sort is not Sort.QUIET:
            self.column.addWidget(Words(say("You said here that this doesn't apply."), Size.STRONG))

    def put(self, change: Callable[[Details], Details], proposed: str = "") -> Answer:
        """The answer that changes the plan so; `proposed`: what was taken of the program's offer."""
        self.line = taken_line(say(self.sentence.asks), proposed) if proposed else ""
        offer = self.offered()
        today = [taken_line(say(self.sentence.asks), offer)] if offer else []
        return say_plan(self._set_by, change, self.line, [*self.now.taken, *today])

    def offered(self) -> str:
        """What the program offers, in words; empty for nothing."""
        return ""

    def show_source(self) -> None:
        """Where the proposal comes from; for a child why there is none."""
        proposed = self.sentence.proposed
        if proposed is None:
            return
        source = say(_SOURCE).format(source=say(proposed.source))
        words = source if self.now.is_adult else say(_NO_OFFER)
        self.column.addWidget(Words(words, soft=True))


class RhythmAsked(PlanAsked):
    """Every so many hours by one press, or at the times that the letter gives."""

    is_saved_by_button = False

    def __init__(self, now: Now, sentence: PlanSentence, set_by: str) -> None:
        super().__init__(now, sentence, set_by)
        asked = self._asked()
        proposed = self._proposed() if now.is_adult else None
        choices = []
        for hours in HOURS:
            words = say("every {hours} h").format(hours=hours).replace(" h", "\N{NO-BREAK SPACE}h")
            if hours == proposed:
                words = say("{rhythm} (proposed)").format(rhythm=words)
            button = ChoiceButton(words, f"every_{hours}", is_one_of=True)
            button.setAccessibleName(f"{say(sentence.asks)} {words}")
            button.show_on(asked.get("every_h") == hours)
            button.switched.connect(lambda _on, each=hours: self._every(each))
            choices.append(button)
        presses = row(*choices)
        enlarge(presses)
        self.column.addWidget(presses)
        self.show_source()
        self._times = Line("plan_times", say("Or at these times"))
        self._times.setPlaceholderText(say("like {example}").format(example="08:00, 20:00"))
        self._times.setText(", ".join(asked.get("times", ())))
        self._times.textChanged.connect(lambda _text: self.touched())
        self._times.returnPressed.connect(self._at_times)
        save = Button.calling(say("Save these times"), "plan_times_save", self._at_times)
        self._trouble = ToldWords()
        self.column.addWidget(Words(say("Or at these times, as the letter says"), Size.STRONG))
        self.column.addWidget(row(Ringed(self._times), save))
        self.column.addWidget(self._trouble)

    def _asked(self) -> Mapping[str, Any]:
        """What the plan asks of it now."""
        for task in self.plan.get("tasks", []):
            if _names(task) == _names(self.sentence.task):
                found: Mapping[str, Any] = task
                return found
        return {}

    def _proposed(self) -> Json:
        proposed = self.sentence.proposed
        return proposed.puts["tasks"][0]["every_h"] if proposed is not None else None

    def _every(self, hours: int) -> None:
        words = self.offered() if self.now.is_adult and hours == self._proposed() else ""
        self.answered(self.put(with_task({**self.sentence.task, "every_h": hours}), words))

    def offered(self) -> str:
        hours = self._proposed()
        return say("every {hours} h").format(hours=hours) if hours else ""

    def _at_times(self) -> None:
        found = [each.strip() for each in self._times.text().split(",") if each.strip()]
        found = [f"0{each}" if len(each) == 4 and each[1] == ":" else each for each in found]
        wrong = next((each for each in found if CLOCK.problem(each)), None)
        if wrong is not None or not found:
            words = say("“{time}” isn't a time like 08:00.").format(time=wrong or "")
            self._trouble.say(words)
            return
        self.answered(self.put(with_task({**self.sentence.task, "times": found})))

    def typed(self) -> Json:
        return self._times.text()

    def restore(self, typed: Json) -> None:
        self._times.setText(str(typed))


CALLED: Mapping[str, Mapping[str, str]] = {
    TEMPERATURE: {"high": mark("call from this number up"), "low": mark("call below this number")},
    "spo2_percent": {"low": mark("call below this number")},
}
"""The ends of a limit as the question asks for them, in that order: “at least” could be read either way."""


class LimitAsked(PlanAsked):
    """The range that is offered, by one press; or what the letter says, with its unit."""

    def __init__(self, now: Now, sentence: PlanSentence, set_by: str) -> None:
        super().__init__(now, sentence, set_by)
        proposed = sentence.proposed
        if proposed is not None and now.is_adult:
            offered: Details = proposed.puts["limits"][sentence.limit]
            take = Main(proposed.said(), "take_proposed", size=Size.NAME)
            said = proposed.said()
            take.clicked.connect(lambda: self.answered(self.put(with_limit(sentence.limit, offered), said)))
            self.column.addWidget(row(take))
        self.show_source()
        self.column.addWidget(Words(say("What the letter says"), Size.STRONG))
        group = _group(sentence.limit)
        called = CALLED.get(sentence.limit, {})
        names = [each.name for each in group.fields if not each.name.startswith("urgent")]
        names.sort(key=list(called).index if called else lambda _name: 0)
        fields = tuple(replace(each, label=called.get(each.name, each.label)) for each in group.fields)
        given = self.plan.get("limits", {}).get(sentence.limit, {})
        self._fields = FieldsAsked(now, replace(PLAN, fields=fields, check=None), tuple(names), given)
        self._fields.when_changed.append(self._on_typed)
        self.column.addWidget(self._fields)
        self._told = Words("", Size.STRONG)
        self.column.addWidget(self._told)

    def offered(self) -> str:
        return self.sentence.proposed.said() if self.sentence.proposed is not None else ""

    def _filled(self) -> dict[str, Json]:
        filled = self._fields.filled()
        if not any(name in filled for name in ("low", "high")):
            raise Refused(say("Type the number that stands in the letter, or take the proposal."))
        if "low" in filled and "high" in filled and filled["low"] > filled["high"]:
            raise Refused(say("The lower number is the larger one. Look at the letter again."))
        return filled

    def answer(self) -> Answer:
        return self.put(with_limit(self.sentence.limit, self._filled()))

    def _on_typed(self) -> None:
        """Say what the numbers are in the unit that most gauges have."""
        try:
            filled = self._fields.filled()
        except Refused:
            filled = {}
        unit = str(filled.get("unit", ""))
        limit = limit_of(self.sentence.limit, filled) if unit in PASCAL and unit != "cmH2O" else None
        words = ""
        if self.sentence.limit == CUFF and limit is not None:
            other = {end: _in_water(number, unit) for end, number in limit.ends.items()}
            inside = limit_of(CUFF, {**other, "unit": "cmH2O"})
            if inside is not None:
                words = say(_IS).format(value=range_words(limit), other=range_words(inside))
        self._told.say(words)
        self.touched()

    def odd(self) -> list[str]:
        """A cuff's upper number that is more than the published ceiling: the unit may be another one."""
        filled = self._filled()
        unit, high = str(filled.get("unit", "")), filled.get("high")
        if self.sentence.limit != CUFF:
            limits = {self.sentence.limit: filled}
            return [*self._fields.odd(), *odd_limits(limits, is_adult=self.now.is_adult)]
        if high is None or unit not in PASCAL:
            return self._fields.odd()
        most = CUFF_TARGET["high"]
        if pressure(high, unit, "cmH2O") < most + STEP["cmH2O"] / 2 or not self.now.is_adult:
            return self._fields.odd()
        value, other = with_unit(high, unit), with_unit(_in_water(high, unit), "cmH2O")
        return [say(_OVER).format(value=value, other=other, most=with_unit(most, "cmH2O"))]

    def typed(self) -> Json:
        return self._fields.typed()

    def restore(self, typed: Json) -> None:
        self._fields.restore(typed)

    def landing(self) -> QWidget | None:
        return self._fields.landing()


def _in_water(value: Json, unit: str) -> Json:
    """A pressure in cmH2O, as a gauge shows it."""
    return number_typed(plain(rounded(pressure(value, unit, "cmH2O"), STEP["cmH2O"])))


def _group(limit: str) -> Group:
    found = next(each.type for each in LIMITS.fields if each.name == limit)
    assert isinstance(found, Group)
    return found


class ValueAsked(PlanAsked):
    """One field of the plan, typed as the letter says it."""

    def __init__(self, now: Now, sentence: PlanSentence, set_by: str) -> None:
        super().__init__(now, sentence, set_by)
        self._fields = FieldsAsked(now, PLAN, (sentence.field,), self.plan)
        self._fields.when_changed.append(self.touched)
        self.column.addWidget(self._fields)

    def answer(self) -> Answer:
        filled = self._fields.filled()
        if not filled:
            raise Refused(say("Type what stands in the letter."))
        return self.put(with_value(self.sentence.field, filled[self.sentence.field]))

    def odd(self) -> list[str]:
        return self._fields.odd()

    def typed(self) -> Json:
        return self._fields.typed()

    def restore(self, typed: Json) -> None:
        self._fields.restore(typed)

    def landing(self) -> QWidget | None:
        return self._fields.landing()


class QuietAsked(PlanAsked):
    """Some usual nights; others are written on the plan's page."""

    is_saved_by_button = False

    def __init__(self, now: Now, sentence: PlanSentence, set_by: str) -> None:
        super().__init__(now, sentence, set_by)
        held = self.plan.get("quiet")
        none = ChoiceButton(say("No, none"), "quiet_none", is_one_of=True)
        none.show_on(self.is_none)
        none.switched.connect(lambda _on: self._none())
        presses = row(*(self._choice(span, held) for span in QUIETS), none)
        enlarge(presses)
        self.column.addWidget(presses)
        self.column.addWidget(
            Words(say("Other hours are written on the page Plan. Set times count at night too."), soft=True)
        )
        start, end = (f"{each:%H:%M}" for each in NIGHT)
        words = say(_NIGHT_ALL_THE_SAME).format(start=start, end=end)
        self.column.addWidget(Words(words, soft=True))

    def _none(self) -> None:
        self.says_none = True
        self.answered(self.put(without("quiet")))

    def _choice(self, span: tuple[str, str], held: Json) -> ChoiceButton:
        start, end = span
        words = say("{start} to {end}").format(start=start, end=end)
        button = ChoiceButton(words, f"quiet_{start[:2]}_{end[:2]}", is_one_of=True)
        button.show_on(held == [start, end])
        button.switched.connect(lambda _on: self._hours([start, end]))
        return button

    def _hours(self, span: Json) -> None:
        self.says_none = False
        self.answered(self.put(with_value("quiet", span)))


class SetByAsked(Asked):
    """Who gave the plan: it goes into the plan with its first sentence."""

    def __init__(self, now: Now, set_by: str, chosen: Callable[[str], None]) -> None:
        super().__init__(now)
        self._chosen = chosen
        self._line = Line("field_set_by", say("The hospital or the team, by its name"))
        self._line.setText(set_by)
        self._line.textChanged.connect(lambda _text: self.touched())
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(Words(say("The hospital or the team, by its name"), Size.STRONG))
        column.addWidget(Ringed(self._line))
        column.addWidget(Words(say("Or without a name"), Size.STRONG))
        names = [
            Button.calling(say(team), f"set_by_{number}", partial(self._take, say(team)))
            for number, team in enumerate(TEAMS)
        ]
        column.addWidget(row(*names))

    def _take(self, words: str) -> None:
        self._line.setText(words)
        self._chosen(words)

    def name(self) -> str:
        """What was typed; `Refused` for nothing."""
        words = self._line.text().strip()
        if not words:
            raise Refused(say("Type the name, or press one of the three."))
        return words

    def typed(self) -> Json:
        return self._line.text()

    def restore(self, typed: Json) -> None:
        self._line.setText(str(typed))

    def landing(self) -> QWidget:
        return self._line


SORTS: Mapping[Sort, Callable[[Now, PlanSentence, str], PlanAsked]] = {
    Sort.RHYTHM: RhythmAsked,
    Sort.LIMIT: LimitAsked,
    Sort.QUIET: QuietAsked,
    Sort.VALUE: ValueAsked,
}


def _names(task: Mapping[str, Any]) -> tuple[str, str]:
    return task["kind"], details_text(task.get("where", {}))
