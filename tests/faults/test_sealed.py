"""No spoiled encrypted copy becomes a record, nor one that a wrong key or code was tried on."""

from tests.faults import sealed, upgrading


def test_no_spoiled_encrypted_copy_becomes_a_record_and_each_is_refused_in_its_own_words() -> None:
    outcome = sealed.spoiled(66)
    assert outcome.copies == 66
    assert outcome.is_clean, outcome


def test_without_a_check_spoiled_ones_would_be_taken() -> None:
    assert sealed.spoiled(60, sealed.unchecked).taken


def test_every_slip_in_a_code_is_found_and_its_group_named() -> None:
    assert sealed.slips(300) == (300, 300)


def test_an_upgrade_that_is_killed_is_done_by_the_next_start() -> None:
    outcome = upgrading.killed(6)
    assert outcome.killed == 6
    assert outcome.is_clean, outcome


def test_without_a_transaction_an_upgrade_would_stop_in_between() -> None:
    assert upgrading.killed(6, upgrading.without_a_transaction).between
