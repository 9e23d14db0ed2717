"""No rule changes without a new version of the rules, which is told once where the record is kept."""

import hashlib
from pathlib import Path

from carelog.analysis.rules.table import ROWS
from carelog.analysis.rules.version import VERSIONS, changed_since, newest
from carelog.app.settings import SettingsFile

FINGERPRINT = ("2026-11-28", "493a370c4012e563")
"""The newest version's day, and the rules' words then; a released version never changes its own."""


def fingerprint() -> str:
    """What the rules on what was written say of themselves."""
    rules = [rule for rule, _ in ROWS]
    said = [(r.name, r.raised, r.level, r.clears, r.told, r.told_urgent, r.day, r.falls) for r in rules]
    return hashlib.sha256(repr(sorted(said)).encode()).hexdigest()[:16]


def test_a_rule_that_changes_makes_a_new_version() -> None:
    day, number = FINGERPRINT
    assert str(newest().day) == day
    assert fingerprint() == number


def test_versions_follow_each_other_and_each_says_what_it_changed() -> None:
    days = [each.day for each in VERSIONS]
    assert days == sorted(set(days))
    assert all(each.changes for each in VERSIONS)


def test_what_changed_is_told_to_who_has_seen_an_older_version_only() -> None:
    assert len(changed_since("2026-01-01")) == sum(len(each.changes) for each in VERSIONS)
    assert changed_since(str(newest().day)) == []


def test_the_version_that_was_read_of_is_kept(tmp_path: Path) -> None:
    file = SettingsFile(tmp_path / "settings.json")
    assert file.read().rules_seen == ""
