"""Phrase cards: the record's own in the place of the ready-made ones, changed as a page in one act."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from carelog.analysis.in_force import Held, Reading
from carelog.app.logbook import Logbook
from carelog.app.ports import Record
from carelog.app.readymade import BREATH, NEEDS, OWN, SETS, SPELLING
from carelog.domain.entry import Details, Entry
from carelog.kinds.phrase import PHRASE
from carelog.kinds.phrase_card import PHRASE_CARD
from carelog.text import mark, say

A_BOARD = 12  # cards
KEPT_MESSAGES = 10
LOOKED_THROUGH = 60
"""So many phrases are looked through for the last messages: most of them are cards."""
_LAST = 1 << 53
_CHANGED = mark("the cards were changed")


@dataclass(frozen=True, slots=True)
class PhraseCard:
    """One card: its words, the same in the other language, and its entry; None: it is ready-made."""

    text: str
    also: str = ""
    page: str = OWN
    held: Held | None = None


@dataclass(frozen=True, slots=True)
class CardPage:
    """The cards of one subject, in their order."""

    name: str
    title: str
    cards: tuple[PhraseCard, ...]

    @property
    def is_own(self) -> bool:
        """Whether the household has made it its own: its cards are in the record."""
        return any(card.held is not None for card in self.cards)


@dataclass(frozen=True, slots=True)
class CardBoard:
    """As many cards of a page as are shown at once."""

    name: str
    title: str
    cards: tuple[PhraseCard, ...]


@dataclass(frozen=True, slots=True)
class CardRow:
    """A card as it was typed on the page where cards are changed; `held`: what it was before."""

    text: str
    also: str = ""
    held: Held | None = None


# Reading ------------------------------------------------------------------------------------------


def card_pages(entries: Iterable[Entry] = ()) -> tuple[CardPage, ...]:
    """All pages: of each the record's cards or, where it has none, the ready-made; those it adds come last.

    Two computers may each have made a page its own before they met: the same words on a page are one card.
    """
    own: dict[str, list[Held]] = defaultdict(list)
    for held in Reading(entries).of(PHRASE_CARD.name):
        own[str(held.entry.details.get("page") or OWN)].append(held)
    ready = {each.name: each for each in SETS}
    found = []
    for name in (*ready, *sorted(own.keys() - ready.keys())):
        if own[name]:
            cards = _cards_of(name, own[name])
        else:
            cards = tuple(PhraseCard(text, page=name) for text in ready[name].said())
        found.append(CardPage(name, say(ready[name].title) if name in ready else name, cards))
    return tuple(found)


def _cards_of(page: str, held: list[Held]) -> tuple[PhraseCard, ...]:
    found: dict[str, PhraseCard] = {}
    for each in sorted(held, key=lambda each: each.entry.details.get("place", _LAST)):
        details = each.entry.details
        card = PhraseCard(details["text"], details.get("also", ""), page, each)
        found.setdefault(card.text.casefold().strip(), card)
    return tuple(found.values())


def read_cards(record: Record) -> tuple[CardPage, ...]:
    """The pages of a record."""
    return card_pages(record.of_kinds([PHRASE_CARD.name]))


def boards(pages: Sequence[CardPage]) -> list[CardBoard]:
    """What is shown at once, twelve cards at most; the first card of breath stands on the first page too."""
    by_name = {page.name: page for page in pages}
    found = []
    for page in pages:
        cards = page.cards
        if page.name == NEEDS:
            cards = (*cards[:1], *by_name[BREATH].cards[:1], *cards[1:])
        if page.name in SPELLING:
            continue
        for number, start in enumerate(range(0, len(cards), A_BOARD), start=1):
            title = page.title if number == 1 else f"{page.title} {number}"
            found.append(CardBoard(page.name, title, cards[start : start + A_BOARD]))
    return found


def page_named(pages: Sequence[CardPage], name: str) -> CardPage:
    """The page of that name; one that nobody has made yet is empty."""
    return next((page for page in pages if page.name == name), CardPage(name, name, ()))


def read_messages(record: Record, pages: Sequence[CardPage]) -> tuple[str, ...]:
    """The last messages that were written and shown, newest first, as far as phrases are written down.

    A phrase with a note was said by somebody else: who is coming.
    """
    known = {card.text for page in pages for card in page.cards}
    found: dict[str, None] = {}
    for held in reversed(Reading(record.newest(PHRASE.name, LOOKED_THROUGH)).of(PHRASE.name)):
        text = held.entry.details["text"]
        if text not in known and not held.entry.note:
            found[text] = None
    return tuple(found)[:KEPT_MESSAGES]


# Changing -----------------------------------------------------------------------------------------


def change_page(logbook: Logbook, page: CardPage, rows: Sequence[CardRow], by: str) -> Sequence[Entry]:
    """Let a page hold these cards in this order, in one commit; `Logbook.strike_together` takes it back.

    A ready-made page becomes the household's own with the first change.
    """
    entries = []
    for place, row in enumerate(rows, start=1):
        details: dict[str, object] = {"text": row.text, "place": place, "page": page.name}
        if row.also:
            details["also"] = row.also
        if row.held is None:
            entries.append(logbook.draft(PHRASE_CARD.name, details, by))
            continue
        rest = {name: value for name, value in row.held.entry.details.items() if name != "also"}
        if {**rest, **details} != row.held.entry.details:
            entries.append(_changed(logbook, row.held, {**rest, **details}, by))
    kept = {row.held.first.id for row in rows if row.held is not None}
    for card in page.cards:
        if card.held is not None and card.held.first.id not in kept:
            entries.append(replace(_changed(logbook, card.held, {}, by), note="", withdrawn=True))
    return logbook.record_together(entries)


def _changed(logbook: Logbook, held: Held, details: Details, by: str) -> Entry:
    target = held.entry
    draft = logbook.draft(PHRASE_CARD.name, details, by, target.at, target.note, zone=target.zone)
    return replace(draft, amends=target.id, reason=say(_CHANGED))
