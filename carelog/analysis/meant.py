"""What would another plan have meant? The dues and flags of some days under two plans, side by side."""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from carelog.analysis.rounds import RoundState, asked
from carelog.analysis.sentences import BothSay
from carelog.analysis.titles import rule_title
from carelog.analysis.week import Review
from carelog.domain.flag import Flag
from carelog.domain.moment import Instant
from carelog.kinds import task_name
from carelog.text import mark, say, say_n

OVERDUE = "overdue"
FAR: Instant = 1 << 62
NAMED = 2
"""So many tasks at most are told one by one in the sentence."""
_SENTENCE = mark("Under this plan, in the last {days} days: {dues}. {flags}")
_ALL = mark("all of it")
_ASKED = mark("asked for {count} instead of {before}")
_OVERDUE = mark("overdue {count} instead of {before}")
_MISSED = mark("not recorded {count} instead of {before}")
_SAME = mark("the same asked for")
_MORE = mark("Flagged beside: {flags}.")
_LESS = mark("Not flagged any more: {flags}.")
_SAME_FLAGS = mark("The same flagged.")
_FOOT = mark("Worked out from what was recorded. With another plan people may have done other things.")
_CELL = mark("{asked} asked for: {parts}")
_NOT_ASKED = mark("not asked for")
_RAISED = mark("Flag: {rule}")
_WORDS = {
    RoundState.DONE: mark("{count} in time"),
    RoundState.LATE: mark("{count} overdue"),
    RoundState.MISSED: mark("{count} not recorded"),
    RoundState.OPEN: mark("{count} still due"),
}


@dataclass(frozen=True, slots=True)
class Fared:
    """What became of a task in the days: how often each state."""

    title: str
    states: Mapping[RoundState, int]

    @property
    def asked(self) -> int:
        """How often it was asked for."""
        return sum(self.states.values())

    @property
    def counts(self) -> tuple[int, int, int]:
        """How often it was asked for, done when it was overdue, and not recorded."""
        return self.asked, self.states.get(RoundState.LATE, 0), self.states.get(RoundState.MISSED, 0)

    def words(self) -> str:
        """All of it in a few words."""
        if not self.asked:
            return say(_NOT_ASKED)
        counted = [
            say(words).format(count=self.states[state])
            for state, words in _WORDS.items()
            if self.states.get(state)
        ]
        return say(_CELL).format(asked=self.asked, parts=", ".join(counted))


@dataclass(frozen=True, slots=True)
class Meant:
    """The answer: a sentence, a table, and what it leaves open."""

    sentence: str
    rows: tuple[BothSay, ...]
    foot: str


def meant(before: Review, after: Review, flags_before: Sequence[Flag], flags_after: Sequence[Flag]) -> Meant:
    """The same days under the recorded plans and under another; the flags are those of these days."""
    was, would = _fared(before), _fared(after)
    pairs = [(_of(was, would, key), _of(would, was, key)) for key in dict.fromkeys([*would, *was])]
    names = {key: each.title for key, each in (was | would).items()}
    rows = [BothSay(old.words(), new.words(), new.title) for old, new in pairs]
    rows += _flag_rows(flags_before, flags_after, names)
    words = say(_SENTENCE).format(
        days=len(before.period.days), dues=_dues(pairs), flags=_flags(flags_before, flags_after)
    )
    return Meant(words, tuple(rows), say(_FOOT))


def _fared(review: Review) -> dict[str, Fared]:
    found: dict[str, Fared] = {}
    for each in asked(review):
        task = each.task
        states = Counter(one.state for one in each.rounds)
        found[task.key] = Fared(task_name(task.kind, task.where), states)
    return found


def _of(here: Mapping[str, Fared], there: Mapping[str, Fared], key: str) -> Fared:
    return here[key] if key in here else Fared(there[key].title, {})


def _dues(pairs: Sequence[tuple[Fared, Fared]]) -> str:
    changed = [(old, new) for old, new in pairs if old.counts != new.counts]
    before, after = (_summed([pair[side] for pair in pairs]) for side in (0, 1))
    if len(changed) > NAMED and before.counts != after.counts:
        return _told(before, after, say(_ALL))
    return "; ".join(_told(old, new, _small(new.title)) for old, new in changed) or say(_SAME)


def _small(title: str) -> str:
    return title if title[1:2].isupper() else title[:1].lower() + title[1:]


def _summed(all_of: Sequence[Fared]) -> Fared:
    states: Counter[RoundState] = Counter()
    for each in all_of:
        states.update(each.states)
    return Fared("", states)


def _told(old: Fared, new: Fared, title: str) -> str:
    parts = [
        say(words).format(count=_times(here), before=_number(there))
        for words, here, there in zip((_ASKED, _OVERDUE, _MISSED), new.counts, old.counts, strict=True)
        if here != there
    ]
    return f"{title} {', '.join(parts)}"


def _times(count: int) -> str:
    return say_n("once", "{count} times", count).format(count=count) if count else say(mark("never"))


def _number(count: int) -> str:
    return str(count) if count > 1 else _times(count)


def _flags(before: Sequence[Flag], after: Sequence[Flag]) -> str:
    """The flags that only one of the two has: “two flags more” would hide that three others are gone."""
    both = ((_MORE, _beyond(after, before)), (_LESS, _beyond(before, after)))
    parts = [say(words).format(flags=_counted(found)) for words, found in both if found]
    return " ".join(parts) or say(_SAME_FLAGS)


def _beyond(flags: Sequence[Flag], others: Sequence[Flag]) -> list[Flag]:
    """The flags that aren't among others: one of those that stood at the same time is the same flag."""
    return [each for each in flags if not any(_is_same(each, other) for other in others)]


def _is_same(one: Flag, other: Flag) -> bool:
    if (one.rule, one.subject, one.level) != (other.rule, other.subject, other.level):
        return False
    ends = (each.cleared_at for each in (one, other))
    one_end, other_end = (end if end is not None else FAR for end in ends)
    return one.raised_at < other_end and other.raised_at < one_end


def _counted(flags: Sequence[Flag]) -> str:
    """How many of each level, the most serious first."""
    levels = Counter(each.level for each in flags)
    told = [f"{count} “{level.asks}”" for level, count in sorted(levels.items(), reverse=True)]
    return ", ".join(told) or say(mark("no flag"))


def _flag_rows(before: Sequence[Flag], after: Sequence[Flag], names: Mapping[str, str]) -> Iterator[BothSay]:
    """Of each rule, and of each task that is overdue, the flags that aren't the same."""
    grouped: dict[str, tuple[list[Flag], list[Flag]]] = {}
    for side, flags in enumerate((before, after)):
        for each in flags:
            grouped.setdefault(_titled(each, names), ([], []))[side].append(each)
    for title, (old, new) in grouped.items():
        if _beyond(old, new) or _beyond(new, old):
            yield BothSay(_counted(old), _counted(new), say(_RAISED).format(rule=title))


def _titled(flag: Flag, names: Mapping[str, str]) -> str:
    title = rule_title(flag.rule)
    if flag.rule != OVERDUE or flag.subject is None:
        return title
    return f"{title}: {names.get(flag.subject, flag.subject)}"
