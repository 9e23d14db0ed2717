"""`carelog due`, `flags`, `kit`: what the record says, as JSON or as lines for people."""

from pathlib import Path

from carelog.app.ports import Record
from carelog.commands import records, times
from carelog.commands.planfile import plan_details, read_plan
from carelog.commands.surroundings import Surroundings
from carelog.commands.usage import Given
from carelog.domain.due import Due, DueState
from carelog.domain.entry import Entry, Json
from carelog.domain.flag import Flag
from carelog.domain.moment import DAY_24_H, Home, Instant
from carelog.domain.trouble import WrongUse
from carelog.kinds import task_title
from carelog.text import mark, say

WEEK = 7 * DAY_24_H
_MEANT = mark("{what}: {after}; as it was: {before}")
_EACH = mark("With --json, or with --from and --to, each flag is told.")
STATES = {
    DueState.LATER: mark("later"),
    DueState.SOON: mark("soon"),
    DueState.DUE: mark("due"),
    DueState.LATE: mark("overdue"),
}


def due(given: Given, around: Surroundings) -> int:
    """What the plan asks for next."""
    from carelog.analysis.due import dues
    from carelog.analysis.in_force import Reading
    from carelog.app.outlook import Outlook

    with records.opened(Path(given.needed("record")), around) as record:
        home = records.home(record)
        asked = given.text("at")
        now = around.reached() if asked is None else times.read_moment(asked, home).instant
        at, live_now = (None, now) if asked is None else (now, None)
        if given.text("plan") is None:
            reading = Outlook(record, at).reading(now)
        else:  # another plan may ask for what no working set of this one holds
            reading = Reading(record.everything(), at, live_now)
    plan = read_plan(given.text("plan"), reading, now)
    found = sorted(dues(reading, now, plan), key=lambda each: each.due_at)
    if given.has("json"):
        around.say_json([_due_json(each, home) for each in found])
        return 0
    for each in found:
        around.say(_due_line(each, home))
    if not found:
        around.say(say("The plan asks for nothing now, or no plan is recorded."))
    return 0


def _due_json(due: Due, home: Home) -> dict[str, Json]:
    return {
        "kind": due.kind,
        "where": dict(due.where),
        "due_at": times.home_text(due.due_at, home),
        "state": due.state.value,
        "last_at": _text_or_none(due.last_at, home),
        "why": due.why,
    }


def _due_line(due: Due, home: Home) -> str:
    title = task_title(due.kind, due.where)
    return f"{say(STATES[due.state]):6} {times.home_text(due.due_at, home)}  {title}. {due.why}"


def flags(given: Given, around: Surroundings) -> int:
    """Every flag in force at any moment of a period."""
    with records.opened(Path(given.needed("record")), around) as record:
        home = records.home(record)
        now = around.reached()
        if given.has("plan") and not any(given.has(name) for name in ("json", "from", "to")):
            return _say_meant(given.needed("plan"), record, now, around)
        start, end = period(given, home, now)
        found = _found(record, given, start, end, now)
        last = record.last_written()
    if given.has("json"):
        around.say_json([_flag_json(each, home) for each in found])
        return 0
    for each in found:
        around.say(_flag_line(each, home))
    if not found:
        around.say(_nothing(last, home))
    return 0


def _say_meant(file: str, record: Record, now: Instant, around: Surroundings) -> int:
    """What another plan would have meant in the last two weeks: a sentence, and what differs, a line each."""
    from carelog.app.meant import meant_of

    found = meant_of(record, plan_details(file), now)
    around.say(found.sentence)
    for each in found.rows:
        if each.is_changed:
            around.say(say(_MEANT).format(what=each.title, before=each.before, after=each.after))
    around.say(f"{found.foot} {say(_EACH)}")
    return 0


def _found(record: Record, given: Given, start: Instant, end: Instant, now: Instant) -> list[Flag]:
    from carelog.analysis.in_force import Reading
    from carelog.analysis.past import PastWindow
    from carelog.analysis.plans import stand_in

    is_live = not given.has("to")
    until, live_now = (None, now) if is_live else (end, None)
    window = PastWindow(record, start, until, live_now=live_now)
    if given.has("plan"):
        plan = stand_in(Reading(window.entries, end), plan_details(given.needed("plan")), start)
        window = PastWindow(record, start, until, (plan, start), live_now)
    return window.flags()


def _nothing(last: Entry | None, home: Home) -> str:
    if last is None:
        return say("Nothing is flagged: the record holds no entries yet.")
    return say("Nothing is flagged in what was recorded; last written {time}.").format(
        time=times.home_text(last.recorded_at, home)
    )


def period(given: Given, home: Home, now: Instant) -> tuple[Instant, Instant]:
    """The period asked for; the last seven days where nothing is said."""
    until, since = given.text("to"), given.text("from")
    end = now if until is None else times.read_moment(until, home).instant
    start = end - WEEK if since is None else times.read_moment(since, home).instant
    if start >= end:
        raise WrongUse(say("The period ends before it begins: --from must lie before --to."))
    return start, end


def _flag_json(flag: Flag, home: Home) -> dict[str, Json]:
    return {
        "rule": flag.rule,
        "subject": flag.subject or None,
        "level": flag.level.word,
        "raised_at": times.home_text(flag.raised_at, home),
        "cleared_at": _text_or_none(flag.cleared_at, home),
        "cleared_by": flag.cleared_by,
        "headline": flag.headline,
        "why": flag.reasons,
        "entries": list(flag.entries),
        "seen": list(flag.seen),
    }


def _flag_line(flag: Flag, home: Home) -> str:
    ended = _text_or_none(flag.cleared_at, home)
    until = f" – {ended}" if ended else ""
    since = times.home_text(flag.raised_at, home)
    return f"{flag.level.asks}: {since}{until}  {flag.headline} {flag.reasons}"


def kit(given: Given, around: Surroundings) -> int:
    """The tube, the catheter size, the spare-tube box, the supplies."""
    from carelog.analysis.in_force import Reading
    from carelog.analysis.kit import kit as kit_of
    from carelog.app.history import history
    from carelog.commands.kitlines import lines

    with records.opened(Path(given.needed("record")), around) as record:
        home = records.home(record)
        asked = given.text("at")
        now = around.reached() if asked is None else times.read_moment(asked, home).instant
        entries = history(record, now, None if asked is None else now + 1)
    reading = Reading(entries, live_now=now) if asked is None else Reading(entries, now)
    found = kit_of(reading, now)
    if given.has("json"):
        around.say_json(found.json())
        return 0
    for line in lines(found, now):
        around.say(line)
    return 0


def _text_or_none(instant: Instant | None, home: Home) -> str | None:
    return None if instant is None else times.home_text(instant, home)
