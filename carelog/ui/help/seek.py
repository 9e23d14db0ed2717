"""Looking for words over all pages of the help."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from carelog.text import say
from carelog.ui.help.paragraphs import HEADING, paragraphs
from carelog.ui.help.topics import WORDS, Topic, every_topic, topic_text
from carelog.ui.help.words import Term, terms, terms_here

MOST = 12
LONG = 4  # letters
IN_TITLE, IN_OTHER_WORDS, IN_HEADING, IN_TEXT, APART = range(5)


@dataclass(frozen=True, slots=True)
class Found:
    """A page that holds the words: where they stand in it, the nearer to its title the lower the rank."""

    rank: int
    topic: Topic
    told: str
    """The passage that shows it."""
    term: Term | None = None


def seek(typed: str) -> list[Found]:
    """The pages that hold all words, each as the beginning of a word there; the best first, at most 12.

    Where no passage has them all together, those first that are about most of them.
    """
    sought = typed.casefold().split()
    if not sought:
        return []
    topics = every_topic()
    words = next(each for each in topics if each.name == WORDS)
    found = [*_in_words(sought, words), *(one for each in topics if (one := _in_page(sought, each)))]
    if all(each.rank == APART for each in found):
        near = list(_nearest(sought, topics))
        known = {each.topic for each in near}
        found = [*near, *(each for each in found if each.topic not in known)]
    return sorted(found, key=lambda each: each.rank)[:MOST]


def _in_words(sought: Sequence[str], topic: Topic) -> Iterator[Found]:
    for term in (*terms(), *terms_here()):
        if any(_holds(name, sought) for name in term.names):
            is_whole = " ".join(sought) in [name.casefold() for name in term.names]
            yield Found(IN_TITLE if is_whole else IN_HEADING, topic, term.told(), term)


def _in_page(sought: Sequence[str], topic: Topic) -> Found | None:
    passages = [(sign, say(text)) for sign, text in paragraphs(topic_text(topic.name))]
    first = passages[0][1]
    if _holds(topic.title, sought):
        return Found(IN_TITLE, topic, first)
    also = " ".join(say(each) for each in topic.worry.also) if topic.worry else ""
    if also and _holds(f"{topic.title} {also}", sought):
        return Found(IN_OTHER_WORDS, topic, first)
    for rank, is_heading in ((IN_HEADING, True), (IN_TEXT, False)):
        for sign, text in passages:
            if (sign == HEADING) is is_heading and _holds(text, sought):
                return Found(rank, topic, text)
    whole = " ".join([topic.title, also, *(text for _sign, text in passages)])
    return Found(APART, topic, first) if _holds(whole, sought) else None


def _nearest(sought: Sequence[str], topics: Sequence[Topic]) -> Iterator[Found]:
    """Where no passage holds all the words, as in a whole question: pages about most of the longer ones."""
    longer = [word for word in sought if len(word) >= LONG]
    for topic in topics:
        front = " ".join([topic.title, *(say(each) for each in (topic.worry.also if topic.worry else ()))])
        count = sum(_holds(front, [word]) for word in longer)
        if count:
            first = paragraphs(topic_text(topic.name))[0][1]
            yield Found(len(longer) - count, topic, say(first))


def _holds(text: str, sought: Sequence[str]) -> bool:
    """Whether each of the words begins a word of the text."""
    there = "".join(letter if letter.isalnum() else " " for letter in text.casefold()).split()
    return all(any(each.startswith(word) for each in there) for word in sought)
