"""What was pressed, in the words of the receipt: loaded with the first press, after the first paint."""

from carelog.domain.entry import Details
from carelog.domain.field import Reference
from carelog.domain.kind import Kind
from carelog.kinds import named_or_unknown
from carelog.kinds.plan import PLAN
from carelog.text import mark, say
from carelog.ui import times
from carelog.ui.naming import line_words
from carelog.ui.present import Present
from carelog.ui.slip import Slip, State

_SAID = mark("“{text}”")


def slip_words(slip: Slip, present: Present) -> str:
    """The whole line: what, how far it is, when, by whom."""
    home, entry = present.home(), slip.entry
    when = times.at_night(home, entry.at.instant, present.now())
    state = {
        State.WAITING: say("not saved yet"),
        State.SAVED: say("changed") if slip.is_change else say("saved"),
        State.FAILED: say("not saved"),
        State.UNDONE: say("undone"),
    }[slip.state]
    words = f"{told_words(slip, present)} {state}, {when}, {entry.by or say('no name')}"
    return f"{words}. {say('One entry.')}" if slip.is_several else words


def told_words(slip: Slip, present: Present) -> str:
    """The entry in words; of a plan what it changed, once it is in force."""
    told = None
    if present.picture is not None:
        from carelog.analysis.revision import revision_of

        told = revision_of(present.picture.plans, slip.entry.id)
    return f"{say(named_or_unknown(slip.entry.kind).title)} ({told})" if told else entry_words(slip)


def entry_words(slip: Slip) -> str:
    """The entry in words: what the tile says where it says it all, and what was added."""
    kind = named_or_unknown(slip.entry.kind)
    for tile in kind.tiles:
        if tile.records is None or slip.first.details != tile.records:
            continue
        # Unless a choice has put another thing in its place: “stuck” after “Inner tube cleaned”.
        if tile.records.items() <= slip.entry.details.items():
            given = {n: v for n, v in slip.entry.details.items() if n not in tile.records}
            extra = kind.line(given)
            return f"{say(tile.words)} ({extra})" if extra else say(tile.words)
    if slip.entry.kind == PLAN.name and not slip.entry.withdrawn:
        return say(kind.title)  # eight lines otherwise; what it changed is told once it is in force
    if slip.entry.withdrawn:
        return say("{kind} struck out:").format(kind=say(kind.title))
    line = line_words(kind.name, _spoken_of(kind, slip))
    return f"{say(kind.title)} ({line})" if line else say(kind.title)


def _spoken_of(kind: Kind, slip: Slip) -> Details:
    """The details with the words of what they speak of; without an id that says nothing to people."""
    details = dict(slip.entry.details)
    for each in kind.fields:
        if isinstance(each.type, Reference) and each.name in details:
            words = slip.spoken_of.get(details.pop(each.name))
            if words is not None:
                details[each.name] = say(_SAID).format(text=words)
    return details
