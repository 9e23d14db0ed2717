"""Writing entries: the one way from a press, a form or a script into the record."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import replace

from carelog.analysis.in_force import Held, is_completion, is_slip
from carelog.analysis.marks import PUT_RIGHT, is_the_programs
from carelog.analysis.striking import changes_to_strike
from carelog.app.clock import moment_in
from carelog.app.ports import Clock, Ids, Record
from carelog.app.visit.signed import is_signed
from carelog.domain.entry import LIVE, Details, Entry, Json, line
from carelog.domain.field import Problem
from carelog.domain.moment import Instant, Moment
from carelog.domain.number import settle
from carelog.domain.trouble import Refused
from carelog.kinds import named_or_unknown
from carelog.text import mark, say

UNDONE = mark("undone")
DONE_AGAIN = mark("done again")
LARGEST_LINE = 4 * 1024 * 1024  # bytes, as the exchange file allows
DEEPEST = 32
_SIGNED = mark("A nurse signed this day. Say why it is changed.")
CHANGED_WHILE_SAVING = mark("changed before it was known to be saved")


class NeedsReason(Refused):
    """A change of what a nurse signed, without a word on why."""


def _nobody(_entries: Sequence[Entry]) -> None:
    pass


def drafted(
    clock: Clock,
    ids: Ids,
    kind: str,
    details: Details,
    by: str,
    at: Moment | None = None,
    note: str = "",
    source: str = LIVE,
    zone: str | None = None,
) -> Entry:
    """A new entry with id and times fixed, which needs no open record; see `Logbook.draft`."""
    now = clock.now()
    where = clock.zone() if zone is None else zone
    return Entry(
        id=ids(now),
        kind=kind,
        at=moment_in(where, now) if at is None else at,
        recorded_at=now,
        zone=where,
        by=by,
        details=settled(details),
        note=note,
        source=source,
    )


class Logbook:
    """Records, completes, amends and strikes out; `told` is called once after each commit.

    Every method that saves raises `Refused` for what can't be taken and `Trouble` when the disk fails; then
    nothing is known to be saved, the form stays, and the same entry is saved again as it was.
    """

    def __init__(
        self, record: Record, clock: Clock, ids: Ids, told: Callable[[Sequence[Entry]], None] = _nobody
    ) -> None:
        self._record = record
        self._clock = clock
        self._ids = ids
        self._told = told
        self._done: list[Entry] = []
        self._undone: list[tuple[Entry, Entry]] = []
        self._own: set[str] = set()

    # What a form or a press does ------------------------------------------------------------------

    def draft(
        self,
        kind: str,
        details: Details,
        by: str,
        at: Moment | None = None,
        note: str = "",
        source: str = LIVE,
        zone: str | None = None,
    ) -> Entry:
        """An entry with id and times fixed, not saved yet; `at` None: now, `zone` None: this computer's."""
        return drafted(self._clock, self._ids, kind, details, by, at, note, source, zone)

    def save(self, entry: Entry, tried: Entry | None = None) -> Entry:
        """Check and save one entry in one durable commit; returns what stands in the record for it.

        `tried` is what an earlier save of this form held when it failed. Its id and times are kept; if it is
        in the file after all and the form has changed since, the entry is saved as its amendment.
        """
        if tried is not None:
            entry = replace(entry, id=tried.id, recorded_at=tried.recorded_at)
            entry = self._after_a_failure(entry)
        is_here = entry.id in self._own
        self._commit(entry)
        if not is_here:
            self._remember(entry)
        return entry

    def record(
        self,
        kind: str,
        details: Details,
        by: str,
        at: Moment | None = None,
        note: str = "",
        source: str = LIVE,
        zone: str | None = None,
    ) -> Entry:
        """Draft and save."""
        return self.save(self.draft(kind, details, by, at, note, source, zone))

    def complete(
        self, held: Held, added: Details, note: str = "", at: Moment | None = None, by: str | None = None
    ) -> Entry:
        """Add what nobody had given yet: fields, an empty note; within 10 minutes also another time or name.

        `Refused` when it would change what was given, or what a nurse signed: that is an amendment and needs
        its reason. Where nothing is added, nothing is written.
        """
        target = held.entry
        changed = self._change(target, {**target.details, **added}, at, note or target.note, by)
        if says_the_same(target, changed):
            return target
        if not is_completion(target, changed):
            raise Refused(say("This changes what was recorded. Say why it is changed."))
        if self._moves_what_is_signed(target, changed):
            raise NeedsReason(say(_SIGNED))
        return self.save(changed)

    def amend(
        self,
        held: Held,
        details: Details,
        at: Moment | None = None,
        note: str | None = None,
        reason: str = "",
        by: str = "",
    ) -> Entry:
        """Put another entry in one's place, whole; the one before stays readable.

        The details hold every field that is to stand, those this version doesn't know too. `reason` may be
        empty when nothing but what was missing is added, or when whoever wrote it puts it right within ten
        minutes and no nurse has signed the day. Where nothing is changed, nothing is written.
        """
        target = held.entry
        changed = self._change(target, details, at, target.note if note is None else note, by, reason)
        if says_the_same(target, changed) and len(held.rivals) <= 1:
            return target
        is_unsaid = is_the_programs(reason.strip())
        if is_completion(target, changed):
            if is_unsaid and self._moves_what_is_signed(target, changed):
                raise NeedsReason(say(_SIGNED))
            return self.save(changed)
        if is_unsaid and is_signed(self._record, target, changed):
            raise NeedsReason(say(_SIGNED))
        if not reason.strip():
            if not is_slip(target, changed):
                raise Refused(say("Say why it is changed."))
            changed = replace(changed, reason=say(PUT_RIGHT))
        return self.save(changed)

    def withdraw(self, held: Held, reason: str, by: str) -> Entry:
        """Strike an entry out; it stays readable with the reason."""
        if not reason.strip():
            raise Refused(say("Say why it is struck out."))
        return self.save(self._withdrawal(held.entry, reason, by))

    def move(self, moved: Iterable[tuple[Held, Instant]], reason: str) -> list[Entry]:
        """Put entries at another time (by so many µs), each amended by its own recorder, in one commit."""
        changes = [
            self._change(
                held.entry,
                held.entry.details,
                moment_in(held.entry.zone, held.entry.at.instant + by),
                held.entry.note,
                None,
                reason,
            )
            for held, by in moved
        ]
        if changes:
            self._record.append(changes)
            self._own.update(each.id for each in changes)
            self._told(changes)
        return changes

    def record_together(self, entries: Sequence[Entry]) -> Sequence[Entry]:
        """Check and save drafted entries in one durable commit: all or none; `strike_together` undoes it."""
        for entry in entries:
            check(entry)
        if entries:
            self._record.append(entries)
            self._own.update(each.id for each in entries)
            self._told(entries)
        return entries

    def strike_together(self, entries: Sequence[Entry], by: str) -> Sequence[Entry]:
        """Take back what `record_together` saved, in one commit; `Refused` if somebody changed one since."""
        for entry in entries:
            self._check_untouched(entry)
        struck = [self._withdrawal(entry, say(UNDONE), by) for entry in entries]
        if struck:
            self._record.append(struck)
            self._own.update(each.id for each in struck)
            self._told(struck)
        return struck

    def keep(self, held: Held, side: Entry, by: str) -> list[Entry]:
        """Of rivals keep one: strike out the first change of each other side, in one commit."""
        others = changes_to_strike(held, side, self._clock.now())
        if not others:
            raise Refused(say("Nothing stands beside this entry."))
        reason = say(mark("another one was kept"))
        struck = [self._withdrawal(other, reason, by) for other in others]
        self._record.append(struck)
        self._own.update(each.id for each in struck)
        self._told(struck)
        for each in struck:
            self._remember(each)
        return struck

    def again(self, entries: Sequence[Entry]) -> None:
        """Save what this window saved before, as it was, in one commit; undo goes on with it."""
        self._record.append(entries)
        new = [each for each in entries if each.id not in self._own]
        self._own.update(each.id for each in new)
        for each in new:
            if each.withdrawn:
                self._done = [act for act in self._done if act.id != each.amends]
            else:
                self._remember(each)

    # Undo and redo of this window's own acts ------------------------------------------------------

    def last_act(self, ids: Iterable[str] | None = None) -> Entry | None:
        """What `undo` would take back; with `ids`, the last that was done to these entries."""
        if ids is None:
            return self._done[-1] if self._done else None
        found, theirs = None, set(ids)
        for act in self._done:
            if act.id in theirs or act.amends in theirs:
                theirs.add(act.id)
                found = act
        return found

    @property
    def now(self) -> Instant:
        """The present instant."""
        return self._clock.now()

    @property
    def zone(self) -> str:
        """The computer's zone."""
        return self._clock.zone()

    def undo(self, by: str, ids: Iterable[str] | None = None) -> Entry:
        """Strike out this window's last act, or the last that was done to these entries.

        `Refused` when there is none, or when somebody has changed it since.
        """
        act = self.last_act(ids)
        if act is None:
            raise Refused(say("Nothing was done in this window yet."))
        self._check_untouched(act)
        struck = self._withdrawal(act, say(UNDONE), by)
        self._commit(struck)
        self._done.remove(act)
        self._undone.append((act, struck))
        return struck

    def redo(self, by: str) -> Entry:
        """Give back what `undo` struck out last."""
        if not self._undone:
            raise Refused(say("Nothing was undone in this window."))
        act, struck = self._undone[-1]
        self._check_untouched(struck)
        given_back = self._withdrawal(struck, say(DONE_AGAIN), by)
        self._commit(given_back)
        self._undone.pop()
        self._done.append(act)
        return given_back

    # Inside ---------------------------------------------------------------------------------------

    def _commit(self, entry: Entry) -> None:
        check(entry)
        self._record.append([entry])
        self._own.add(entry.id)
        self._told([entry])

    def _remember(self, entry: Entry) -> None:
        self._done.append(entry)
        self._undone.clear()

    def _after_a_failure(self, entry: Entry) -> Entry:
        """The entry as it is, or as the amendment of what turns out to be in the file."""
        found = next((each for each in self._record.chain([entry.id]) if each.id == entry.id), None)
        if found is None or found == entry:
            return entry
        return replace(
            self._change(found, entry.details, entry.at, entry.note, entry.by, say(CHANGED_WHILE_SAVING)),
            zone=entry.zone,
        )

    def _change(
        self,
        target: Entry,
        details: Mapping[str, Json],
        at: Moment | None,
        note: str,
        by: str | None,
        reason: str = "",
    ) -> Entry:
        now = self._clock.now()
        return replace(
            target,
            id=self._ids(now),
            recorded_at=now,
            at=target.at if at is None else at,
            by=target.by if by is None else by,
            details=settled(details),
            note=note,
            amends=target.id,
            reason=reason,
            withdrawn=False,
        )

    def _moves_what_is_signed(self, target: Entry, changed: Entry) -> bool:
        """Whether it says another time or name of what a nurse had before them when they signed."""
        is_moved = (target.at, target.by) != (changed.at, changed.by)
        return is_moved and is_signed(self._record, target)

    def _withdrawal(self, target: Entry, reason: str, by: str) -> Entry:
        changed = self._change(target, {}, None, "", by, reason)
        return replace(changed, source=LIVE, withdrawn=True)

    def _check_untouched(self, entry: Entry) -> None:
        """What this window did on top of an act was undone before it; anything else is somebody else's."""
        if any(
            each.amends == entry.id and each.id not in self._own for each in self._record.chain([entry.id])
        ):
            raise Refused(say("Somebody has changed this entry since. Change it on the page Days."))


def says_the_same(target: Entry, change: Entry) -> bool:
    """Whether a change says of an entry what it says already: a version that nobody needs."""
    return (target.at, target.by, target.note, settled(target.details)) == (
        change.at,
        change.by,
        change.note,
        change.details,
    )


def check(entry: Entry) -> None:
    """`Refused` with the field and what is wrong, when the entry may not be recorded."""
    found = problems(entry)
    if found:
        raise Refused(f"{found[0].field} {found[0].words}.")
    try:
        size = len(line(entry).encode())
    except ValueError:  # a lone surrogate, or not a number
        raise Refused(say("The entry holds a character that can't be saved.")) from None
    if size > LARGEST_LINE:
        raise Refused(say("The entry is too long to be saved: 4 MiB is the most."))


def problems(entry: Entry) -> list[Problem]:
    """What is wrong with an entry before it is saved; empty when it may be recorded."""
    if entry.withdrawn:
        return []
    return named_or_unknown(entry.kind).problems(entry.details, entry.at.instant)


def settled(value: Json, depth: int = 2) -> Json:
    """JSON with its numbers in the one form they are kept in; `Refused` beyond 32 levels of the line."""
    if isinstance(value, bool) or value is None or isinstance(value, str):
        return value
    if isinstance(value, int | float):
        return settle(value)
    if depth > DEEPEST:
        raise Refused(say("The entry is nested too deep to be saved."))
    if isinstance(value, Mapping):
        return {name: settled(each, depth + 1) for name, each in value.items()}
    return [settled(each, depth + 1) for each in value]
