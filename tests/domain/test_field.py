"""What is wrong with a field, in words that a person reads."""

from carelog.kinds.plan import LIMITS


def test_a_part_of_a_group_is_named_by_its_words_not_by_its_name_in_the_file() -> None:
    assert LIMITS.problem({"cuff_pressure": {"low": 20}}) == "cuff pressure: unit is missing"
    assert LIMITS.problem({"spo2_percent": {"low": "x"}}) == "SpO2: at least must be a number"
