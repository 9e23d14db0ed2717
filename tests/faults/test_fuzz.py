"""Broken and hostile exchange files never crash an import and never get in by half."""

from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from typing import TypeVar

from tests.faults import fuzz, monsters

FILES = 250
Found = TypeVar("Found")


def alone(job: Callable[..., Found], *words: object) -> Found:
    """A job in a process of its own, whose memory is nobody else's."""
    with ProcessPoolExecutor(1, get_context("spawn")) as process:
        return process.submit(job, *words).result()


def test_broken_files_are_refused_in_words_or_taken_soundly() -> None:
    outcome = alone(fuzz.many, FILES)
    assert outcome.files == FILES
    assert outcome.refused > FILES / 2
    assert outcome.taken > FILES / 20
    assert outcome.is_clean, outcome
    assert outcome.megabytes < 500


def test_monsters_are_met_in_bounded_memory() -> None:
    outcome = alone(monsters.meet, 0.05)
    assert outcome.met == 13
    assert outcome.refused >= 6
    assert not outcome.crashes
    assert not outcome.left
    assert outcome.megabytes < 500


def test_an_import_line_by_line_is_caught_half_done() -> None:
    assert fuzz.many(60, merge=fuzz.line_by_line).changed
