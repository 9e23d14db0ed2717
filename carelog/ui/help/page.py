"""The help's page: what people worry about, a list of pages in plain words, a search; it opens no link."""

from collections.abc import Callable
from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from carelog.domain.flag import Level, Matter
from carelog.kinds import named_or_unknown
from carelog.kinds.stoma import STOMA
from carelog.text import say
from carelog.ui.button import Button
from carelog.ui.column import ColumnView, row
from carelog.ui.glyphs import Glyph
from carelog.ui.help import topics
from carelog.ui.help.paragraphs import HEADING, ITEM, PLAIN, paragraphs
from carelog.ui.help.topics import Topic, rule_topic, topic_named, topic_text
from carelog.ui.keys import KEYS
from carelog.ui.pages import PAGES
from carelog.ui.palette import LINE
from carelog.ui.ringed import Line, Ringed
from carelog.ui.rowbutton import RowButton
from carelog.ui.theme import STEP, Size
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.analysis.rules.rule import Rule
    from carelog.domain.kind import Kind
    from carelog.ui.help.words import Term
    from carelog.ui.present import Present

EMERGENCY_PAGE = "emergency"
DRAWING = 36  # px at 100 %
COLUMN = 330  # px at 100 %, the least width of a list's column


class Help(ColumnView):
    """Pages of headings (lines that begin with #), paragraphs, and lists (lines that begin with -)."""

    def __init__(
        self,
        present: "Present",
        go: Callable[[str], None],
        open_form: Callable[[str], None],
    ) -> None:
        super().__init__()
        self._present = present
        self._go = go
        self._open_form = open_form
        self._topic: Topic | None = None
        self._came_from = ""
        self._sought = Line("help_find", say("Find in the help"))
        self._sought.setPlaceholderText(say("find words in the help"))
        self._sought.textChanged.connect(lambda _text: self.refresh())
        self._search = QWidget()
        beside = QHBoxLayout(self._search)
        beside.setContentsMargins(2 * STEP, STEP, 2 * STEP, 0)
        beside.addWidget(Ringed(self._sought))
        self._layout.addWidget(self._search)

    def show_topic(self, name: str, came_from: str = "") -> None:
        """Open one page of the help; empty: the list. `came_from`: the page to which it leads back."""
        self._topic = topic_named(name)
        self._came_from = came_from
        self.refresh()
        self._to_top()

    def show_term(self, name: str, came_from: str = "") -> None:
        """The page of words, at one of them."""
        self.show_topic(topics.WORDS, came_from)
        self._reach(name)

    def show_list(self) -> bool:
        """Back to where the page was opened from, to the list, to the whole list; False when it is there."""
        if self._came_from:
            self._go_back()
        elif self._topic is not None:
            self.show_topic("")
        elif self._sought.text():
            self._sought.clear()
        else:
            return False
        return True

    def opened(self) -> None:
        """Opened by itself it shows the list."""
        self._topic, self._came_from = None, ""
        super().opened()

    def key(self) -> object:
        calls = tuple(self._present.calls.items()) if self._topic else ()
        return self._topic, self._came_from, calls, self._sought.text().strip()

    def fill(self) -> None:
        topic, sought = self._topic, self._sought.text().strip()
        self._search.setVisible(topic is None)
        if topic is not None:
            self._fill_topic(topic)
        elif sought:
            self._fill_found(sought)
        else:
            self._fill_list()

    # The list -------------------------------------------------------------------------------------

    def _fill_list(self) -> None:
        self.heading(say("Help"))
        first, *others = paragraphs(topic_text(topics.INTRODUCTION))
        self._fill_parts([first])
        self._rows(topics.of_worries())
        self.heading(say("All pages"), Size.NAME)
        self._fill_parts(others)
        self._rows(topics.of_the_program())

    def _fill_found(self, sought: str) -> None:
        from carelog.ui.help.seek import seek

        found = seek(sought)
        self.heading(say("Found in the help"))
        if not found:
            self.words(say("No page of the help has all these words. Try one word alone."))
        rows = []
        for number, each in enumerate(found):
            words = each.term.name if each.term else each.topic.title
            button = RowButton(words, f"help_found_{number}", each.topic.glyph, each.told)
            button.clicked.connect(self._opener(each.topic, each.term))
            rows.append(button)
        self.list(rows, least=COLUMN)

    def _opener(self, topic: Topic, term: "Term | None") -> Callable[[], None]:
        def open_it() -> None:
            if term is not None:
                self.show_term(term.name, self._came_from)
            else:
                self.show_topic(topic.name, self._came_from)

        return open_it

    def _rows(self, listed: list[Topic]) -> None:
        rows = []
        for topic in listed:
            button = RowButton(topic.title, f"help_{topic.name}", topic.glyph)
            button.clicked.connect(self._opener(topic, None))
            rows.append(button)
        self.list(rows, least=COLUMN)

    # One page -------------------------------------------------------------------------------------

    def _fill_topic(self, topic: Topic) -> None:
        if self._came_from:  # the list is one press away on the rail
            self.across(row(Button.calling(say("Back"), "help_back", self._go_back)))
        else:
            self.across(row(Button.calling(say("All help pages"), "help_list", partial(self.show_topic, ""))))
        self.heading(topic.title)
        group, _, name = topic.name.partition("/")
        if topic.name == topics.WORDS:
            self._fill_words()
            return
        if topic.worry is not None:
            self._fill_worry(topic)
            return
        if name and group == topics.RULE_PAGES:
            self._fill_rule(name)
            return
        self._fill_text(topic.name)
        if name:
            self._fill_kind(named_or_unknown(name))
        elif topic.name == topics.KINDS:
            self._rows(topics.of_kinds())
        elif topic.name == topics.RULE_PAGES:
            self._rows(topics.of_rules())
        elif topic.name == topics.SEVERAL:
            self._fill_calls()
        elif topic.name == "keys":
            self._fill_keys()

    def _fill_worry(self, topic: Topic) -> None:
        """The answer in short, where it leads, and only then all of it."""
        worry, (first, *others) = topic.worry, paragraphs(topic_text(topic.name))
        assert worry is not None
        self._fill_parts([first])
        if EMERGENCY_PAGE in worry.pages:
            self._fill_call(Level.URGENT, Size.STRONG)
        self._fill_leads(worry.forms, worry.pages)
        self._fill_parts(others)
        self._fill_calls()

    def _fill_kind(self, kind: "Kind") -> None:
        from carelog.ui.help.sources import source_words, sources_of

        if kind is STOMA:
            self._fill_way("mucus_or_scab")
        self._fill_calls()
        self.heading(say("Where this comes from"), Size.NAME)
        for source in sources_of(kind.name):
            self.words(source_words(source))
        if not kind.has_page:
            self._fill_leads((kind.name,), ())

    def _fill_rule(self, name: str) -> None:
        from carelog.analysis.rules.rule import EMERGENCY
        from carelog.analysis.rules.stoma import STOMA_WORSE
        from carelog.analysis.rules.table import RULES
        from carelog.ui.help.rules import rule_lines

        rule: Rule = next(each for each in RULES if each.name == name)
        if rule.matter is Matter.BODY:
            self.words(say(EMERGENCY), Size.STRONG)
        self._fill_text(rule_topic(name))
        if rule.name == STOMA_WORSE.name:
            self._fill_way("mucus_or_scab")
        self._fill_calls()
        self.heading(say("The rule and its source"), Size.NAME)
        for line in rule_lines(rule):
            self.words(line)

    def _fill_way(self, worry: str) -> None:
        """A way to the answer to a worry."""
        topic = topic_named(f"{topics.WORRY_PAGES}/{worry}")
        if topic is not None:
            self.row(Button.calling(topic.title, f"help_{topic.name}", self._opener(topic, None)))

    def _fill_calls(self) -> None:
        """Whom to call, as the record has it now."""
        self.heading(say("Whom to call"), Size.NAME)
        if not self._present.calls:
            self.words(self._present.unread(), soft=True)
        for level in (Level.URGENT, Level.CALL):
            self._fill_call(level, Size.TEXT)
        self.words(say("Do as the plan says. If you are worried, call: you need no flag for it."))

    def _fill_call(self, level: Level, size: Size) -> None:
        contact = self._present.calls.get(level)
        if contact is not None:
            self.words(say("{words}: {contact}").format(words=level.asks, contact=contact), size)

    def _fill_leads(self, forms: tuple[str, ...], pages: tuple[str, ...]) -> None:
        """The forms and pages that the words beside it name."""
        buttons: list[QWidget] = []
        for name in forms:
            words = say("Open: {name}").format(name=say(named_or_unknown(name).title))
            buttons.append(Button.calling(words, f"help_form_{name}", partial(self._open_form, name)))
        for page in PAGES:
            if page.name in pages:
                words = say("Open: {name}").format(name=say(page.words))
                buttons.append(Button.calling(words, f"help_page_{page.name}", partial(self._go, page.name)))
        if buttons:
            self.across(row(*buttons))

    def _fill_text(self, topic: str) -> None:
        self._fill_parts(paragraphs(topic_text(topic)))

    def _fill_parts(self, parts: list[tuple[str, str]]) -> None:
        for sign, text in parts:
            if sign == HEADING:
                self.heading(say(text), Size.NAME)
            else:
                self.words(f"– {say(text)}" if sign == ITEM else say(text))

    def _fill_keys(self) -> None:
        self.words(say("On the board the keys 1 to 9, 0, - and = press the tiles, from the first on."))
        self.list(Words(f"{', '.join((key.press, *key.also[:1]))}: {say(key.words)}") for key in KEYS)

    # Words ----------------------------------------------------------------------------------------

    def _fill_words(self) -> None:
        from carelog.ui.help.words import terms, terms_here

        for topic, listed in ((topics.WORDS, terms()), (topics.WORDS_HERE, terms_here())):
            self.across(
                Words(next(say(text) for sign, text in paragraphs(topic_text(topic)) if sign == PLAIN))
            )
            self.list((_term_row(term) for term in listed), least=COLUMN)

    def _reach(self, name: str) -> None:
        """Scroll to a word, once it has its place."""
        held = self._body.findChild(QWidget, _term_name(name))
        if held is not None and self._scrolled is not None:
            self._body.adjustSize()
            self._scrolled.ensureWidgetVisible(held, 0, held.height())

    # Ways -----------------------------------------------------------------------------------------

    def _to_top(self) -> None:
        if self._scrolled is not None:
            self._scrolled.verticalScrollBar().setValue(0)

    def _go_back(self) -> None:
        page, self._came_from, self._topic = self._came_from, "", None
        self._go(page)


def _term_name(name: str) -> str:
    return f"word_{name}"


def _term_row(term: "Term") -> QWidget:
    """A word, what it means, and its drawing where there is one."""
    made = QWidget()
    made.setObjectName(_term_name(term.name))
    beside = QHBoxLayout(made)
    beside.setContentsMargins(0, 0, 0, 0)
    beside.setSpacing(2 * STEP)
    texts = QWidget()
    beside.addWidget(texts, 1)
    if term.glyph:
        beside.addWidget(Glyph(term.glyph, DRAWING, LINE), 0, Qt.AlignmentFlag.AlignTop)
    column = QVBoxLayout(texts)
    column.setContentsMargins(0, 0, 0, 0)
    column.setSpacing(0)
    column.addWidget(Words(", ".join(term.names), Size.STRONG, heading=True))
    column.addWidget(Words(term.meaning))
    return made
