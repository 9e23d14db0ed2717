"""The counting that the other tests of this folder stand on."""

import pytest

from tests.words.grade import grade, hardest, sentences, syllables

SYLLABLES = {
    1: "tube looked changed wipes breathes don't whole please eyes sheet's through 22:40 38",
    2: "isn't doesn't couldn't table little settled record wanted changes nurse's people every",
    3: "recorder remember computer reminded however usual",
    4: "usually emergency anybody information",
}
"""Words by how many syllables the CMU pronouncing dictionary gives them."""


@pytest.mark.parametrize(
    ("word", "count"), [(word, count) for count, words in SYLLABLES.items() for word in words.split()]
)
def test_a_word_has_as_many_syllables_as_a_dictionary_says(word: str, count: int) -> None:
    assert syllables(word.lower()) == count


def test_the_grade_follows_the_published_formula() -> None:
    # 6 words, 1 sentence, 6 syllables: 0.39 × 6 + 11.8 × 1 − 15.59
    assert grade("The cat sat on the mat.") == pytest.approx(-1.45)


def test_labels_are_not_scored() -> None:
    assert sentences("Emergency contact information unavailable.") == []
    assert grade("Emergency contact information unavailable.") == 0


def test_headings_and_items_of_a_list_stand_for_themselves() -> None:
    found = sentences("# When it happened\n\n- One two three four five\n- Six seven eight nine ten")
    assert found == [["one", "two", "three", "four", "five"], ["six", "seven", "eight", "nine", "ten"]]


def test_trade_words_and_values_are_made_short() -> None:
    assert sentences("The {name} of this tracheostomy's cuff.") == [
        ["the", "tube", "of", "this", "tube", "tube"]
    ]


def test_hard_words_in_a_long_sentence_get_a_high_grade() -> None:
    hard = (
        "Notwithstanding considerable interindividual variability, immediate multidisciplinary "
        "reassessment is recommended whenever physiological deterioration is suspected."
    )
    assert grade(hard) > 12
    assert hardest(f"The cat sat on the mat. {hard}", 1)[0].endswith("suspected")
