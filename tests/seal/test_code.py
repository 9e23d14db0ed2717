"""A recovery code is typed once in years: one slip is found, and told where it is."""

import random

import pytest

from carelog.domain.trouble import Refused
from carelog.seal import code

ROUNDS = 200


def drawn(seed: int) -> str:
    return code.make(random.Random(seed).randbytes(26))


def test_it_has_six_groups_of_five_letters_of_which_none_looks_like_another() -> None:
    groups = code.grouped(drawn(1)).split(" ")
    assert [len(group) for group in groups] == [5] * 6
    assert not set("ILOU") & set(code.LETTERS)
    assert len(set(code.LETTERS)) == 32


def test_two_codes_are_not_the_same() -> None:
    assert len({code.make() for _ in range(ROUNDS)}) == ROUNDS


def test_it_is_read_however_it_was_typed() -> None:
    made = drawn(2)
    shown = code.grouped(made)
    for typed in (shown, shown.lower(), shown.replace(" ", "-"), made, f"  {shown}\n"):
        assert code.read(typed) == made
    assert code.read(shown.replace("0", "o").replace("1", "l").replace("V", "u")) == made


def test_any_wrong_letter_is_found_and_its_group_is_named() -> None:
    made = drawn(3)
    for place in range(30):
        for letter in set(code.LETTERS) - {made[place]}:
            with pytest.raises(Refused) as refused:
                code.read(made[:place] + letter + made[place + 1 :])
            assert f"in group {place // 5 + 1}." in refused.value.sentence


def test_two_neighbours_that_changed_places_are_found_and_their_group_is_named() -> None:
    for seed in range(ROUNDS):
        made = drawn(seed)
        place = seed % 29
        typed = made[:place] + made[place + 1] + made[place] + made[place + 2 :]
        if typed == made:
            continue
        with pytest.raises(Refused, match=f"in group {place // 5 + 1}"):
            code.read(typed)


def test_two_wrong_letters_are_found() -> None:
    rng = random.Random(4)
    for seed in range(ROUNDS):
        letters = list(drawn(seed))
        for place in rng.sample(range(30), 2):
            letters[place] = rng.choice([each for each in code.LETTERS if each != letters[place]])
        with pytest.raises(Refused):
            code.read("".join(letters))


@pytest.mark.parametrize(
    ("typed", "words"),
    [("", "0 were typed"), ("ABCDE", "5 were typed"), ("ABCD! ABCDE", "“!” is in no code. Look at group 1")],
)
def test_what_is_no_code_is_told(typed: str, words: str) -> None:
    with pytest.raises(Refused, match=words):
        code.read(typed)


def test_without_its_check_letters_a_slip_would_go_unseen() -> None:
    made = drawn(5)
    slipped = ("A" if made[0] != "A" else "B") + made[1:26]
    again = slipped + "".join(
        code.LETTERS[value] for value in code._checks([*map(code.LETTERS.index, slipped)])
    )
    assert code.read(again) != made
