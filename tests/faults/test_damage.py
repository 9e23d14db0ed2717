"""A damaged record is never made worse: the damage is named, and a copy comes back."""

from contextlib import closing
from pathlib import Path

import pytest

from carelog.domain.trouble import Refused, Trouble
from carelog.store.backup import back_up, examine, lacking, restore, set_aside
from carelog.store.opening import check_file
from tests.faults import damage
from tests.store.making import PERSON, entry, fresh, numbers, opened

DAMAGES = 60


def test_random_damage_is_reported_and_nothing_is_written() -> None:
    outcome = damage.many(DAMAGES)
    assert outcome.damages == DAMAGES
    assert outcome.changed > DAMAGES / 2
    assert outcome.is_clean, outcome


def test_the_structure_alone_does_not_show_a_changed_letter() -> None:
    outcome = damage.many(DAMAGES, damage.only_the_structure)
    assert any(where.startswith("letter") for where in outcome.unreported)


def spoiled(path: Path) -> None:
    """Change one letter of what somebody wrote."""
    content = path.read_bytes()
    assert b"settled" in content
    path.write_bytes(content.replace(b"settled", b"nettled"))


def test_a_changed_letter_is_named_by_its_entry(tmp_path: Path) -> None:
    path = tmp_path / "record.carelog"
    record = fresh(path)
    record.append([entry(1), entry(2, note="settled")])
    record.close()
    spoiled(path)
    record = opened(path)
    assert [(each.where, each.what) for each in record.check()] == [
        ("entry 00000000-0000-0000-0000-000000000002", "its content isn't what was written")
    ]
    with pytest.raises(Trouble, match="damaged"):
        record.append([entry(3)])
    record.close()


def test_a_damaged_record_is_set_aside_and_a_copy_says_what_it_lacks(tmp_path: Path) -> None:
    path, copy = tmp_path / "record.carelog", tmp_path / "copy.carelog"
    record = fresh(path)
    record.append([entry(1)])
    assert back_up(path, copy) == 1
    record.append([entry(2, note="settled"), entry(3)])
    record.close()
    spoiled(path)
    assert lacking(path, copy) == 1
    found = examine(copy)
    assert (found.count, found.recorded_up_to, found.damage) == (1, entry(1).recorded_at, ())
    assert found.person == PERSON
    with pytest.raises(Trouble, match="damaged"):
        back_up(path, tmp_path / "worse.carelog")
    with pytest.raises(Refused, match="there already"):
        restore(copy, path)
    before = path.read_bytes()
    aside = set_aside(path, "2026-11-25")
    assert aside.read_bytes() == before
    assert restore(copy, path) == 1
    with closing(opened(path)) as record:
        assert numbers(record.everything()) == [1]
    assert set_aside(path, "2026-11-25").name == "record.damaged-2026-11-25-2.carelog"
    names = {each.name for each in tmp_path.iterdir()}
    assert not {name for name in names if "new-" in name or "worse" in name}


def test_a_check_says_what_and_where_however_damaged_the_file_is(tmp_path: Path) -> None:
    path = tmp_path / "record.carelog"
    record = fresh(path)
    record.append([entry(n, note="n" * 300) for n in range(200)])
    record.close()
    assert check_file(path) == (200, [])
    whole = path.read_bytes()
    path.write_bytes(whole[:50_000])
    assert any("its end is missing" in each.what for each in check_file(path)[1])
    path.write_bytes(whole[:4096] + bytes(4096) * 3 + whole[4096 * 4 :])
    assert check_file(path)[1]
    path.write_bytes(whole[:60])
    assert "end is missing" in check_file(path)[1][0].what
    path.write_bytes(b"text")
    with pytest.raises(Refused, match="not a carelog record"):
        check_file(path)
    with pytest.raises(Trouble, match="no record"):
        check_file(tmp_path / "none.carelog")


def test_copies_that_are_cut_flipped_or_not_ours_make_no_record(tmp_path: Path) -> None:
    path, copy, target = (tmp_path / f"{name}.carelog" for name in ("record", "copy", "target"))
    record = fresh(path)
    record.append([entry(n, note="settled") for n in range(40)])
    back_up(path, copy)
    record.close()
    whole = copy.read_bytes()
    for content in (
        whole[:50],
        whole[: len(whole) // 2],
        whole.replace(b"settled", b"nettled", 1),
        b"",
        b"text",
    ):
        copy.write_bytes(content)
        with pytest.raises(Trouble):
            restore(copy, target)
        assert not target.exists()
    copy.write_bytes(whole)
    assert restore(copy, target) == 40
