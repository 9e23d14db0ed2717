"""A drawing as SVG inside a page; told to whoever can't see it by its words."""

from html import escape

from carelog.analysis.drawing import Anchor, Dot, Drawing, Fill, Label, Part, Rectangle, Straight

_ANCHORS = {Anchor.START: "start", Anchor.MIDDLE: "middle", Anchor.END: "end"}
_FILLS = {Fill.NONE: "none", Fill.PAPER: "#fff", Fill.INK: "#000"}
_STRIPES = {Fill.LIGHT: (0.6, 3.2), Fill.MIDDLE: (0.7, 2.0), Fill.DENSE: (0.9, 1.5)}


def patterns() -> str:
    """The stripes and dots, once a page."""
    found = [
        f'<pattern id="{fill.value}" width="{step}" height="8" patternUnits="userSpaceOnUse">'
        f'<rect width="{width}" height="8"/></pattern>'
        for fill, (width, step) in _STRIPES.items()
    ]
    found.append(
        f'<pattern id="{Fill.DOTS.value}" width="3" height="3" patternUnits="userSpaceOnUse">'
        '<circle cx="1.5" cy="1.5" r=".5"/></pattern>'
    )
    return (
        f'<svg class="patterns" aria-hidden="true" width="0" height="0"><defs>{"".join(found)}</defs></svg>'
    )


def svg(drawing: Drawing, title: str) -> str:
    """The drawing as an image with a name."""
    name = escape(f"{title}: {drawing.words}", quote=True)
    parts = "".join(_part(part) for part in drawing.parts)
    return (
        f'<svg role="img" aria-label="{name}" viewBox="0 0 {_n(drawing.width)} {_n(drawing.height)}" '
        f'width="{_n(drawing.width)}" height="{_n(drawing.height)}">{parts}</svg>'
    )


def _n(value: float) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".")


def _part(part: Part) -> str:
    match part:
        case Straight():
            dash = ' stroke-dasharray="1.6 1.6"' if part.dashed else ""
            return (
                f'<line x1="{_n(part.x1)}" y1="{_n(part.y1)}" x2="{_n(part.x2)}" y2="{_n(part.y2)}" '
                f'stroke="#000" stroke-width="{_n(part.weight)}"{dash}/>'
            )
        case Rectangle():
            return (
                f'<rect x="{_n(part.x)}" y="{_n(part.y)}" width="{_n(part.width)}" '
                f'height="{_n(part.height)}" fill="{_fill(part.fill)}"{_outline(part.weight)}/>'
            )
        case Dot():
            return (
                f'<circle cx="{_n(part.x)}" cy="{_n(part.y)}" r="{_n(part.radius)}" '
                f'fill="{_fill(part.fill)}"{_outline(part.weight)}/>'
            )
        case Label():
            weight = ' font-weight="600"' if part.bold else ""
            weight += ' fill="#fff"' if part.reversed else ""
            return (
                f'<text x="{_n(part.x)}" y="{_n(part.y)}" font-size="{_n(part.size)}" '
                f'text-anchor="{_ANCHORS[part.anchor]}"{weight}>{escape(part.text)}</text>'
            )


def _fill(fill: Fill) -> str:
    return _FILLS.get(fill, f"url(#{fill.value})")


def _outline(weight: float) -> str:
    return f' stroke="#000" stroke-width="{_n(weight)}"' if weight else ""
