"""The tables of a record file: one of entries that only grows, and what the file says about itself.

Nothing here is ever rebuilt: copying the entries into a new table would drop the triggers that guard them.
"""

APPLICATION = 0x634C_6F67

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
_FIRST: tuple[str, ...] = (
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
)

UPGRADES: tuple[tuple[str, ...], ...] = (
    # To version 2: nor does INSERT OR REPLACE rename the person, or give an installation another id.
    (
        """CREATE TRIGGER heading_once BEFORE INSERT ON heading
WHEN EXISTS (SELECT 1 FROM entry) AND EXISTS (SELECT 1 FROM heading WHERE name = NEW.name)
BEGIN SELECT RAISE(ABORT, 'the heading of a record with entries stays'); END""",
        """CREATE TRIGGER installation_once BEFORE INSERT ON installation
WHEN EXISTS (SELECT 1 FROM installation WHERE id = NEW.id OR number = NEW.number)
BEGIN SELECT RAISE(ABORT, 'an installation is written once'); END""",
    ),
)
"""From each version to the next, beginning with the first; one that was released never changes.

A record that can't be upgraded just now is written to as it is: so an upgrade adds what guards or finds
entries, and nothing that writing one needs.
"""

VERSION = 1 + len(UPGRADES)


def steps(since: int, until: int = VERSION) -> tuple[str, ...]:
    """The statements that bring a record from one version to another, that version's mark at their end."""
    between = [statement for upgrade in UPGRADES[since - 1 : until - 1] for statement in upgrade]
    return (*between, f"PRAGMA user_version = {until}")


def schema(version: int = VERSION) -> tuple[str, ...]:
    """All that an empty record of a version is made of: the first version, and each upgrade after it."""
    return (*_FIRST, *steps(1, version))
