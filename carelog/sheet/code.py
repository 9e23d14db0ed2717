"""A text as a QR code: drawn as rectangles, so that every canvas can paint it."""

from functools import lru_cache

from carelog.analysis.drawing import Fill, Part, Rectangle

QUIET = 4
"""Modules of white around a code (ISO/IEC 18004)."""
Modules = tuple[tuple[bool, ...], ...]


@lru_cache(maxsize=4)
def modules(text: str) -> Modules:
    """The code's rows, dark modules True, without the white around it: plain UTF-8, level M.

    `segno.DataOverflowError` for a text of more than 2331 bytes.
    """
    import segno  # with the first card

    code = segno.make_qr(text.encode(), error="m", mode="byte", boost_error=False)
    return tuple(tuple(bool(module) for module in row) for row in code.matrix)


def code_parts(rows: Modules, x: float, y: float, module: float) -> tuple[Part, ...]:
    """A code with its upper left dark corner at a place, each module so many points wide."""
    return tuple(
        Rectangle(
            x + left * module, y + top * module, (right - left) * module, (low - top) * module, Fill.INK, 0
        )
        for left, right, top, low in _merged(rows)
    )


def _merged(rows: Modules) -> list[tuple[int, int, int, int]]:
    """Dark stretches as (left, right, top, low); equal ones of neighbouring rows are one: no seams."""
    found: list[tuple[int, int, int, int]] = []
    above: dict[tuple[int, int], int] = {}
    for number, row in enumerate((*rows, ())):
        here = {stretch: above.get(stretch, number) for stretch in _stretches(row)}
        found += [(*stretch, top, number) for stretch, top in above.items() if stretch not in here]
        above = here
    return sorted(found, key=lambda each: (each[2], each[0]))


def _stretches(row: tuple[bool, ...]) -> list[tuple[int, int]]:
    found, start = [], None
    for place, dark in enumerate((*row, False)):
        if dark and start is None:
            start = place
        elif not dark and start is not None:
            found.append((start, place))
            start = None
    return found
