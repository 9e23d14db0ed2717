"""Gives the language back that was chosen before a test chose another."""

from collections.abc import Iterator
from contextlib import contextmanager

from carelog import text


@contextmanager
def as_before() -> Iterator[None]:
    """Whatever is chosen within, what was in use before is in use again afterwards."""
    chosen = text._translate, text._translate_n
    try:
        yield
    finally:
        text.use(*chosen)
