"""The flags' page: what to look at, since when, why, whom to call, who was told; and how flags ended."""

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.analysis.rules.version import newest
from carelog.analysis.visit.flagged import done_words
from carelog.domain.flag import Flag, Level
from carelog.domain.moment import MINUTE, Instant
from carelog.kinds.seen import SEEN
from carelog.text import say, say_n
from carelog.ui import times
from carelog.ui.button import Button, ChoiceButton, Main
from carelog.ui.column import ColumnView, row
from carelog.ui.columns import WideColumns
from carelog.ui.drawing import Drawn
from carelog.ui.flags import shown
from carelog.ui.flags.box import FlagBox
from carelog.ui.flags.news import News
from carelog.ui.help import topics
from carelog.ui.help.explained import Explained
from carelog.ui.naming import told_words
from carelog.ui.present import Present
from carelog.ui.ringed import Line, Ringed
from carelog.ui.slips import Slips
from carelog.ui.theme import Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.app.outlook import Picture
    from carelog.domain.entry import Details
    from carelog.ui.board.silence import Silence


class Flags(ColumnView):
    """Flags in force, worst first; then those that ended within 7 days, with how."""

    def __init__(
        self,
        present: Present,
        slips: Slips,
        news: News,
        silence: "Silence",
        open_entry: Callable[[str], None],
        go: Callable[[str], None],
        explain: Callable[[str], None],
    ) -> None:
        """`explain` opens a page of the help."""
        super().__init__()
        self._present = present
        self._slips = slips
        self._news = news
        self._silence = silence
        self._open_entry = open_entry
        self._go = go
        self._explain = explain
        self._telling = ""
        self._typed = ""
        """Who was told, as far as it is typed: the page is filled anew each minute."""
        self._trouble = ""
        present.when_changed.append(self.refresh)

    def key(self) -> object:
        picture = self._present.picture
        if picture is None:
            return self._present.stage
        beside = picture.comparison
        minute = self._present.now() // MINUTE
        silence = self._silence.key(self._present.now())
        asked = self._telling, self._trouble, silence, len(self._news.sentences())
        return self._present.flags, picture.as_of, beside, len(picture.contacts), asked, minute

    def fill(self) -> None:
        picture = self._present.picture
        self.heading(say("Flags"))
        if self._trouble:
            self.words(self._trouble, Size.STRONG)
        if picture is None or self._present.flags is None:
            self.waiting(self._present.unread())
            return
        if picture.as_of is not None:
            from carelog.ui.board.read import as_of_words

            self.words(as_of_words(picture))
        now = self._present.now()
        found = shown.in_force(self._present.flags)
        kept = self._silence.left_open(found, now)
        folded = [flag for flag in found if flag not in kept]
        if folded:  # what can't wait comes before the question
            self._fill_boxes(kept, picture)
        if self._silence.since(now) is not None:
            self.across(self._silence.block(now))
        if folded:
            self.row(Button.calling(_unfold_words(folded), "flags_unfold", self._silence.unfold))
        else:
            self._fill_in_force(kept, picture, now)
            self._fill_unjudged(picture)
            self._fill_ended(picture)
        self._fill_news()
        self.part()
        day = times.full_day(newest().day)
        self.words(say("By the rules of {day}.").format(day=day), soft=True)
        rules = Button(say("The rules and their sources"), "flag_rules")
        rules.clicked.connect(lambda: self._go("help_rules"))
        self.row(rules)

    def _fill_in_force(self, found: list[Flag], picture: "Picture", now: Instant) -> None:
        """The flags in force, or the line that stands where there is none."""
        if found:
            self._fill_boxes(found, picture)
            return
        from carelog.ui.board.read import last_line

        self._fill_list([Words(last_line(self._present, picture, now, are_flags_folded=False))])

    def _fill_boxes(self, found: list[Flag], picture: "Picture") -> None:
        """A box for each of these flags."""
        self._fill_list([self._box(flag, number, picture) for number, flag in enumerate(found)])

    def _fill_list(self, widgets: Sequence[QWidget]) -> None:
        """One below or beside another, as wide as the page."""
        holder = QWidget()
        holder.setObjectName("flag_list")
        column = WideColumns(holder)
        for widget in widgets:
            column.addWidget(widget)
        self.across(holder)

    def _fill_news(self) -> None:
        """What an update changed in the rules, until somebody has read it."""
        found = self._news.sentences()
        if not found:
            return
        self.heading(say("An update changed the rules of the flags"), Size.NAME)
        for sentence in found:
            self.words(sentence)
        read = Button(say("I have read it"), "rules_read")
        read.clicked.connect(self._read_news)
        self.row(read)

    def _read_news(self) -> None:
        self._news.read()
        self.refresh()

    def _box(self, flag: Flag, number: int, picture: "Picture") -> FlagBox:
        now = self._present.now()
        box = FlagBox(flag.level)
        box.add_words(flag.headline, Size.STRONG, Explained)
        if flag.why:
            box.add_words(flag.why, made_by=Explained)
        if flag.by_statistics:
            self._add_weeks(box, flag, picture)
        since = times.near(picture.home, flag.raised_at, now)
        box.add_words(say("Flagged since {time}.").format(time=since))
        box.add_words(say("Call: {contact}").format(contact=self._present.calls[flag.level]))
        if flag.closing:
            box.add_words(flag.closing)
        for words in seen_words(flag, picture, now):
            box.add_words(words)
        box.add(self._buttons(flag, number))
        if self._telling == _name(flag):
            box.add(self._telling_panel(flag, picture))
        elif self._telling == _word_of(flag):
            box.add(self._word_panel(flag))
        return box

    def _add_weeks(self, box: FlagBox, flag: Flag, picture: "Picture") -> None:
        """The last weeks that a flag by statistics compares with."""
        from carelog.analysis.usual.weeks import SHOWN_DAYS, drawn

        found = picture.comparison.weeks.get(flag.rule) if picture.comparison else None
        if found is not None:
            box.add_words(found.caption())
            box.add(Drawn(lambda columns: drawn(found, columns), SHOWN_DAYS, f"weeks_{flag.rule}"))

    def _buttons(self, flag: Flag, number: int) -> QWidget:
        tell = Button(say("Who was told …"), f"tell_{number}")
        tell.setAccessibleName(say("Who was told: {headline}").format(headline=flag.headline))
        tell.clicked.connect(lambda: self._tell(_name(flag)))
        seen = Button(say("I have seen it"), f"seen_{number}")
        seen.setAccessibleName(say("I have seen it: {headline}").format(headline=flag.headline))
        seen.clicked.connect(lambda: self._record(flag, ""))
        word = Button.calling(
            say("Seen, with a word …"), f"word_{number}", lambda: self._tell(_word_of(flag))
        )
        word.setAccessibleName(say("Seen, with a word: {headline}").format(headline=flag.headline))
        buttons: list[QWidget] = [tell, seen, word]
        if flag.entries:
            entry = Button(say("Show the entry"), f"flag_entry_{number}")
            entry.setAccessibleName(say("Show the entry: {headline}").format(headline=flag.headline))
            entry.clicked.connect(lambda: self._open_entry(flag.entries[-1]))
            buttons.append(entry)
        about = Button.calling(
            say("About this flag"), f"about_{number}", lambda: self._explain(_topic_of(flag))
        )
        about.setAccessibleName(say("About this flag: {headline}").format(headline=flag.headline))
        return row(*buttons, about)

    def _telling_panel(self, flag: Flag, picture: "Picture") -> QWidget:
        panel: list[QWidget] = []
        offered = [(_choice_words(each), told_words(each)) for each in _details(picture)]
        if not any(each.get("for") == "emergency" for each in _details(picture)):
            offered.append((say("emergency number"), say("emergency number")))
        for number, (words, told) in enumerate(offered):
            choice = ChoiceButton(words if len(words) <= 48 else f"{words[:47]}…", f"told_{number}")
            choice.setCheckable(False)
            choice.clicked.connect(lambda _=False, name=told: self._record(flag, name))
            panel.append(choice)
        line = Line("told_other", say("Somebody else who was told"))
        line.setPlaceholderText(say("somebody else"))
        line.setText(self._typed)
        line.textChanged.connect(self._on_typed)
        save = Main(say("Save who was told"), "told_save")
        save.clicked.connect(lambda: self._record(flag, line.text().strip()) if line.text().strip() else None)
        return row(*panel, Ringed(line), save)

    def _word_panel(self, flag: Flag) -> QWidget:
        """What somebody saw, in a word of their own."""
        line = Line("seen_word", say("A word about it"))
        line.setPlaceholderText(say("a word about it"))
        line.setText(self._typed)
        line.textChanged.connect(self._on_typed)
        save = Main(say("Save as seen"), "seen_save")
        save.clicked.connect(lambda: self._record(flag, "", line.text().strip()))
        return row(Ringed(line), save)

    def _tell(self, name: str) -> None:
        """Open the panel of that name, or fold it again."""
        self._telling = "" if self._telling == name else name
        self._typed = self._trouble = ""
        self.refresh()

    def _on_typed(self, text: str) -> None:
        self._typed = text

    def _record(self, flag: Flag, told: str, word: str = "") -> None:
        """Somebody looked at the flag; only a name counts as told."""
        details = {"rule": flag.rule}
        if flag.subject is not None:
            details["subject"] = flag.subject
        if told:
            details["told"] = told
        self._slips.record(
            lambda logbook, by: [logbook.record(SEEN.name, details, by, note=word)],
            self._on_saved,
            self._on_failed,
        )

    def _on_saved(self) -> None:
        self._telling = self._typed = self._trouble = ""
        self.refresh()

    def _on_failed(self, sentence: str) -> None:
        self._trouble = sentence
        self.refresh()

    def _fill_unjudged(self, picture: "Picture") -> None:
        """What isn't compared now: no flag about it says nothing about it."""
        found = picture.comparison.unjudged if picture.comparison else ()
        if found:
            self.heading(say("Not compared with the usual now"), Size.NAME)
        for sentence in found:
            self.words(sentence)

    def _fill_ended(self, picture: "Picture") -> None:
        found = shown.ended(self._present.flags or (), self._present.now())
        if not found:
            return
        self.heading(say("Ended in the last 7 days"), Size.NAME)
        for flag in found:
            self.words(ended_words(flag, picture, self._present.now()))


def seen_words(flag: Flag, picture: "Picture", now: int) -> list[str]:
    """Who looked at it, what they told whom, and their word about it; that nobody is recorded as told."""
    if not flag.seen:
        return []
    looked = picture.looked
    found = done_words(
        flag, looked.get, lambda time: times.near(picture.home, time, now), is_untold_said=True
    )
    is_told = any(held.entry.details.get("told") for each in flag.seen if (held := looked.get(each)))
    return [*found, *([] if is_told else [say("No one was written down as told.")])]


def _unfold_words(folded: Sequence[Flag]) -> str:
    """How many flags a button shows, and how many of them ask for more than a look."""
    words = say_n("Show the flag", "Show {count} flags", len(folded)).format(count=len(folded))
    calls = sum(flag.level is not Level.NOTE for flag in folded)
    if not calls:
        return words
    if len(folded) == 1:
        return say("{flags}: “{asks}”").format(flags=words, asks=Level.CALL.asks)
    return say("{flags}, {count} of them “{asks}”").format(flags=words, count=calls, asks=Level.CALL.asks)


def ended_words(flag: Flag, picture: "Picture", now: int) -> str:
    """An ended flag: what it was, from when to when, how it ended."""
    start, end = times.from_to(picture.home, flag.raised_at, flag.cleared_at or 0, now)
    return say("{headline} {start} to {end}: {how}").format(
        headline=flag.headline, start=start, end=end, how=flag.ended or say("ended")
    )


def _details(picture: "Picture") -> "list[Details]":
    return [held.entry.details for held in picture.contacts]


def _choice_words(details: "Details") -> str:
    """A contact on its button: the name, and the role beside it where both are recorded and say more."""
    name, role = (str(details.get(each, "")).strip() for each in ("name", "role"))
    if not name and details.get("for") == "emergency":
        return say("emergency number")
    if role.casefold() in name.casefold():
        return name or role
    return ", ".join(each for each in (name, role) if each)


def _topic_of(flag: Flag) -> str:
    """The help's page about a flag: of its rule, unless it tells of several things at once."""
    return topics.SEVERAL if flag.several else topics.rule_topic(flag.rule)


def _name(flag: Flag) -> str:
    return f"{flag.rule}:{flag.subject}:{flag.raised_at}"


def _word_of(flag: Flag) -> str:
    return f"word {_name(flag)}"
