"""Copies of the record made by the window: one a day, one at exit, and onto the medium that was chosen."""

import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

from carelog.app.backups import Backups, Kept, kept_in
from carelog.app.copying import NO, YES, CopyRound, Medium, copy_round
from carelog.app.medium import copies_on, is_outside
from carelog.domain.moment import HOUR, MINUTE, Instant
from carelog.domain.trouble import Trouble
from carelog.text import say
from carelog.ui import times
from carelog.ui.access import SAVING_WAIT, Access
from carelog.ui.media import Media
from carelog.ui.parts import Parts
from carelog.ui.present import Present
from carelog.ui.slips import Slips

if TYPE_CHECKING:
    from carelog.app.drill import Drilled
    from carelog.app.ports import Record
    from carelog.ui.preferences import Preferences

PAUSE = 2 * MINUTE  # since the last press
AFTER_A_FAILURE = HOUR
ALL_LOOKED_AT = 15 * MINUTE
"""So often at the least every copy is looked at: somebody may have taken one away."""


class Copies:
    """Makes them in a thread of their own; how the last went stands in `said`."""

    def __init__(
        self, access: Access, present: Present, slips: Slips, parts: Parts, preferences: "Preferences"
    ) -> None:
        self._access = access
        self._present = present
        self._parts = parts
        self._slips = slips
        self._preferences = preferences
        self.said = ""
        self.newest: Kept | None = None
        self.newest_up_to: Instant = 0
        """Up to when what it holds was recorded; 0: it holds nothing, or it isn't known."""
        self._failed_at: Instant = -AFTER_A_FAILURE
        self._looked_at: Instant = -ALL_LOOKED_AT
        self._medium: Path | None = None
        self.when_changed: list[Callable[[], None]] = []
        self.is_asked = False
        """Whether copies are looked at, or made where they are due."""
        self._is_forced = False
        """Whether one is being made in any case."""
        self.media = Media(access.bridge, lambda: self._parts.media(), lambda: preferences.now.second_medium)
        self._stuck_words = ""
        self._is_trying_oldest = False

    def look_again(self) -> None:
        """On each tick: look if the second medium has come, or nobody has looked for a while.

        A look opens the newest copies: twice a minute that would be most of what an idle window does.
        """
        if self.media.words() != self._stuck_words:
            self._stuck_words = self.media.words()
            self._tell()
        if not 0 <= self._present.now() - self._looked_at < ALL_LOOKED_AT:
            self.look()
        elif self._preferences.now.second_medium:
            self.media.look(self._on_medium)

    def _on_medium(self, root: Path | None) -> None:
        if root is None or root == self._medium or self.look():
            self._medium = root

    def look(self) -> bool:
        """Once a day of use, in a pause: make a copy when the newest is older than 24 h.

        A press just then would be slower; and a window that closes leaves a copy in any case. After one
        that failed an hour passes. False: not now.
        """
        now = self._present.now()
        is_pause = now - self._slips.pressed_at >= PAUSE and not 0 <= now - self._failed_at < AFTER_A_FAILURE
        can = self._access.is_open() and is_pause and not self.is_asked and self._parts.back_up is not None
        if can:
            self._ask(is_forced=False)
        return can

    def make(self) -> None:
        """Make a copy now."""
        if not self._access.is_open() or self._parts.back_up is None:
            self._say(say("No copy can be made while the record isn't open."))
            return
        picture = self._present.picture
        if picture is not None and not picture.count:
            self._say(say("There is no entry yet, so there is nothing to copy."))
            return
        if not self._is_forced:
            self._is_forced = True
            self._ask(is_forced=True)

    def _ask(self, *, is_forced: bool) -> None:
        self.is_asked, self._looked_at = True, self._present.now()

        def go_on(root: Path | None) -> None:
            asked = self._access.read(
                lambda record: self._made(record, root, is_forced=is_forced),
                lambda made: self._on_made(made, is_forced=is_forced),
                lambda sentence: self._on_failed(sentence, is_forced=is_forced),
                beside=self._access.copier,
            )
            if is_forced and asked is not None:
                asked.wait(SAVING_WAIT)
                if self._is_forced:
                    self._say("")

        if self._preferences.now.second_medium:
            self.media.look(go_on)
        else:
            go_on(None)

    def _made(self, record: "Record", root: Path | None, *, is_forced: bool) -> CopyRound:
        """In the copier's thread: the copies on this computer and on the second medium, where it is found.

        A page that is opened meanwhile is painted first, and what is saved meanwhile waits for a few pages of
        the file at the most.
        """
        parts, path = self._parts, self._access.path
        if not os.path.lexists(path) and not record.count():  # a record is made by its first entry
            return CopyRound(None, 0, 0, "", ())
        person, installation = record.person(), parts.installation()

        def copies_in(folder: Path, *, is_sealed: bool = False) -> Backups:
            assert parts.back_up is not None
            kinds = (is_sealed, parts.is_good)
            return Backups(path, person, folder, parts.back_up, parts.clock, installation, *kinds)

        identity = self._preferences.now.second_medium
        medium, trouble = None, ""
        try:
            if root is not None:
                there = copies_in(copies_on(root), is_sealed=self.is_sealing())
                medium = Medium(root, identity, there)
        except Trouble as error:
            trouble = error.sentence
        found = copy_round(copies_in(parts.places.backups), medium, path, parts.held_up_to, is_forced)
        return replace(found, troubles=(*found.troubles, trouble)) if trouble else found

    def _on_made(self, made: CopyRound, *, is_forced: bool) -> None:
        self.newest, self.newest_up_to = made.here, made.here_up_to
        self._end(is_forced=is_forced)
        if made.troubles:
            self._failed_at = self._present.now()
        told, known = self._told(made), self._preferences.now
        if any(getattr(known, name) != value for name, value in told.items()):
            self._preferences.change(**told)
        self._say("")
        self._try_to_come_back()
        self._try_the_oldest()

    def tell(self) -> None:
        """Whether copies are encrypted has changed: whoever shows something of it looks anew."""
        self._say("")

    def is_sealing(self) -> bool:
        """Whether copies on the second medium are encrypted: a code was made, and nobody chose plain ones."""
        return self.has_code() and not self._preferences.now.has_plain_copies

    def sealing_words(self) -> str:
        """Whether copies on the second medium are encrypted, in words."""
        try:
            if self.is_sealing():
                return say("The copies are encrypted.")
            if self.has_code():
                return say("The copies aren't encrypted, as was chosen here.")
        except Trouble as trouble:
            return trouble.sentence
        return say("The copies aren't encrypted. Whoever finds the stick can read them.")

    def has_code(self) -> bool:
        """Whether a recovery code was made or taken in here; `Trouble` when the keys can't be read."""
        keyring = self._parts.keyring
        if not os.path.lexists(self._parts.places.keys):
            return False  # and nothing of what encrypts is imported
        return keyring is not None and keyring().read() is not None

    def is_on_own_disk(self, root: Path) -> bool:
        """Whether a medium is known to be the disk that the record lies on."""
        return is_outside(root, self._access.path) is False

    def _end(self, *, is_forced: bool) -> None:
        """What was asked for is done; one that somebody waits for may still come after a look of a tick."""
        self.is_asked = self._is_forced = self._is_forced and not is_forced

    def _on_failed(self, sentence: str, *, is_forced: bool) -> None:
        self._end(is_forced=is_forced)
        self._failed_at = self._present.now()
        self._preferences.change(copy_trouble=sentence)
        self._say("")

    def _told(self, made: CopyRound) -> dict[str, object]:
        """What of a round is remembered also when the window is closed."""
        found: dict[str, object] = {"copy_trouble": " ".join(made.troubles)}
        if made.outside:
            found |= {"outside": made.outside}
        return found | ({"outside_up_to": made.outside_up_to} if made.outside_up_to else {})

    def _try_to_come_back(self) -> None:
        """Once a month, in a thread of its own: whether the newest copy would bring the record back."""
        from carelog.app.drill import drill, is_due

        newest, restore, now = self.newest, self._parts.restore, self._present.now()
        if newest is None or restore is None or not is_due(self._preferences.now.drilled_at, now):
            return
        home = self._present.home()
        self._access.patient.ask(lambda: drill(newest, restore, home, now), self._on_drilled, self._say)

    def _on_drilled(self, done: "Drilled") -> None:
        self._preferences.change(drilled_at=done.at, drilled=done.words)
        self._say("" if done.is_good else done.words)

    def _try_the_oldest(self) -> None:
        """Once a quarter, in a thread of its own: whether the oldest copy here would still bring all back."""
        from carelog.app.drill import EVERY_OLDEST, drill, is_due

        restore, now, kept = self._parts.restore, self._present.now(), self.here()
        is_asked = is_due(self._preferences.now.oldest_tried_at, now, EVERY_OLDEST)
        if restore is None or len(kept) < 2 or not is_asked or self._is_trying_oldest:
            return
        self._is_trying_oldest = True
        home, oldest = self._present.home(), kept[-1]
        self._access.patient.ask(lambda: drill(oldest, restore, home, now), self._on_oldest, self._not_tried)

    def _not_tried(self, sentence: str) -> None:
        self._is_trying_oldest = False
        self._say(sentence)

    def _on_oldest(self, done: "Drilled") -> None:
        self._is_trying_oldest = False
        self._preferences.change(oldest_tried_at=done.at, oldest_tried=done.words)
        self._say("" if done.is_good else done.words)

    def here(self) -> list[Kept]:
        """The copies on this computer that are about the same person as the newest one, newest first."""
        newest = self.newest
        found = kept_in(self._parts.places.backups)
        return [each for each in found if newest is not None and each.person == newest.person]

    def outside(self) -> list[Kept]:
        """The same on the second medium, if it is plugged in."""
        newest, root = self.newest, self.media.chosen
        try:
            found = kept_in(copies_on(root)) if root is not None else []
        except Trouble:
            return []
        return [each for each in found if newest is not None and each.person == newest.person]

    def try_back(self, copy: Kept) -> None:
        """Come back from a copy into a private folder, and say what it would bring and what it would lose."""
        from carelog.app.drill import tried_words

        tried, home, path = self._parts.tried, self._present.home(), self._access.path
        if tried is None:
            return
        self._say(say("Trying to come back from that copy …"))
        self._access.reader.ask(lambda: tried_words(copy, tried(copy.path, path), home), self._say, self._say)

    def at_exit(self, record: "Record") -> None:
        """A copy when the window closes, its record still open; what fails is said at the next start."""
        if self._parts.back_up is None:
            return
        try:
            root = self.media.at_exit() if self._preferences.now.second_medium else None
            told = self._told(self._made(record, root, is_forced=True))
        except Trouble as trouble:  # a damaged or missing record: the window still has to close
            told = {"copy_trouble": trouble.sentence}
        self._preferences.remember(**told)

    def words(self) -> str:
        """The line of the board: what the last copy outside this computer holds."""
        now = self._preferences.now
        if not self._access.is_open():
            return ""
        if not now.outside_up_to or now.outside == NO:
            return say("No copy outside this computer is known.")
        when = times.near(self._present.home(), now.outside_up_to, self._present.now())
        if now.outside == YES:
            return say("The last copy outside this computer holds all up to {when}.").format(when=when)
        words = say("The last copy on the second medium holds all up to {when}. {doubt}")
        return words.format(when=when, doubt=say("Whether it lies outside this computer can't be told."))

    def failed_words(self) -> str:
        """The line of the board while the last copy has failed."""
        trouble = self._preferences.now.copy_trouble
        return say("The last copy failed. {cause}").format(cause=trouble) if trouble else ""

    def _say(self, sentence: str) -> None:
        """Say this; else, as long as somebody waits for a copy, that it is being made."""
        self.said = sentence or (say("A copy is being made …") if self._is_forced else "")
        self._tell()

    def _tell(self) -> None:
        for listener in self.when_changed:
            listener()
