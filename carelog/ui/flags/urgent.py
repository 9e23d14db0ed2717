"""The band of urgent flags: across the top of every page until somebody was told."""

from collections.abc import Callable

from carelog.domain.flag import Level
from carelog.text import say
from carelog.ui import times
from carelog.ui.announce import announce
from carelog.ui.band import Band
from carelog.ui.flags import shown
from carelog.ui.present import Present


class Urgent:
    """Reversed ink, the words “Emergency plan now”, what it is, and whom to call."""

    def __init__(self, present: Present, go: Callable[[str], None], ring: Callable[[str], None]) -> None:
        """`ring` sounds in quiet hours too."""
        self._present = present
        self._ring = ring
        self._known: set[tuple[str, str | None, int]] = set()
        self._is_covered = False
        self.band = Band("urgent_band", is_urgent=True, most_lines=2)
        self.band.add_button(say("Who was told …"), "urgent_told", lambda: go("flags"))
        present.when_changed.append(self.refresh)

    def set_covered(self, is_covered: bool) -> None:
        """Under the cover only the level's words are shown."""
        self._is_covered = is_covered
        self.refresh()

    def refresh(self) -> None:
        """Show the urgent flags in force."""
        found = [flag for flag in shown.in_force(self._present.flags or ()) if flag.level is Level.URGENT]
        keys = {(flag.rule, flag.subject, flag.raised_at) for flag in found}
        if found:
            first, count = found[0], len(found)
            words = self._words(first.headline, first.raised_at, count)
            self.band.say(words, *self._shorter(first.headline, count))
        else:
            self.band.say("")
        if keys - self._known:
            self._ring(Level.URGENT.asks)
            announce(self.band, self.band.words(), is_urgent=True)
        self._known = keys

    def _shorter(self, headline: str, count: int) -> tuple[str, ...]:
        """The same in less, for large letters; all of it stands on the page of flags."""
        if self._is_covered:
            return ()
        words, call = Level.URGENT.asks, self._present.calls.get(Level.URGENT, "")
        with_call = say("{words}: {headline} Call {call}.").format(words=words, headline=headline, call=call)
        bare = say("{words}: {headline}").format(words=words, headline=headline)
        return (with_call + _more(count), bare + _more(count), bare)

    def _words(self, headline: str, since: int, count: int) -> str:
        words = Level.URGENT.asks
        if self._is_covered:
            return words
        time = times.near(self._present.home(), since, self._present.now())
        call = self._present.calls.get(Level.URGENT, "")
        return say("{words}: {headline} Since {time}. Call {call}.").format(
            words=words, headline=headline, time=time, call=call
        ) + _more(count)


def _more(count: int) -> str:
    return " " + say("{count} more.").format(count=count - 1) if count > 1 else ""
