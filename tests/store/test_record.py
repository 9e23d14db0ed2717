"""Entries go in once, stay as they are, and come out with their whole chains."""

import sqlite3
import stat
import threading
import time
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings

from carelog.domain.entry import FIRST_LINK, Entry, content_hash, link
from carelog.domain.moment import MINUTE
from carelog.domain.trouble import Refused, Trouble
from carelog.store import engine, queries
from carelog.store.record import StoredRecord
from tests.store.making import PERSON, START, THERE, change, entry, fresh, id_of, numbers, opened
from tests.strategies import entries


def test_the_file_appears_with_the_first_entry_and_is_private(record: StoredRecord, path: Path) -> None:
    assert record.everything() == []
    assert record.person() == PERSON
    assert not path.exists()
    record.append([entry(1)])
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert [each.name for each in path.parent.iterdir()] == [path.name]
    assert record.everything() == [entry(1)]


def test_a_file_that_appears_meanwhile_gets_the_entry_too(record: StoredRecord, path: Path) -> None:
    other = fresh(path, THERE)
    other.append([entry(1)])
    record.append([entry(2)])
    assert numbers(record.everything()) == [1, 2]
    assert numbers(other.everything()) == [1, 2]
    assert record.check() == []
    other.close()


def test_threads_that_need_the_right_to_write_at_once_make_one_way_to_write(
    record: StoredRecord, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One of them reads, where another program was cut off while it wrote; what a second made stayed open."""
    record.append([entry(1)])
    again, writing, made = opened(record.path), engine.writing, list[object]()

    def slowly(*given: Any) -> object:
        time.sleep(0.05)  # time for the others to come
        made.append(writing(*given))
        return made[-1]

    monkeypatch.setattr(engine, "writing", slowly)
    jobs = [again.recover, again.get_ready, again.recover, again.get_ready]
    threads = [threading.Thread(target=job) for job in jobs]
    for each in threads:
        each.start()
    for each in threads:
        each.join()
    again.close()
    assert len(made) == 1


def test_a_file_that_another_process_made_is_seen(record: StoredRecord, path: Path) -> None:
    assert not record.changed()
    other = fresh(path, THERE)
    other.append([entry(1)])
    other.close()
    assert record.changed()
    assert numbers(record.everything()) == [1]
    record.append([entry(2)])
    assert not record.changed()
    assert record.check() == []


def test_what_went_in_comes_out(record: StoredRecord) -> None:
    whole = entry(
        1,
        details={"amount": "small", "later": [{"b": 1.5, "a": None}], "ü": True},
        note="line one\nline two \x00 \u2028 🙂",
        zone="Europe/London",
        source="paper",
        by="",
    )
    withdrawal = entry(2, amends=id_of(1), reason="twice", withdrawn=True)
    record.append([whole, withdrawal])
    assert record.everything() == [whole, withdrawal]
    assert record.check() == []


def test_who_saves_while_everything_is_read_doesnt_wait_for_it_and_isnt_in_it(
    record: StoredRecord, path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(queries, "AT_ONCE", 2)
    record.append([entry(n) for n in range(1, 6)])
    other, others = opened(path, THERE), iter(range(6, 100))
    found = record.everything(lambda: other.append([entry(next(others))]))
    assert numbers(found) == [1, 2, 3, 4, 5]
    assert numbers(record.everything()) == [1, 2, 3, 4, 5, 6, 7, 8]
    other.close()


@settings(max_examples=150)
@given(found=entries)
def test_any_entry_comes_out_as_it_went_in(found: Entry, tmp_path_factory: pytest.TempPathFactory) -> None:
    record = fresh(tmp_path_factory.mktemp("any") / "record.carelog")
    record.append([found])
    assert record.everything() == [found]
    assert record.check() == []
    record.close()


def test_the_same_again_is_skipped_and_other_content_refused(record: StoredRecord) -> None:
    record.append([entry(1)])
    record.append([entry(1), entry(2)])
    with pytest.raises(Refused, match="here, but with other content"):
        record.append([entry(3), entry(1, note="other")])
    assert numbers(record.everything()) == [1, 2]


def test_half_a_character_is_refused_in_words(record: StoredRecord) -> None:
    with pytest.raises(Refused, match="can't be saved"):
        record.append([entry(1, note="\ud800")])


def test_every_list_is_in_the_order_of_recording(record: StoredRecord) -> None:
    record.append([entry(3), entry(1), entry(2, recorded_at=START - MINUTE)])
    assert numbers(record.everything()) == [2, 1, 3]
    assert [place for place, _ in record.arrived(1)] == [2, 3]
    assert numbers([each for _, each in record.arrived(0)]) == [3, 1, 2]
    assert record.last_arrival() == record.count() == 3


def test_a_period_holds_its_start_and_not_its_end(record: StoredRecord) -> None:
    record.append([entry(n) for n in range(5)])
    assert numbers(record.period(START + MINUTE, START + 3 * MINUTE)) == [1, 2]


def test_chains_come_whole_from_any_of_their_members(record: StoredRecord) -> None:
    chain = [entry(1), change(1001, 1), change(2001, 1001), change(3001, 1)]
    record.append([*chain, entry(2)])
    for each in chain:
        assert numbers(record.chain([each.id])) == [1, 1001, 2001, 3001]
        assert numbers(record.period(each.at.instant, each.at.instant + 1)) == [1, 1001, 2001, 3001]
    assert numbers(record.chain([id_of(2), id_of(99)])) == [2]
    assert record.chain([]) == []


def test_the_newest_of_a_kind_by_time_with_their_chains(record: StoredRecord) -> None:
    old = change(9, 2, at=entry(0).at)
    record.append([entry(1), entry(2), entry(3, "ties"), entry(4), old])
    assert numbers(record.newest("suction", 1)) == [4]
    assert numbers(record.newest("suction", 2)) == [2, 4, 9]
    assert record.newest("visit", 5) == []
    assert numbers(record.of_kinds(["ties", "visit"])) == [3]


def test_the_newest_of_each_thing_with_their_chains(record: StoredRecord) -> None:
    machines = [{"name": "small"}, {"name": "large"}, {"name": "large"}, {"name": "large"}, {}]
    checks = [entry(number, "check", details=each) for number, each in enumerate(machines)]
    record.append([*checks, change(9, 0, "check", at=entry(0).at)])
    assert numbers(record.saying("check", "", count=1, each=("name",))) == [0, 3, 4, 9]
    assert numbers(record.saying("check", "name", count=2, each=("name",))) == [0, 2, 3, 9]
    assert numbers(record.saying("check", "name", count=1, before=checks[2].at.instant, each=("name",))) == [
        0,
        1,
        9,
    ]


def test_changes_of_another_kind_and_rings_are_refused(record: StoredRecord) -> None:
    record.append([entry(1), change(2, 3)])
    with pytest.raises(Refused, match="of kind"):
        record.append([change(4, 1, "ties")])
    with pytest.raises(Refused, match="ring"):
        record.append([change(3, 2)])
    with pytest.raises(Refused, match="ring"):
        record.append([change(5, 5)])
    assert numbers(record.everything()) == [1, 2]


def test_a_change_before_its_target_waits_for_it(record: StoredRecord) -> None:
    record.append([change(2, 1, "ties")])
    record.append([entry(1)])
    assert numbers(record.chain([id_of(1)])) == [1, 2]


def test_links_follow_the_order_of_arrival_at_each_installation(record: StoredRecord, path: Path) -> None:
    record.append([entry(2), entry(1)])
    elsewhere = opened(path, THERE)
    elsewhere.append([entry(3)])
    record.append([entry(4)])
    with sqlite3.connect(path) as plain:
        found = dict(plain.execute("SELECT id, link FROM entry").fetchall())
    plain.close()
    first = link(FIRST_LINK, content_hash(entry(2)))
    second = link(first, content_hash(entry(1)))
    assert found == {
        id_of(2): first,
        id_of(1): second,
        id_of(3): link(FIRST_LINK, content_hash(entry(3))),
        id_of(4): link(second, content_hash(entry(4))),
    }
    assert record.check() == []
    elsewhere.close()


def test_what_another_process_wrote_is_seen_once(record: StoredRecord, path: Path) -> None:
    record.append([entry(1)])
    other = opened(path, THERE)
    assert not record.changed()
    other.append([entry(2)])
    assert record.changed()
    assert not record.changed()
    other.append([entry(3)])
    record.append([entry(4)])
    assert record.changed()
    record.append([entry(5)])
    assert not record.changed()
    other.close()


def test_a_moved_or_replaced_file_is_not_written_to(record: StoredRecord, path: Path) -> None:
    record.append([entry(1)])
    aside = path.with_name("aside.carelog")
    path.rename(aside)
    with pytest.raises(Trouble, match="moved, renamed or replaced"):
        record.append([entry(2)])
    with closing(fresh(path)) as new:
        new.append([entry(9)])
    with pytest.raises(Trouble, match="moved, renamed or replaced"):
        record.append([entry(2)])
    with pytest.raises(Trouble, match="moved, renamed or replaced"):
        record.changed()
    for file, wanted in ((path, 9), (aside, 1)):
        with closing(opened(file)) as other:
            assert numbers(other.everything()) == [wanted]
    path.unlink()
    aside.rename(path)
    record.append([entry(2)])
    assert numbers(record.everything()) == [1, 2]


def test_readers_see_the_old_picture_while_another_writes(record: StoredRecord, path: Path) -> None:
    record.append([entry(1)])
    seen: list[list[int]] = []
    other = opened(path, THERE)

    def job(connection: object) -> None:
        other.add(connection, [])  # type: ignore[arg-type]
        seen.append(numbers(record.everything()))

    other.write(job)
    assert seen == [[1]]
    other.close()
