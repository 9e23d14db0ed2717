"""How hard a text is to read: the Flesch–Kincaid grade over its sentences, counted here, without any data.

Grade = 0.39 × words a sentence + 11.8 × syllables a word − 15.59 (Kincaid et al., Research Branch Report
8-75, 1975; the constants from memory). Sentences of fewer than five words are labels and aren't scored.
"""

import re

LEAST_WORDS = 5
SHORT = "tube"
TRADE = frozenset(
    {
        "airway", "ambulance", "cannula", "cannulas", "cap", "catheter", "catheters", "cuff", "cuffed",
        "cuffs", "deflate", "deflated", "dressing", "emergency", "fenestrated", "humidifier",
        "humidifiers", "humidity", "inflate", "inflated", "mucus", "nebuliser", "nebulisers", "oxygen",
        "saline", "saturation", "secretion", "secretions", "stoma", "suction", "suctioned", "suctions",
        "subglottic", "supplies", "temperature", "tracheal", "tracheostomy", "ventilator",
        "ventilators", "vacuum", "valve", "hme", "spo2", "cmh2o", "mmhg", "kpa",
    }
)  # fmt: skip
"""Words of the trade, and of the person's own papers ("emergency plan", "emergency number")."""

_SENTENCE_END = re.compile(r"(?<=[.!?…])[\"”’)]*\s+|\n\s*\n|\n(?=\s*(?:[-#]|$))")
_PLACEHOLDER = re.compile(r"\{[^{}]*\}")
_WORD = re.compile(r"[^\W_]+(?:['’.,:/-][^\W_]+)*")
_VOWELS = re.compile(r"[aeiouy]+")
_OWN_COUNTS = {
    "area": 3, "eyes": 1,
    "being": 2, "create": 2, "created": 3, "doing": 2, "every": 2, "everybody": 4, "everyone": 3,
    "everything": 3, "evening": 2, "business": 2, "going": 2, "idea": 3, "react": 2, "quiet": 2, "science": 2,
    "seeing": 2, "diary": 3, "trial": 2, "lion": 2, "being's": 2, "somebody": 3, "something": 2, "someone": 2,
    "sometimes": 2, "somewhere": 2, "safely": 2, "likely": 2, "lately": 2, "unlikely": 3, "people": 2,
    "careful": 2, "carefully": 3, "careless": 2, "carelog": 2, "handover": 3, "hour": 1, "hours": 1,
    "minute": 2, "minutes": 2, "onto": 2, "reader": 2, "whole": 1, "wholesome": 2, "therefore": 2,
    "themselves": 2, "lonely": 2, "real": 1, "really": 2, "video": 3, "radio": 3, "period": 3, "earlier": 3,
    "client": 2, "poem": 2, "ruin": 2, "fluid": 2, "usual": 3, "usually": 4, "unusual": 4, "actual": 3,
    "gradual": 3, "manual": 3, "casual": 3, "annual": 3, "serious": 3, "various": 3, "previous": 3,
    "obvious": 3, "experience": 4, "patient": 2, "ancient": 2, "special": 2, "social": 2, "makes": 1,
    "named": 1, "does": 1, "shoes": 1, "goes": 1, "recipes": 3, "axes": 2, "breathes": 1, "clothes": 1,
    "wipes": 1, "places": 2, "pieces": 2, "pages": 2, "changes": 2, "uses": 2, "closes": 2, "boxes": 2,
    "naked": 2, "wicked": 2, "hundred": 2, "sacred": 2, "noticed": 2, "medicine": 3, "medicines": 3,
    "nobody": 3, "anybody": 4, "anyone": 3, "initials": 3, "initial": 3, "one-page": 2, "pm": 2, "am": 1,
    "household": 2, "households": 2, "timeline": 2, "timelines": 2, "whoever": 3, "supplier": 3, "rely": 2,
    "safety": 2, "centre": 2, "elsewhere": 2, "o'clock": 2, "easier": 3, "drawer": 1, "barrier": 3,
    "areas": 3,
    "pdf": 3, "html": 4, "csv": 3, "id": 2, "usb": 3, "reassure": 3, "reassures": 3, "reliable": 4,
    "union": 2,
}  # fmt: skip


def sentences(text: str) -> list[list[str]]:
    """The words of each sentence that is scored: five or more, trade words and values made short."""
    plain = _PLACEHOLDER.sub(
        SHORT, text.replace("**", "").replace("`", "").replace("\N{NO-BREAK SPACE}", " ")
    )
    found = [words(part) for part in _SENTENCE_END.split(plain)]
    return [each for each in found if len(each) >= LEAST_WORDS]


def words(sentence: str) -> list[str]:
    """The words of one sentence in lower case, the trade's own replaced by a short one."""
    found = [word.lower().replace("’", "'") for word in _WORD.findall(sentence)]
    return [SHORT if word.removesuffix("'s") in TRADE else word for word in found]


def syllables(word: str) -> int:
    """How many syllables an English word has, by its spelling; a number counts as one."""
    if "-" in word or "/" in word:
        return sum(syllables(part) for part in re.split("[-/]", word) if part)
    if word in _OWN_COUNTS:
        return _OWN_COUNTS[word]
    if word.endswith("'s"):
        owner = word.removesuffix("'s")
        return syllables(owner) + bool(re.search(r"(?:s|x|z|ch|sh|[cg]e|se|ze)$", owner))
    if any(letter.isdigit() or letter == "." for letter in word):
        return 1  # a number, or the name of a file
    if word.endswith("n't"):
        return _before_not(word.removesuffix("n't"))
    return _spelled(word.split("'")[0])


def _before_not(verb: str) -> int:
    # "isn't" has a syllable more than "is", "don't" has none more than "do"
    return 1 if verb in ("do", "ca", "wo", "are", "were") else _spelled(verb) + 1


def _spelled(word: str) -> int:
    bare = word
    if re.search(r"[^aeiouy]led$", bare) and bare[-4:-3] not in ("l", "r", "w"):
        bare = bare[:-1]  # "doubled", "settled": the l is a syllable of its own
    elif re.search(r"[^aeiouy]ed$", bare) and not re.search(r"[td]ed$", bare):
        bare = bare[:-2]
    elif re.search(r"[^aeiouy]es$", bare) and not re.search(r"(?:s|x|z|ch|sh|c|g)es$", bare):
        bare = bare[:-2] if not bare.endswith("les") or bare[-4:-3] in "aeiouy" else bare[:-1]
    elif re.search(r"[^aeiouyl]e$", bare) or re.search(r"[aeiouy]le$", bare):
        bare = bare[:-1]
    bare = re.sub(r"([^aeiouy])e(?=(?:ly|ment|ful|less|ness)$)", r"\1", bare)
    count = len(_VOWELS.findall(bare))
    count += len(re.findall(r"i[ao](?!u)|[aeo]y[aeio]|uou|[aeiouy]ing$|eo(?!u)|iu|ism$", bare))
    count -= len(re.findall(r"[tcsg]i(?:on|an|ous|al)|[^aeiouy]ieu", bare))
    return max(count, 1)


def grade(text: str) -> float:
    """The grade of all scored sentences of a text together; 0 when there are none."""
    scored = sentences(text)
    if not scored:
        return 0.0
    flat = [word for sentence in scored for word in sentence]
    return 0.39 * len(flat) / len(scored) + 11.8 * sum(map(syllables, flat)) / len(flat) - 15.59


def hardest(text: str, count: int = 3) -> list[str]:
    """The scored sentences that read hardest, for whoever has to mend them."""
    scored = sorted((" ".join(each) for each in sentences(text)), key=grade, reverse=True)
    return [f"{grade(each):.1f}: {each}" for each in scored[:count]]
