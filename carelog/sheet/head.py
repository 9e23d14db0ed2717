"""The head of a sheet: who, which days, the tube, the plan and its limits, whom to call; and its feet."""

from collections.abc import Callable, Iterator, Sequence
from datetime import date
from itertools import groupby

from carelog.analysis.kit import catheter
from carelog.analysis.limits import limits_of_plan
from carelog.analysis.people import person
from carelog.analysis.revision import ARROW, PAPER_ARROW, revision_of
from carelog.analysis.rules.version import newest
from carelog.analysis.times import clock, dated, full_day, month_day, span
from carelog.domain.entry import Details
from carelog.domain.moment import HOUR
from carelog.domain.plan import Plan, Task
from carelog.domain.units import exact, plain
from carelog.kinds import task_title
from carelog.kinds.contact import CONTACT
from carelog.kinds.person import PERSON
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.sheet.blocks import Facts, Feet, Words, words
from carelog.sheet.material import Material, in_period
from carelog.text import mark, say, say_n

Fact = tuple[str, Words]
Teller = Callable[[Material, Plan], Iterator[Fact]]
_SHORTLY = ("born", "helped_by", "upper_airway", "allergies")
_AT_LENGTH = ("swallow", "communication", "reason")
LANGUAGE = mark("en")
"""Not shown: a translation gives the code of its own language."""

_HOLDS = mark("Holds what was recorded up to {time}.")
_HOLDS_NONE = mark("Holds no entries yet.")
_MADE_FROM = mark("Made from the household's own notes; not a monitor.")
_CHECK_CODE = mark("Check code {code}. Rules {day}. A record and a reminder. It advises no treatment.")
_IN_LARGE = mark(
    "{holds} Check code {code}. Rules {day}. A record and a reminder. "
    "Own notes, not a monitor. It advises no treatment."
)
_CODE_ALONE = mark("Check code {code}.")
_INVENTED = mark("MADE-UP HOUSEHOLD: all names, numbers and readings on this sheet are made up")
_NO_AIR = mark("NO AIR PASSES BY MOUTH AND NOSE: breathes through the neck alone")
_NO_TUBE = mark("no tube recorded")
_NO_PLAN = mark("no plan recorded: nothing is asked for, no limits are set")
_CATHETER = mark("{size}\N{NO-BREAK SPACE}Fr in the plan")
_LARGER = mark("; by the tube's size {size}\N{NO-BREAK SPACE}Fr")
_CHANGED = mark("{time}: {words}")
_NO_CONTACT = mark("no contact recorded")


def banner(found: Material) -> str:
    """What every page of a made-up household says."""
    return say(_INVENTED) if found.is_invented else ""


def warning(found: Material) -> str:
    """What every page says of a person whose upper airway is closed, by what was recorded."""
    return say(_NO_AIR) if found.person.get("upper_airway") == "none" else ""


def feet(found: Material, printed_mark: str) -> Feet:
    """The lines at the foot of every page: up to when it holds what was recorded, and its code."""
    known = found.period.known
    holds = say(_HOLDS_NONE) if known is None else say(_HOLDS).format(time=dated(found.period.home, known))
    code = say(_CHECK_CODE).format(code=printed_mark, day=newest().day)
    later = f"{holds} {say(_CODE_ALONE).format(code=printed_mark)}"
    if found.request.large:
        return Feet((say(_IN_LARGE).format(holds=holds, code=printed_mark, day=newest().day),), (later,))
    return Feet((f"{holds} {say(_MADE_FROM)}", code), (later,))


def facts(found: Material) -> Facts:
    """All about the person, the tube, the plan and whom to call, for somebody who has never been here."""
    return Facts(
        (
            *_person(found, (*_SHORTLY, *_AT_LENGTH)),
            *_emergency(found),
            *_tube(found),
            *_plans(found, (_plan, _asked, _limits, _catheter, _instructions)),
            *_contacts(found),
        )
    )


def brief_facts(found: Material) -> Facts:
    """What a visiting nurse needs before the flags: who, the tube in place, the plan's limits."""
    return Facts((*_person(found, _SHORTLY), *_tube(found), *_plans(found, (_plan, _limits))))


def blank_facts(found: Material) -> Facts:
    """What stands at the head of a sheet that is filled in by hand."""
    rows = (*_person(found, _SHORTLY), *_tube(found), *_emergency(found), *_contacts(found))
    return Facts(rows)


def more_facts(found: Material) -> Facts:
    """What `brief_facts` leaves out."""
    asked = _plans(found, (_asked, _catheter, _instructions)) if in_period(found.review) else ()
    rest = _person(found, _AT_LENGTH) if any(name in found.person for name in _AT_LENGTH) else ()
    rows = (*rest, *_emergency(found), *asked, *_contacts(found))
    return Facts(rows, title=say(mark("Person, plan and contacts")))


def plan_facts(found: Material) -> tuple[Fact, ...]:
    """The plan in force: who set it, its limits, what it asks for, its instructions."""
    return tuple(_plans(found, (_plan, _limits, _asked, _instructions)))


def _person(found: Material, names: Sequence[str]) -> Iterator[Fact]:
    details = found.person
    parts = []
    if "born" in details and "born" in names:
        parts.append(say(mark("born {date}")).format(date=full_day(date.fromisoformat(details["born"]))))
    kind = PERSON
    for name in names:
        field = kind.field(name)
        if field and name in details and name != "born":
            label = say(mark("air by mouth and nose")) if name == "upper_airway" else say(field.label)
            parts.append(f"{label}: {field.type.words(details[name])}")
    yield say(mark("Person")), words("; ".join(parts) or say(mark("nothing more recorded")))


def _emergency(found: Material) -> Iterator[Fact]:
    if found.person.get("emergency_plan"):
        yield say(mark("Emergency plan")), words(found.person["emergency_plan"])


def _tube(found: Material) -> Iterator[Fact]:
    title = say(mark("Tube in place"))
    if found.tube is None:
        yield title, words(say(_NO_TUBE))
        return
    home, details = found.period.home, found.tube.entry.details
    kind = TUBE_CHANGE
    names = (
        "id_mm",
        "od_mm",
        "length_mm",
        "cuff",
        "fenestrated",
        "inner_tube",
        "inner_id_mm",
        "size_mark",
        "lot",
    )
    line = kind.line({name: details[name] for name in names if name in details})
    placed = home.day(found.tube.time)
    last = home.day(max(found.period.judged - 1, found.period.start))
    days = (last - placed).days
    age = say_n(
        "placed {date}, one day ago at the end of this sheet",
        "placed {date}, {days} days ago at the end of this sheet",
        days,
    ).format(date=full_day(placed), days=days)
    due = say(mark("no date for the next change"))
    if "next_due" in details:
        day = date.fromisoformat(details["next_due"])
        due = say(mark("next change due {date}")).format(date=full_day(day))
        if day <= last:
            due += say(mark(" (passed)")) if day < last else say(mark(" (that day)"))
    late = (
        say(mark("; written down after these days"))
        if found.tube.first.recorded_at >= found.period.end
        else ""
    )
    yield title, (*words(line, bold=True), *words(f"; {age}; {due}{late}"))


def _plans(found: Material, tell: Sequence[Teller]) -> Iterator[Fact]:
    used = in_period(found.review)
    if not used:
        yield say(mark("Plan")), words(say(_NO_PLAN))
        return
    for each in tell:
        yield from each(found, used[-1])


def _plan(found: Material, plan: Plan) -> Iterator[Fact]:
    since = say(mark("set by {who}, from {time}")).format(
        who=plan.details["set_by"], time=dated(found.period.home, plan.since)
    )
    yield say(mark("Plan")), words(since)
    for each in in_period(found.review):
        if each.since > found.period.start:
            arrow = ARROW if found.request.html else PAPER_ARROW
            text = say(_CHANGED).format(
                time=clock_day(found, each.since), words=revision_of(found.review.plans, each.entry, arrow)
            )
            yield say(mark("Plan changed")), words(text, bold=True)


def _asked(found: Material, plan: Plan) -> Iterator[Fact]:
    yield say(mark("Asks for")), words(asks(plan) or say(mark("nothing")))


def _limits(found: Material, plan: Plan) -> Iterator[Fact]:
    yield say(mark("Limits")), words(limits(found, plan), bold=True)


def _instructions(found: Material, plan: Plan) -> Iterator[Fact]:
    if plan.details.get("instructions"):
        yield say(mark("Instructions")), words(plan.details["instructions"])


def _catheter(found: Material, plan: Plan) -> Iterator[Fact]:
    """The prescribed suction catheter; and what the tube's size would suggest where that is less."""
    prescribed = plan.details.get("catheter_fr")
    if prescribed is None:
        return
    tube = found.tube.entry.details if found.tube else None
    today = found.period.days[-1]
    size = catheter(tube, person(found.reading).is_adult(today), prescribed)
    text = say(_CATHETER).format(size=plain(prescribed))
    if size.suggested is not None and exact(prescribed) > size.suggested:
        text += say(_LARGER).format(size=size.suggested)
    yield say(mark("Suction catheter")), words(text)


def asks(plan: Plan) -> str:
    """What a plan asks for, in one line; tasks of one rhythm that stand side by side say it once."""
    groups = groupby(plan.tasks, rhythm)
    return "; ".join(
        f"{', '.join(task_title(task.kind, task.where) for task in tasks)} {often}" for often, tasks in groups
    )


def rhythm(task: Task) -> str:
    """How often a task asks."""
    if task.times:
        return say(mark("at {times}")).format(times=", ".join(f"{time:%H:%M}" for time in task.times))
    every = task.every or 0
    return say(mark("every {span}")).format(span=f"{plain(every / HOUR)}\N{NO-BREAK SPACE}{say(mark('h'))}")


def limits(found: Material, plan: Plan) -> str:
    """A plan's limits as they were typed, each with its unit, and those that count without one."""
    is_adult = person(found.reading).is_adult(found.period.days[-1]) is True
    lines, none = limits_of_plan(plan.details.get("limits", {}), is_adult)
    return "; ".join([*(f"{name} {words}" for name, words in lines), *([none] if none else [])])


def _contacts(found: Material) -> Iterator[Fact]:
    lines = []
    kind = CONTACT
    purpose = kind.field("for")
    for held in found.contacts:
        details = held.entry.details
        meant = purpose.type.words(details["for"]) if purpose and "for" in details else ""
        meant = f" ({meant})" if meant and meant != details["role"] else ""
        when = f", {details['when']}" if details.get("when") else ""
        name = f"{details['name']} " if details.get("name") else ""
        lines.append(f"{details['role']}{meant}: {name}{phone(details)}{when}")
    yield say(mark("Contacts")), words("; ".join(lines) or say(_NO_CONTACT))


def phone(details: Details) -> str:
    """A contact's number, which stays on one line."""
    return str(details["phone"]).replace(" ", "\N{NO-BREAK SPACE}")


def days_words(found: Material, is_first: bool = False) -> str:
    """The first and last day of the period; after them or before them it is said if it isn't over yet."""
    days = found.period.days
    text = month_day(days[0])
    if len(days) > 1:
        text = say(mark("{first} to {last}")).format(first=text, last=month_day(days[-1]))
    text = f"{text}\N{NO-BREAK SPACE}{days[-1].year}"
    if found.period.is_finished:
        return text
    unfinished = say(mark("UNFINISHED"))
    return f"{unfinished} · {text}" if is_first else f"{text} · {unfinished}"


def period_words(found: Material) -> str:
    """The days of the period, and what is special about them."""
    days, home = found.period.days, found.period.home
    parts = [days_words(found)]
    parts += list(_odd_days(found, days))
    if not found.period.is_finished and found.period.known is not None:
        parts.append(say(mark("known up to {time}")).format(time=clock_day(found, found.period.known)))
    return "; ".join([*parts, say(mark("times of {zone}")).format(zone=home.name)])


def clock_day(found: Material, instant: int) -> str:
    """Thu 22 Oct 14:05."""
    home = found.period.home
    return f"{month_day(home.day(instant))} {clock(home, instant)}"


def _odd_days(found: Material, days: Sequence[date]) -> Iterator[str]:
    for day in days:
        length = found.period.home.end_of(day) - found.period.home.start_of(day)
        if length != 24 * HOUR:
            yield say(mark("{day} has {span}, the clocks change")).format(
                day=month_day(day), span=span(length)
            )
