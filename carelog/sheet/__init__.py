"""Sheets for paper: bytes out, the same input gives the same bytes."""

from carelog.domain.paper import SheetRequest
from carelog.sheet.making import PaperSheets, checked, make

__all__ = ["PaperSheets", "SheetRequest", "checked", "make"]
