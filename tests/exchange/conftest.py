"""A new record for each test."""

from tests.store.conftest import path, record  # noqa: F401 — fixtures of the tests of the store
