"""The rows for what a record depends on beside itself: the clock, journals, drafts, copies, locks, others."""

from collections.abc import Iterator, Mapping

from tests.faults import clocks, journals, locks, rivals, rounds, typed
from tests.faults.line import Line, Row, share
from tests.store.lockless import can_be_told_otherwise


def clock(part: float) -> Iterator[Line]:
    """Clocks that go wrong."""
    done = clocks.many(share(500, part))
    found = (
        f"{done.pressed} presses: {done.misfiled} at a wrong time, {done.unasked} wrong clocks not asked "
        f"about, {done.asked_for_nothing} right ones asked about"
    )
    yield Line("clock", f"{done.faults} clocks that go wrong, at a start or in between", found, done.is_clean)
    by_commands = clocks.commands(share(500, part))
    found = (
        f"{by_commands.pressed} entries: {by_commands.misfiled} at a wrong time that nobody is asked about, "
        f"{by_commands.unasked} wrong clocks not said"
    )
    what = f"{by_commands.faults} wrong clocks on which commands write"
    yield Line("clock", what, found, by_commands.is_clean)
    control = clocks.many(share(60, part, least=20), clocks.Believing)
    found = f"{control.misfiled} at a wrong time"
    yield Line("clock", "control: each clock is believed", found, control.misfiled > 0)


def journal(part: float) -> Iterator[Line]:
    """Journals that outlived their records."""
    done = journals.many(share(100, part))
    found = f"{done.spoiled} spoiled, {done.unwritable} unwritable, {done.journals_gone} journals gone"
    yield Line("journal", f"{done.made} records made where a journal lay", found, done.is_clean)
    control = journals.many(share(20, part, least=6), (journals.copied,))
    found = f"{control.spoiled} spoiled of {control.made}"
    yield Line("journal", "control: copied there and opened bare", found, control.spoiled > 0)


def drafts(part: float) -> Iterator[Line]:
    """Drafts of several records."""
    done = typed.many(share(500, part))
    found = f"{done.typed} drafts: {done.lost} lost, {done.dropped} unreadable ones dropped"
    yield Line("drafts", "three records on one computer, in any order", found, done.is_clean)
    control = typed.many(share(100, part, least=20), typed.one_for_all)
    yield Line("drafts", "control: one file for all records", f"{control.lost} lost", control.lost > 0)


def told_copies(part: float) -> Iterator[Line]:
    """Copies that fail or are dated wrongly."""
    done = rounds.many(share(100, part))
    found = (
        f"{done.failed} failed: {done.untold} untold, {done.claimed} claimed more than there is, "
        f"{done.endless} due again at once, {done.others_gone} of another computer gone"
    )
    yield Line("rounds", f"{done.rounds} rounds of copies by two computers", found, done.is_clean)
    control = rounds.many(share(30, part, least=10), rounds.by_names)
    found = f"{control.untold} untold, {control.claimed} claimed more than there is"
    yield Line(
        "rounds", "control: judged by the newest name", found, control.untold > 0 and control.claimed > 0
    )


def no_locks(part: float) -> Iterator[Line]:
    """Places without locks."""
    done = locks.windows(share(500, part))
    found = f"{done.kept_out} kept out, {done.unwarned} unwarned, {done.doubled} opened twice"
    yield Line("locks", f"{done.starts} windows where no file can be locked", found, done.is_clean)
    control = locks.windows(share(50, part, least=10), locks.every_failure_is_a_window)
    found = f"{control.kept_out} kept out"
    yield Line("locks", "control: each failure is somebody's window", found, control.kept_out > 0)
    if not can_be_told_otherwise():
        yield Line("locks", "commands without locks", "not done: the driver brings its own SQLite", None)
        return
    done = locks.commands(share(40, part))
    found = f"{done.unnamed} without the cause or what to do, {done.changed} wrote"
    yield Line("locks", f"{done.commands} commands without locks", found, done.is_clean)
    control = locks.commands(3, has_locks=True)
    found = f"{control.unnamed} of {control.commands} name no cause"
    yield Line("locks", "control: with locks", found, control.unnamed == control.commands)


def conflicts(part: float) -> Iterator[Line]:
    """What two computers changed."""
    done = rivals.many(share(200, part))
    found = (
        f"{done.rivals} conflicts: {done.untold} untold, {done.silenced} urgent flags ended; "
        f"{done.miscounted} people miscounted"
    )
    yield Line("rivals", f"{done.merges} imports of what another computer changed", found, done.is_clean)
    control = rivals.many(share(40, part, least=10), rivals.only_counted)
    yield Line("rivals", "control: only counted", f"{control.untold} untold", control.untold > 0)
    control = rivals.many(share(40, part, least=10), read=rivals.last_wins)
    found = f"{control.silenced} urgent flags ended"
    yield Line("rivals", "control: the last change wins", found, control.silenced > 0)


ROWS: Mapping[str, Row] = {
    "clock": clock,
    "journal": journal,
    "drafts": drafts,
    "rounds": told_copies,
    "locks": no_locks,
    "rivals": conflicts,
}
