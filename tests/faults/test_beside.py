"""What lies beside a record does nothing, and nothing is written where nobody said so."""

import pytest

from tests.faults import beside, network, places


def test_files_made_to_lie_beside_a_record_do_nothing_and_it_is_read_as_without_them() -> None:
    done = beside.many(60)
    assert done.files == 60
    assert (done.effects, done.misread, done.crashes) == ([], [], [])


def test_the_same_files_have_effects_where_they_are_opened_as_they_come() -> None:
    """The control."""
    assert beside.trusting(60) > 5


@pytest.mark.display("strace")
def test_a_journey_writes_only_where_somebody_said_so() -> None:
    reason = network.why_not("strace")
    if reason:
        pytest.skip(reason)
    done = places.journey(is_short=True)
    assert done.said.startswith("journey done"), done
    assert done.calls > 20
    assert done.elsewhere == ()


@pytest.mark.display("strace")
def test_the_trace_sees_a_file_that_a_library_makes_elsewhere() -> None:
    """The control."""
    reason = network.why_not("strace")
    if reason:
        pytest.skip(reason)
    done = places.control()
    assert len(done.elsewhere) == 1
    assert done.elsewhere[0].endswith("letter.txt")
