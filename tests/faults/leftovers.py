"""What a power cut left beside a record that is no longer there, and files made to look like it."""

import subprocess
import sys
from pathlib import Path

CUT_OFF = """
import os, sqlite3, sys
writer = sqlite3.connect(sys.argv[1], isolation_level=None)
writer.executescript("PRAGMA journal_mode = TRUNCATE; PRAGMA cache_size = 1; BEGIN IMMEDIATE")
columns = [row[1] for row in writer.execute("PRAGMA table_info(entry)") if row[1] not in ("arrival", "id")]
names = ", ".join(f'"{name}"' for name in columns)
sql = f"INSERT INTO entry (id, {names}) SELECT ? || id, {names} FROM entry WHERE arrival = 1"
for number in range(300):
    writer.execute(sql, (number,))
os._exit(0)
"""


def cut_off_in(record: Path) -> None:
    """End a process in the middle of a transaction, as a power cut does: its journal stays, and is hot."""
    subprocess.run([sys.executable, "-c", CUT_OFF, str(record)], check=True)
    assert Path(f"{record}-journal").stat().st_size > 0


def cut_off_and_moved(record: Path) -> Path:
    """The same, and then somebody moved the record away, but not its journal; where it is now."""
    cut_off_in(record)
    return record.rename(record.with_name("moved.carelog"))


def names_another(journal: Path, other: Path) -> None:
    """Let a journal name a further file (SQLite: pager.c), which is removed once it is rolled back."""
    name = bytes(other)
    pages = journal.read_bytes()
    at = len(pages) + (-len(pages)) % 512
    checksum = sum(byte if byte < 128 else byte - 256 for byte in name) & 0xFFFFFFFF
    lock_page = (0x40000000 // 4096 + 1).to_bytes(4, "big")
    end = len(name).to_bytes(4, "big") + checksum.to_bytes(4, "big") + bytes.fromhex("d9d505f920a163d7")
    journal.write_bytes(pages.ljust(at, b"\0") + lock_page + name + end)
