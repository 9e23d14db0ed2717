"""`carelog code`: the recovery code that opens this household's encrypted copies."""

from carelog.commands.sealing import keyring, typed_code
from carelog.commands.surroundings import Surroundings
from carelog.commands.usage import Given
from carelog.domain.moment import Home
from carelog.domain.trouble import Refused, Trouble, WrongUse
from carelog.seal import code as codes
from carelog.seal.keyring import Ring, new_code
from carelog.text import mark, say

TRIES = 3
OFF = mark("Copies aren't encrypted. carelog code --new makes a recovery code and switches that on.")
ON = mark("Copies that leave the house are encrypted, since {when}.")
KEEP = mark(
    "Write this code down. Keep it away from this computer. It opens your copies on any other one, like "
    "this: carelog restore FILE --record R --code CODE. If you lose this computer and the code, the copies "
    "are gone. No one can open them then."
)
AGAIN = mark("Copies made from now on need this code. Copies made before need the code of their time.")
TYPED_WRONG = mark("The code was not typed back as it is. Nothing was changed.")
ENTERED = mark("The code is known here now. Copies are encrypted, and this household's copies open here.")


def code(given: Given, around: Surroundings) -> int:
    """Say whether copies are encrypted, make a new code, or take the household's in."""
    if given.has("new") and given.has("enter"):
        raise WrongUse(say("Either --new or --enter, not both."))
    if given.has("new"):
        return _make(around)
    if given.has("enter"):
        keyring(around).take(typed_code(given.needed("enter"), around), around.clock.now())
        around.say(say(ENTERED))
        return 0
    ring = keyring(around).read()
    around.say(say(OFF) if ring is None else say(ON).format(when=since(ring, around)))
    return 0


def since(ring: Ring, around: Surroundings) -> str:
    """The day and time since which copies are encrypted, by this computer's clock."""
    return f"{Home(around.clock.zone() or 'UTC').local(ring.since):%Y-%m-%d %H:%M}"


def _make(around: Surroundings) -> int:
    keys = keyring(around)
    is_first, made = keys.read() is None, new_code()
    around.say(say(KEEP))
    if not is_first:
        around.say(say(AGAIN))
    if around.ask is None:
        keys.take(made, around.clock.now())
        around.say(codes.grouped(made, "-"))
        return 0
    around.say(codes.grouped(made, "-"))
    _typed_back(made, around)
    ring = keys.take(made, around.clock.now())
    around.say(say(ON).format(when=since(ring, around)))
    around.say(codes.grouped(made, "-"))
    return 0


def _typed_back(made: str, around: Surroundings) -> None:
    """On a terminal: encryption is switched on once the code was typed back, so it was written down."""
    assert around.ask is not None
    for _ in range(TRIES):
        try:
            typed = around.ask(say("Type the code back: "))
            if codes.read(typed) == made:
                return
            around.warn(say("That is another code. Look at each group again."))
        except Refused as refused:
            around.warn(refused.sentence)
    raise Trouble(say(TYPED_WRONG))
