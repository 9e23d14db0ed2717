"""What a tile tells of the record beside its name: loaded with the record, after the first paint."""

from carelog.domain.due import Due, DueState
from carelog.domain.moment import Home, Instant
from carelog.text import say
from carelog.ui import times
from carelog.ui.board.face import FaceState
from carelog.ui.present import Present


def state_of(present: Present, name: str, now: Instant) -> FaceState:
    """What the tile of this name tells; what isn't recorded is said not to be."""
    picture, seen = present.picture, present.glances.get(name)
    if picture is None or seen is None:
        return FaceState((), (say("not recorded yet") if picture else say("not read yet"),))
    home, due = picture.home, seen.due
    asked, mark = (due_words(due, home, now), due.state) if due is not None else ("", None)
    if seen.held is None:
        return FaceState((), (say("not recorded yet"),), asked, mark)
    by = seen.held.first.by
    when = times.short(home, seen.held.time, now) + (f"\N{NO-BREAK SPACE}{by}" if by else "")
    today = (say("{count} today").format(count=seen.today),) if seen.today else ()
    return FaceState(seen.said, (when, *today), asked, mark)


def due_words(due: Due, home: Home, now: Instant) -> str:
    """What a tile says of its task: “next 22:16”, “due 20:02”, “overdue since 20:02”."""
    if due.state is DueState.LATE:
        return say("overdue since {time}").format(time=times.short(home, due.late_at, now))
    words = say("due {time}") if due.state is DueState.DUE else say("next {time}")
    return words.format(time=times.short(home, due.due_at, now))
