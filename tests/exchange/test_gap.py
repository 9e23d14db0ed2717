"""A gap begins before the moment at which somebody says so."""

import json

import pytest

from carelog.domain.trouble import Refused
from carelog.kinds import kind_named
from carelog.store.lines import read_line


def written(since: str) -> bytes:
    details = {"since": since}
    return json.dumps({"kind": "gap", "at": "2026-11-22T12:00:00+00:00", "details": details}).encode()


@pytest.mark.parametrize(
    "since", ["2026-11-22T12:00:00+00:00", "2026-11-22T12:30:00+00:00", "2026-11-22T13:00:00+01:00"]
)
def test_a_gap_that_doesnt_begin_before_its_end_is_refused(since: str) -> None:
    with pytest.raises(Refused, match="since"):
        read_line(written(since))


def test_a_gap_that_begins_before_its_end_is_taken() -> None:
    since = "2026-11-22T11:59:59+00:00"
    assert read_line(written(since)).entry.details == {"since": since}


@pytest.mark.parametrize(
    ("details", "is_right"),
    [
        ({"nurse": "NT", "signed": True}, False),
        ({"nurse": "NT", "signed": True, "week": "2026-W47"}, True),
        ({"nurse": "NT", "signed": True, "until": "2026-11-22"}, True),
        ({"nurse": "NT", "signed": False}, True),
        ({"nurse": "NT"}, True),
    ],
)
def test_a_signature_says_what_it_signs(details: dict[str, object], is_right: bool) -> None:
    visit = kind_named("visit")
    assert visit is not None
    assert (not visit.problems(details)) == is_right
