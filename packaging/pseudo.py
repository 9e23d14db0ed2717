"""Two made-up languages that show at a glance what a translation would break.

python3 packaging/pseudo.py longer [words of carelog]       40 % longer, with accents, between brackets
python3 packaging/pseudo.py mirrored [words of carelog]     each letter one of Arabic, from right to left

What isn't marked for translation stands out, what is cut off lacks its bracket. Values in {braces} stay.
"""

from __future__ import annotations

import itertools
import math
import re
import sys
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from unittest import mock

LONGER_BY = 0.4
DIRECTION = "LTR"  # as carelog.text has it

_PLACEHOLDER = re.compile(r"(\{[^{}]*\})")
_ACCENTS = str.maketrans("aeiouyAEIOUYcnszCNSZ", "áëîöüýÁËÎÖÜÝçñšžÇÑŠŽ")
_VOWELS = "áëîöüýÁËÎÖÜÝ"
_LATIN = "abcdefghijklmnopqrstuvwxyz"
_ARABIC = (
    "\u0627\u0628\u062a\u062b\u062c\u062d\u062e\u062f\u0630\u0631\u0632\u0633\u0634"
    "\u0635\u0636\u0637\u0638\u0639\u063a\u0641\u0642\u0643\u0644\u0645\u0646\u0647"
)
_RIGHT_TO_LEFT = str.maketrans(_LATIN + _LATIN.upper(), _ARABIC * 2)


def pseudo(words: str, *, mirrored: bool = False) -> str:
    """These words in a made-up language: longer with accents, or in letters that run from right to left."""
    if words in ("", DIRECTION):
        return "RTL" if words and mirrored else words
    return _mirrored(words) if mirrored else _longer(words)


def _longer(words: str) -> str:
    parts = _PLACEHOLDER.split(words)
    letters = sum(len(part) for part in parts[::2])
    wanted = math.ceil(LONGER_BY * letters)
    accented = [part.translate(_ACCENTS) for part in parts[::2]]
    vowels = sum(part.count(letter) for part in accented for letter in _VOWELS)
    more = max(0, wanted - 2)  # the brackets count
    each, rest = divmod(more, vowels) if vowels else (0, more)
    extra = itertools.chain(itertools.repeat(each + 1, rest if vowels else 0), itertools.repeat(each))
    stretched = ["".join(_stretched(letter, extra) for letter in part) for part in accented]
    filler = "" if vowels else "ö" * more
    body = "".join(
        part for pair in itertools.zip_longest(stretched, parts[1::2], fillvalue="") for part in pair
    )
    return f"[{body}{filler}]"


def _stretched(letter: str, extra: itertools.chain[int]) -> str:
    return letter * (1 + next(extra)) if letter in _VOWELS else letter


def _mirrored(words: str) -> str:
    parts = _PLACEHOLDER.split(words)
    parts[::2] = [part.translate(_RIGHT_TO_LEFT) for part in parts[::2]]
    return "".join(parts)


LANGUAGES: dict[str, Callable[[str], str]] = {
    "longer": pseudo,
    "mirrored": partial(pseudo, mirrored=True),
}


def main(arguments: Sequence[str]) -> int:
    """Run carelog in a pseudo-language; the exit status."""
    if not arguments or arguments[0] not in LANGUAGES:
        print(__doc__, file=sys.stderr)
        return 2
    sys.path.insert(0, str(Path(__file__).resolve().parent.parent))
    from carelog import cli, text

    text.use(LANGUAGES[arguments[0]])
    with mock.patch.object(text, "choose"):  # neither the settings nor the system change the language
        return cli.run(arguments[1:])


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
