"""The tables of a record file: one of entries that only grows, and what the file says about itself.

Nothing here is ever rebuilt: copying the entries into a new table would drop the triggers that guard them.
"""

APPLICATION = 0x634C_6F67
VERSION = 1

PERSON_ID = "person_id"
PERSON_NAME = "person_name"

_ENTRY = """CREATE TABLE entry (
  arrival INTEGER PRIMARY KEY,
  id TEXT NOT NULL UNIQUE,
  kind TEXT NOT NULL,
  at INTEGER NOT NULL,
  at_offset INTEGER NOT NULL,
  zone TEXT NOT NULL,
  recorded_at INTEGER NOT NULL,
  "by" TEXT NOT NULL,
  details TEXT NOT NULL CHECK (json_valid(details)),
  note TEXT NOT NULL,
  source TEXT NOT NULL,
  amends TEXT,
  reason TEXT NOT NULL,
  withdrawn INTEGER NOT NULL CHECK (withdrawn IN (0, 1)),
  content_hash TEXT NOT NULL,
  link TEXT NOT NULL,
  installation INTEGER NOT NULL REFERENCES installation (number)
) STRICT"""

# “Once”: INSERT OR REPLACE removes the row before without asking the trigger against DELETE.
SCHEMA: tuple[str, ...] = (
    "CREATE TABLE heading (name TEXT NOT NULL PRIMARY KEY, value TEXT NOT NULL) STRICT",
    "CREATE TABLE installation (number INTEGER PRIMARY KEY, id TEXT NOT NULL UNIQUE) STRICT",
    _ENTRY,
    "CREATE INDEX entry_at ON entry (at)",
    "CREATE INDEX entry_kind_at ON entry (kind, at)",
    "CREATE INDEX entry_amends ON entry (amends) WHERE amends IS NOT NULL",
    "CREATE INDEX entry_recorded_at ON entry (recorded_at)",
    """CREATE TRIGGER entry_stays BEFORE DELETE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never deleted'); END""",
    """CREATE TRIGGER entry_same BEFORE UPDATE ON entry
BEGIN SELECT RAISE(ABORT, 'an entry is never changed'); END""",
    """CREATE TRIGGER entry_once BEFORE INSERT ON entry
WHEN EXISTS (SELECT 1 FROM entry WHERE id = NEW.id OR arrival = NEW.arrival)
BEGIN SELECT RAISE(ABORT, 'an entry is written once'); END""",
    """CREATE TRIGGER installation_stays BEFORE DELETE ON installation
BEGIN SELECT RAISE(ABORT, 'an installation is never deleted'); END""",
    """CREATE TRIGGER installation_same BEFORE UPDATE ON installation
BEGIN SELECT RAISE(ABORT, 'an installation is never changed'); END""",
    """CREATE TRIGGER heading_stays BEFORE DELETE ON heading WHEN EXISTS (SELECT 1 FROM entry)
BEGIN SELECT RAISE(ABORT, 'the heading of a record with entries stays'); END""",
    """CREATE TRIGGER heading_same BEFORE UPDATE ON heading WHEN EXISTS (SELECT 1 FROM entry)
BEGIN SELECT RAISE(ABORT, 'the heading of a record with entries stays'); END""",
    f"PRAGMA application_id = {APPLICATION}",
    f"PRAGMA user_version = {VERSION}",
)
