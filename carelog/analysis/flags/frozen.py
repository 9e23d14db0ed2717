"""Plain objects of the analysis as bytes and back: a derived state that is kept between two starts.

Only classes of carelog and a few plain ones of Python are made again, so that a file somebody else wrote
can't run anything; what doesn't fit any more is an error, and its reader works the state out anew.
"""

import io
import pickle
from typing import Any

from carelog.analysis.usual import scale
from carelog.domain.moment import Home

OURS = ("carelog.analysis.", "carelog.domain.")
PLAIN = {
    "builtins": {"set", "frozenset"},
    "collections": {"Counter", "OrderedDict", "defaultdict", "deque"},
    "datetime": {"date", "datetime", "time", "timedelta", "timezone"},
    "fractions": {"Fraction"},
}
SCALES = {each.name: each for each in vars(scale).values() if isinstance(each, scale.Scale)}


class Unreadable(Exception):
    """What was kept can't be read any more."""


class _Freezer(pickle.Pickler):
    def persistent_id(self, value: Any) -> tuple[str, str] | None:
        if isinstance(value, scale.Scale):
            return "scale", value.name
        return ("home", value.name) if isinstance(value, Home) else None


class _Thawer(pickle.Unpickler):
    def find_class(self, module: str, name: str) -> Any:
        if module.startswith(OURS) or name in PLAIN.get(module, ()):
            found = super().find_class(module, name)
            if isinstance(found, type):
                return found
        raise Unreadable(f"{module}.{name}")

    def persistent_load(self, named: Any) -> scale.Scale | Home:
        kind, name = named
        return SCALES[name] if kind == "scale" else Home(name)


def freeze(value: Any) -> bytes:
    """A value as bytes; home zones and the scales of the statistics by their names."""
    kept = io.BytesIO()
    _Freezer(kept, protocol=5).dump(value)
    return kept.getvalue()


def thaw(frozen: bytes) -> Any:
    """The value that was frozen; `Unreadable` where it doesn't fit any more."""
    try:
        return _Thawer(io.BytesIO(frozen)).load()
    except Unreadable:
        raise
    except Exception as error:  # a damaged file can raise anything
        raise Unreadable(str(error)) from error
