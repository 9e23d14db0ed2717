"""Three computers' records merge to the same set, in whatever order their files come."""

import pytest

from tests.faults import merging


@pytest.mark.parametrize("seed", range(5))
def test_all_orders_give_one_set_and_one_reading(seed: int) -> None:
    outcome = merging.all_orders(seed)
    assert outcome.orders == 6
    assert outcome.is_clean, outcome
    assert outcome.rivals > 0


def test_a_file_that_came_in_part_is_seen(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = merging._file
    monkeypatch.setattr(merging, "_file", lambda path, part: whole(path, part)[:-1])
    assert merging.all_orders().overwritten > 0
