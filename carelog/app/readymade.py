"""The phrase cards that are there from the start, in plain words; a household changes them as it likes.

All of it is our own choice, made without a source; the words to spell with are taken from memory from those
that are said most often in English. A translation translates the cards too.
"""

from dataclasses import dataclass

from carelog.text import mark, say

BREATH = "breath"
"""The page of cards beside which the emergency page's button stands."""
PAIN = "pain"
"""The page of cards that are asked how much it hurts."""
NEEDS = "needs"
ANSWERS = "answers"
HURTS = mark("Something hurts")
"""The card from which the cards of pain are one press away: it says neither where nor how much."""
OWN = "own"
"""The page of cards that name none, and of messages that were made cards."""
WORDS = "words"
LETTERS = "letters"
NUMBERS = "numbers"
SPELLING = (WORDS, LETTERS, NUMBERS)
"""Pages that are spelled with: they stand where a message is written, not among the cards."""


@dataclass(frozen=True, slots=True)
class CardSet:
    """The cards of a page as they come with the program, by the page's name in the record."""

    name: str
    title: str
    texts: tuple[str, ...] = ()
    letters: str = ""
    """Cards of one letter each, as one text: an alphabet is translated as a whole."""

    def said(self) -> tuple[str, ...]:
        """The cards' words in the language in use."""
        return tuple(say(self.letters)) if self.letters else tuple(map(say, self.texts))


SETS = (
    CardSet(
        NEEDS,
        mark("Needs"),
        (
            mark("I need suction"),
            HURTS,
            mark("I am thirsty"),
            mark("I need the toilet"),
            mark("Turn me, please"),
            mark("Lift me up"),
            mark("Clean my mouth, please"),
            mark("I am too hot"),
            mark("I am too cold"),
            mark("Stay with me, please"),
            mark("Thank you"),
        ),
    ),
    CardSet(
        "comfort",
        mark("Comfort"),
        (
            mark("My pillow, please"),
            mark("My blanket, please"),
            mark("The light, please"),
            mark("The window, please"),
            mark("Quiet, please"),
            mark("Music, please"),
            mark("My glasses, please"),
            mark("My hearing aid, please"),
            mark("Something itches"),
            mark("My mouth is dry"),
            mark("Wash my face, please"),
            mark("I want to sleep"),
        ),
    ),
    CardSet(
        PAIN,
        mark("Pain"),
        (
            mark("It hurts at the tube"),
            mark("My throat hurts"),
            mark("My neck hurts"),
            mark("My chest hurts"),
            mark("My head hurts"),
            mark("My mouth hurts"),
            mark("My belly hurts"),
            mark("My back hurts"),
            mark("My arm or hand hurts"),
            mark("My leg or foot hurts"),
            mark("It hurts all over"),
            mark("It hurts somewhere else"),
        ),
    ),
    CardSet(
        BREATH,
        mark("Breath"),
        (
            mark("My breathing is hard"),
            mark("I can't get air"),
            mark("Something is stuck"),
            mark("The tube feels wrong"),
            mark("Air leaks somewhere"),
            mark("I need to cough"),
            mark("Sit me up, please"),
            mark("Take the valve off, please"),
            mark("Get help now"),
            mark("It is easier now"),
            mark("It is as hard as before"),
        ),
    ),
    CardSet(
        "feelings",
        mark("Feelings"),
        (
            mark("I am afraid"),
            mark("I am sad"),
            mark("I am tired"),
            mark("I am angry"),
            mark("I am bored"),
            mark("I am lonely"),
            mark("I feel sick"),
            mark("I feel dizzy"),
            mark("I feel better"),
            mark("I feel worse"),
            mark("I am glad"),
            mark("I want to be alone"),
        ),
    ),
    CardSet(
        "nurse",
        mark("To the nurse"),
        (
            mark("What do you see?"),
            mark("How does my skin look?"),
            mark("When is the next tube change?"),
            mark("Does my tube still fit?"),
            mark("Why does it hurt?"),
            mark("Can I talk with a valve?"),
            mark("May I eat and drink?"),
            mark("May I wash my hair?"),
            mark("May I go out?"),
            mark("Whom do we call at night?"),
            mark("Please tell my family too"),
            mark("Please write it down"),
        ),
    ),
    CardSet(
        ANSWERS,
        mark("Answers"),
        (
            mark("Yes"),
            mark("No"),
            mark("Later"),
            mark("You choose"),
            mark("I don't know"),
            mark("A little"),
            mark("More"),
            mark("Less"),
            mark("Stop"),
            mark("Go on"),
            mark("Ask me again"),
            mark("Something else"),
        ),
    ),
    CardSet(OWN, mark("Our own")),
    CardSet(
        WORDS,
        mark("Words to spell with"),
        (
            mark("I"),
            mark("you"),
            mark("the"),
            mark("to"),
            mark("a"),
            mark("it"),
            mark("is"),
            mark("and"),
            mark("my"),
            mark("not"),
            mark("want"),
            mark("please"),
        ),
    ),
    CardSet(LETTERS, mark("Letters"), letters=mark("ABCDEFGHIJKLMNOPQRSTUVWXYZ")),
    CardSet(NUMBERS, mark("Numbers"), letters=mark("0123456789")),
)
"""In the order in which they are offered."""


def is_where_unsaid(text: str) -> bool:
    """Whether a card says that something hurts and not where; the record keeps of a card its words alone."""
    return text == say(HURTS)
