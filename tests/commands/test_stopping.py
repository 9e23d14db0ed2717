"""An export that is stopped leaves nothing behind, in each form."""

from contextlib import closing
from pathlib import Path

import pytest

from carelog.commands.giving import give
from carelog.domain.giving import GiveRequest
from carelog.domain.paper import Cancelled
from tests.store.making import entry, fresh


@pytest.mark.parametrize("form", ["exchange", "csv", "xlsx", "html", "fhir", "zip"])
@pytest.mark.parametrize("after", [0, 2])
def test_a_stopped_export_leaves_nothing(tmp_path: Path, form: str, after: int) -> None:
    folder = tmp_path / "out"
    folder.mkdir()
    with closing(fresh(tmp_path / "a.carelog")) as record:
        record.append([entry(number) for number in range(1, 1200)])
        asked = iter(range(10_000))
        with pytest.raises(Cancelled):
            give(
                GiveRequest(form),
                record,
                folder / "given",
                record.everything()[-1].recorded_at,
                None,
                lambda: next(asked) >= after,
            )
    assert list(folder.iterdir()) == []
