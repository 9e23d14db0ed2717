"""Sheets for paper: bytes out, the same input gives the same bytes."""

from carelog.domain.paper import SheetRequest
from carelog.sheet.press import NAMES, Press, checked, make

__all__ = ["NAMES", "Press", "SheetRequest", "checked", "make"]
