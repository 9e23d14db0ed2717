"""What the record shows now: the picture, the flags, whom to call, what each tile recorded last."""

import threading
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, NamedTuple

from carelog.domain.instant import DAY_24_H, HOUR, MINUTE, Instant
from carelog.ui.access import SAVING_WAIT, Access, Stage
from carelog.ui.newest import Newest

if TYPE_CHECKING:
    from carelog.analysis.flags.watch import Watch
    from carelog.analysis.glance import Glance
    from carelog.analysis.in_force import Held, Reading
    from carelog.analysis.strip import Strip
    from carelog.app.outlook import Outlook, Picture
    from carelog.app.ports import Clock, Record
    from carelog.app.reckoning import Doubt
    from carelog.domain.due import Due
    from carelog.domain.entry import Details, Entry
    from carelog.domain.flag import Flag, Level
    from carelog.domain.kind import Kind, Pick
    from carelog.domain.moment import Home
    from carelog.ui.worker import AskedJob


LEARNT_FROM = 16
"""So many of the newest entries of a kind say what is usual among its quick choices; they are always here."""
SHOWN_BACK = DAY_24_H + 2 * HOUR
"""A day of 25 hours and an hour more: what is read whole for the day's counts and its strip."""


class Seen(NamedTuple):
    """What was seen of the record at a moment, worked out in the reader's thread."""

    picture: "Picture"
    calls: "Mapping[Level, str]"
    glances: "Mapping[str, Glance]"
    strip: "Strip | None"
    newest: "Mapping[str, Sequence[Held]]"
    """Of each kind with quick choices the newest entries."""
    same_until: Instant
    """The first moment at which time alone may show anything else."""
    hangs_on: "tuple[Reading, Instant | None, tuple[Due, ...]]"
    """What the glances hang on, and the newest entries: what was written, when the day began, the dues."""


class Present:
    """The newest picture of an open record, and the clock that it is seen by.

    The reader's thread keeps the outlook; whoever shows something adds itself to `when_changed`.
    """

    def __init__(self, access: Access, clock: "Clock", doubt: "Callable[[], Doubt | None]") -> None:
        """`doubt` says why the clock isn't believed, if it isn't."""
        self.picture: Picture | None = None
        self.calls: Mapping[Level, str] = {}
        """Whom to call for a flag of each level, in words."""
        self.flags: Sequence[Flag] | None = None
        """The flags of now and of the last days; None: not read yet."""
        self.glances: Mapping[str, Glance] = {}
        """What each tile tells of the record, by the tile's name."""
        self.strip: Strip | None = None
        """The day around now; None: not read yet."""
        self.backup: tuple[Instant, Picture] | None = None
        """When the newest good copy was made, and what it shows, while the record can't be read."""
        self.when_changed = access.when_changed
        self._access = access
        self._clock = clock
        self._doubt = doubt
        self._seen: Seen | None = None
        self._record: Record | None = None
        self._outlook: Outlook | None = None
        self._newest = Newest()
        self._in_turn = threading.Lock()
        """Both threads ask: what is numbered last is also looked at last, or it would know less."""
        self._looking: AskedJob[Seen] | None = None
        self._last_look: tuple[Outlook, Seen] | None = None
        access.when_preparing.append(self._prepare)
        access.when_open.append(self._watch)
        access.when_let_go.append(self._let_go)
        access.when_committed.append(self._take_in)
        access.when_acted.append(self._wait_for_look)

    # Asking ---------------------------------------------------------------------------------------

    @property
    def stage(self) -> Stage:
        """How far the record is."""
        return self._access.stage

    @property
    def trouble(self) -> str:
        """What is wrong with the record, in a sentence; empty: nothing that is known."""
        return self._access.trouble

    def unread(self) -> str:
        """Why nothing of the record can be shown."""
        return self._access.unread()

    def now(self) -> Instant:
        """The present instant."""
        return self._clock.now()

    def zone(self) -> str:
        """The name of this computer's own zone; empty where it isn't known."""
        return self._clock.zone()

    def home(self) -> "Home":
        """The home zone's clock; until the record is read, and while it is empty, the computer's."""
        if (seen := self.picture) and seen.count:
            return seen.home
        from carelog.domain.moment import Home

        return Home(self.zone() or "UTC")

    def asked_yesterday(self, kind: str, details: "Details") -> Instant | None:
        """When yesterday the plan asked for this, if nobody has recorded it since."""
        if self.picture is None:
            return None
        from carelog.analysis.quick import asked_yesterday  # with the record: the board is painted before

        return asked_yesterday(self.picture.dues, kind, details, self.home(), self.now())

    def picks(self, kind: "Kind") -> "tuple[Pick, ...]":
        """The quick choices after a press, as they suit this person; worked out when one is pressed."""
        newest = self._seen.newest.get(kind.name) if self._seen is not None else None
        if newest is None:
            return (*kind.rare_picks, *kind.picks)
        from carelog.analysis.quick import quick_picks

        return quick_picks(kind, newest)

    # Looking --------------------------------------------------------------------------------------

    def look(self) -> None:
        """Work out the picture of now again, with what other processes wrote meanwhile."""
        self._look_if(lambda record: record.changed())

    def look_again(self) -> None:
        """Twice a minute: as `look`, unless nothing was written and time alone changes nothing yet."""
        self._look_if(lambda record: record.changed(), is_seen_enough=True)

    def read_anew(self) -> None:
        """Much has changed at once, by an import: take in all of it."""
        self._look_if(lambda _record: True)

    def show_backup(self, found: "tuple[Instant, Picture]") -> None:
        """What the newest good copy shows stands in for the record that can't be read."""
        self.backup = found
        self.when_changed.tell()

    def _look_if(self, has_more: Callable[["Record"], bool], *, is_seen_enough: bool = False) -> None:
        outlook, record = self._outlook, self._record
        if outlook is None or record is None:
            return
        now = self.now()

        def seen() -> Seen:
            new = outlook.refresh() if has_more(record) else []
            if new is None or new:
                self._access.bridge.call(lambda: self._access.tell(new or ()))
            elif is_seen_enough and (before := self._still(outlook, now)) is not None:
                return before
            return self._look(outlook, now)

        self._ask(seen)

    def _look(self, outlook: "Outlook", now: Instant) -> Seen:
        """In the reader's thread, or while there is nothing to read in it yet."""
        last = self._last_look
        before = last[1] if last is not None and last[0] is outlook else None
        seen = look(outlook, now, self._doubt(), before)
        self._last_look = outlook, seen
        return seen

    def _still(self, outlook: "Outlook", now: Instant) -> Seen | None:
        """What was seen last, where time alone has changed nothing of it; it may not be shown yet."""
        if self._last_look is None or self._last_look[0] is not outlook or self._doubt() is not None:
            return None
        seen = self._last_look[1]
        return seen if seen.picture.now <= now < seen.same_until else None

    def _prepare(self, record: "Record") -> Callable[[], None]:
        from carelog.app.outlook import Outlook

        outlook = Outlook(record)
        seen = self._look(outlook, self.now())

        def take() -> None:
            self._record, self._outlook = record, outlook
            self._take(seen)

        return take

    def _watch(self) -> None:
        """After the dues are on screen: the flags, which may take long once in a long record."""
        outlook = self._outlook
        assert outlook is not None

        def foreseen() -> "Watch":
            flags = outlook.foresee()
            flags.at(self.now())
            flags.at(self.now())  # what was written meanwhile may ask for all of it once more
            return flags

        def take(flags: "Watch | None") -> None:
            def seen() -> Seen:
                outlook.watch(flags)
                return self._look(outlook, self.now())

            if outlook is self._outlook:
                self._ask(seen)

        def failed(_sentence: str) -> None:
            take(None)  # tried once more, by who says why where it fails again

        self._access.patient.ask(foreseen, take, failed)

    def _take_in(self, entries: "Sequence[Entry]") -> None:
        """In the writer's thread: these were just saved."""
        outlook, now = self._outlook, self.now()
        if outlook is None:
            return

        def seen() -> Seen:
            outlook.add(entries)
            return self._look(outlook, now)

        self._looking = self._ask(seen)

    def _wait_for_look(self) -> None:
        if self._looking is not None:
            self._looking.wait(SAVING_WAIT)

    def _let_go(self) -> None:
        self._record = self._outlook = self._last_look = None
        self._newest.forget()

    def _ask(self, seen: Callable[[], Seen]) -> "AskedJob[Seen]":
        with self._in_turn:
            asking = self._newest.ask()
            return self._access.reader.ask(seen, asking.only(self._on_seen), asking.only(self._access.say))

    def _on_seen(self, seen: Seen) -> None:
        is_told = not self._access.trouble and self._is_shown(seen)
        self._take(seen)
        if not is_told:
            self._access.say("")

    def _is_shown(self, seen: Seen) -> bool:
        """Whether whoever shows it would show the same again: nothing is new, and the minute is the same."""
        shown = self.picture
        if shown is seen.picture:
            return True
        if shown is None or (self.calls, self.glances) != (seen.calls, seen.glances):
            return False
        from dataclasses import replace  # with the record, as in `look`

        is_same_minute = shown.now // MINUTE == seen.picture.now // MINUTE
        return is_same_minute and replace(shown, now=seen.picture.now) == seen.picture

    def _take(self, seen: Seen) -> None:
        self.picture, self.calls, self.glances = seen.picture, seen.calls, seen.glances
        self.flags, self.strip, self._seen = seen.picture.flags, seen.strip, seen


def look(outlook: "Outlook", now: Instant, doubt: "Doubt | None" = None, before: Seen | None = None) -> Seen:
    """Look at the record through the outlook; its cost doesn't grow with the history.

    `before`: the last look through it, of which is kept what time alone can't have changed.
    While the clock is in doubt, flags are those of the newest entry's moment, and dues aren't known.
    """
    from dataclasses import replace

    from carelog.analysis.glance import as_told
    from carelog.analysis.people import contact_for, contact_words
    from carelog.domain.flag import Level
    from carelog.kinds import ALL

    if outlook.is_watching:  # the first picture does without: it is wanted at once
        outlook.keep_since(now - SHOWN_BACK)
    picture = outlook.picture(now)
    if doubt is not None:
        as_of = picture.last_known or now
        picture = replace(outlook.picture(as_of), as_of=as_of, dues=())
    reading = outlook.reading()
    minute_ends = now - now % MINUTE + MINUTE
    same_until = now if doubt is not None else min(minute_ends, outlook.same_until(picture))
    day = picture.home.start_of(picture.home.day(now))
    counted = day if outlook.holds(day) else None
    strip = _strip(picture, reading) if counted is not None else None
    picture = replace(picture, dues=as_told(picture.dues, picture.flags or ()))
    calls = {level: contact_words(level, contact_for(level, reading, picture.plan, now)) for level in Level}
    hangs_on = reading, counted, picture.dues
    if before is not None and before.hangs_on == hangs_on:
        glances, newest = before.glances, before.newest
    else:
        glances = _glances(*hangs_on)
        newest = {kind.name: reading.of(kind.name)[-LEARNT_FROM:] for kind in ALL if kind.picks}
    return Seen(picture, calls, glances, strip, newest, same_until, hangs_on)


def _glances(reading: "Reading", day: "Instant | None", dues: "tuple[Due, ...]") -> "Mapping[str, Glance]":
    from carelog.analysis.glance import glance
    from carelog.ui.board.order import every_tile

    return {
        placed.name: glance(placed.kind, placed.tile.records, reading, dues, day) for placed in every_tile()
    }


def _strip(picture: "Picture", reading: "Reading") -> "Strip":
    from carelog.analysis.strip import strip

    quiet = picture.plan.quiet if picture.plan else None
    return strip(reading, picture.dues, quiet, picture.home, picture.now)
