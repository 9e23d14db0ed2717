"""What changed between two plans, in one sentence: “cuff 20–30 → 22–26 cmH2O; inner tube 8 → 4 h”."""

from collections.abc import Iterator, Sequence

from carelog.analysis.limits import Limit, limit_names, limit_of, range_words
from carelog.domain.entry import Details
from carelog.domain.moment import HOUR, MINUTE, Instant
from carelog.domain.plan import Plan, Span, Task
from carelog.domain.units import plain
from carelog.kinds import named_or_unknown, task_title
from carelog.text import mark, say

ARROW = "→"
PAPER_ARROW = "›"
"""Paper's typefaces have no arrow."""

_CHANGE = mark("{what} {before} {arrow} {after}")
_CUFF = mark("cuff")
_NONE = mark("none")
_EVERY = mark("every {hours} h")
_HOURS = mark("{hours} h")
_AT = mark("at {times}")
_NEW = mark("new: {task} {rhythm}")
_GONE = mark("no longer: {task}")
_QUIET = mark("quiet hours")
_TASKS_QUIET = mark("{task}, quiet hours")
_GRACE = mark("{task}, grace")
_EARLY = mark("{task}, early by")
_MINUTES = mark("{minutes} min")
_REWRITTEN = mark("{what} changed")
_LEARNT_ANEW = mark("usual learnt anew for {names}")
_FIRST = mark("the first plan: {tasks}")
_NO_TASKS = mark("the first plan, without tasks")
_SAME = mark("asks the same as before")
_BY_ITSELF = ("from", "set_by", "tasks", "quiet", "limits", "restarts")


def revision(before: Plan | None, after: Plan, arrow: str = ARROW) -> str:
    """What a plan changed of the one before it; of the first plan what it asks for."""
    if before is None:
        tasks = "; ".join(f"{_named(task)} {_rhythm(task)}" for task in after.tasks)
        return say(_FIRST).format(tasks=tasks) if tasks else say(_NO_TASKS)
    parts = [
        *_limits(before.details, after.details, arrow),
        *_tasks(before, after, arrow),
        *_others(before.details, after.details, arrow),
    ]
    return "; ".join(parts) or say(_SAME)


def revision_of(plans: Sequence[Plan], entry: str, arrow: str = ARROW) -> str | None:
    """What the plan of an entry changed, among all plans in their order; None where it isn't among them."""
    place = next((number for number, plan in enumerate(plans) if plan.entry == entry), None)
    if place is None:
        return None
    return revision(plans[place - 1] if place else None, plans[place], arrow)


def _changed(what: str, before: str, after: str, arrow: str) -> str:
    return say(_CHANGE).format(what=what, before=before, after=after, arrow=arrow)


def _limits(before: Details, after: Details, arrow: str) -> Iterator[str]:
    for name, label in limit_names():
        old, new = (limit_of(name, each.get("limits", {}).get(name, {})) for each in (before, after))
        if _ends(old) == _ends(new):
            continue
        what = say(_CUFF) if name == "cuff_pressure" else label
        if old is not None and new is not None and _is_span(old) and _is_span(new):
            is_same_unit = old.unit == new.unit
            first = _span(old) if is_same_unit else f"{_span(old)} {say(old.unit)}"
            yield _changed(what, first, f"{_span(new)} {say(new.unit)}", arrow)
            continue
        yield _changed(what, _range(old), _range(new), arrow)


def _ends(limit: Limit | None) -> object:
    return None if limit is None else (dict(limit.ends), limit.unit)


def _is_span(limit: Limit) -> bool:
    """Whether two numbers say it all."""
    return set(limit.ends) == {"low", "high"} and not limit.is_from_high


def _span(limit: Limit) -> str:
    return f"{plain(limit.ends['low'])}–{plain(limit.ends['high'])}"


def _range(limit: Limit | None) -> str:
    return say(_NONE) if limit is None else range_words(limit)


def _tasks(before: Plan, after: Plan, arrow: str) -> Iterator[str]:
    old, new = ({task.key: task for task in plan.tasks} for plan in (before, after))
    for key, task in new.items():
        if key not in old:
            yield say(_NEW).format(task=_named(task), rhythm=_rhythm(task))
        elif old[key].same() != task.same():
            yield from _task(old[key], task, before.quiet == after.quiet, arrow)
    for key, task in old.items():
        if key not in new:
            yield say(_GONE).format(task=_named(task))
    if before.quiet != after.quiet:
        yield _changed(say(_QUIET), _hours(before.quiet), _hours(after.quiet), arrow)


def _task(old: Task, new: Task, has_same_quiet: bool, arrow: str) -> Iterator[str]:
    name = _named(new)
    if (old.every, old.times) != (new.every, new.times):
        if old.every is not None and new.every is not None:
            yield _changed(name, plain(old.every / HOUR), _in_hours(new.every), arrow)
        else:
            yield _changed(name, _rhythm(old), _rhythm(new), arrow)
    if old.grace != new.grace:
        what = say(_GRACE).format(task=name)
        yield _changed(what, _in_minutes(old.grace), _in_minutes(new.grace), arrow)
    if old.early != new.early and new.times:
        what = say(_EARLY).format(task=name)
        yield _changed(what, _in_minutes(old.early), _in_minutes(new.early), arrow)
    if old.quiet != new.quiet and has_same_quiet and new.every is not None:
        yield _changed(say(_TASKS_QUIET).format(task=name), _hours(old.quiet), _hours(new.quiet), arrow)


def _others(before: Details, after: Details, arrow: str) -> Iterator[str]:
    for field in named_or_unknown("plan").fields:
        old, new = before.get(field.name), after.get(field.name)
        if field.name in _BY_ITSELF or old == new:
            continue
        label = say(field.label)
        if field.name == "instructions":
            yield say(_REWRITTEN).format(what=label)
            continue
        first, second = (say(_NONE) if each is None else field.type.words(each) for each in (old, new))
        yield _changed(label, first, second, arrow)
    restarts = named_or_unknown("plan").field("restarts")
    if after.get("restarts") and restarts is not None:
        yield say(_LEARNT_ANEW).format(names=restarts.type.words(after["restarts"]))


def _named(task: Task) -> str:
    title = task_title(task.kind, task.where)
    return title[:1].lower() + title[1:]


def _rhythm(task: Task) -> str:
    if task.every is None:
        return say(_AT).format(times=", ".join(f"{clock:%H:%M}" for clock in task.times))
    return say(_EVERY).format(hours=plain(task.every / HOUR))


def _in_hours(length: Instant) -> str:
    return say(_HOURS).format(hours=plain(length / HOUR))


def _in_minutes(length: Instant) -> str:
    return say(_MINUTES).format(minutes=plain(length / MINUTE))


def _hours(span: Span | None) -> str:
    return say(_NONE) if span is None else f"{span[0]:%H:%M}–{span[1]:%H:%M}"
