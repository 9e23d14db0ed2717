"""Keeps a record and its copy as this version writes them, before the schema changes.

`python -m tests.store.freeze`, with the code from before the change; what is kept is never made anew.
"""

import json

from carelog.store.backup import back_up
from carelog.store.tables import VERSION
from tests.store.making import change, entry, fresh
from tests.store.test_versions import VERSIONS, rows


def main() -> None:
    folder = VERSIONS / str(VERSION)
    folder.mkdir()
    file = folder / "record.carelog"
    record = fresh(file)
    record.append([entry(number, details={"amount": "small"}) for number in range(1, 20)])
    record.append([change(20, of=3, details={"amount": "large"}), entry(21, kind="note", note="ends here")])
    record.close()
    back_up(file, folder / "copy.carelog")
    (folder / "entries.json").write_text(json.dumps(rows(file), indent=1) + "\n", encoding="utf-8")
    print(f"Kept in {folder}.")


if __name__ == "__main__":
    main()
