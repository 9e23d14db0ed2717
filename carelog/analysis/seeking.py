"""What a stored entry may hold where its row says a word: the word itself, names and values that are told so.

A row says words; an entry holds names of fields and values. So each word becomes texts that a stored entry is
searched for. What is found so is looked at once more, as a row: it may be too much, and too little in one
thing alone: the number of a limit, which would find every reading beyond it.
"""

from collections.abc import Iterator

from carelog.analysis.limits import READ
from carelog.analysis.limits import WORDS as LIMIT_WORDS
from carelog.analysis.marks import WORDS as MARK_WORDS
from carelog.analysis.marks import who
from carelog.domain.entry import Json, details_text
from carelog.domain.field import Choice, Field, ListOf, Number, YesNo
from carelog.domain.kind import Kind
from carelog.domain.record import Sought
from carelog.kinds import ALL
from carelog.text import say


def sought(words: str) -> tuple[Sought, ...]:
    """Each word of what somebody typed, and what may stand for it."""
    return tuple(_sought(word) for word in words.lower().split())


def _sought(typed: str) -> Sought:
    word = typed.casefold()
    is_limit = any(word in say(each).casefold() for each in LIMIT_WORDS)
    texts = {text for kind in ALL for words, text in _said(kind) if word in words.casefold()}
    narrowed = {
        kind.name
        for kind in ALL
        if _is_plain(kind) and word not in say(kind.title).casefold() and not (is_limit and kind.name in READ)
    }
    return Sought(
        word=typed,
        texts=frozenset(texts),
        narrowed=frozenset(narrowed),
        may_be_mark=":" in word
        or word.isdecimal()  # a mark tells a time
        or any(word in say(each).casefold() for each in MARK_WORDS),
        may_be_nobody=word in who("").casefold(),
    )


def _is_plain(kind: Kind) -> bool:
    """Whether its words come from its fields alone. Of the others all are looked at."""
    return kind.is_frequent and kind.wording is None


def _said(kind: Kind) -> Iterator[tuple[str, str]]:
    """Words of a kind's rows, and the text in an entry that they stand for."""
    for field in kind.fields:
        yield from _of_field(field)


def _of_field(field: Field) -> Iterator[tuple[str, str]]:
    name = f"{details_text(field.name)}: "
    kind = field.type.item if isinstance(field.type, ListOf) else field.type
    if field.label:
        yield say(field.label), name
    if isinstance(kind, Choice):
        yield from ((say(option.label), _value(option.value)) for option in kind.options)
    elif isinstance(kind, YesNo):
        yield from ((kind.words(value), name + details_text(value)) for value in (True, False))
    elif isinstance(kind, Number) and kind.unit:
        yield say(kind.unit), name


def _value(value: Json) -> str:
    return details_text(value)
