"""The palettes: day, night, high contrast light and dark: own colours, whatever the desktop's theme says.

Contrasts on ground / surface / rail, after WCAG 2.2: day ink 14.2/16.0/12.9, soft 7.8/8.8/7.0, line
3.4/3.9/3.1, accent 8.1/9.2/7.4, ring 7.2/8.1/6.5; night, everywhere alike: ink 7.1, soft 7.0, line 3.0,
accent 4.0 (never text), ring 6.5 (measured). At night soft is told by its words alone: 7:1 leaves no room.
"""

from typing import NamedTuple

from PySide6.QtGui import QColor, QPalette

GROUND = QPalette.ColorRole.Window
SURFACE = QPalette.ColorRole.Base
INK = QPalette.ColorRole.WindowText
SOFT = QPalette.ColorRole.PlaceholderText
LINE = QPalette.ColorRole.Mid
ACCENT = QPalette.ColorRole.Link
RING = QPalette.ColorRole.Highlight
RAIL = QPalette.ColorRole.AlternateBase
LARGE_INK = QPalette.ColorRole.LinkVisited
"""Ink for letters that always have 24 px: in a dark room they are read at 4.5:1 (WCAG 2.2, 1.4.6)."""


class Colours(NamedTuple):
    """One palette's colours by what they are for."""

    ground: str
    surface: str
    ink: str
    soft: str
    line: str
    accent: str
    ring: str
    rail: str
    large: str = ""
    """Ink for letters that always have 24 px; the usual one if not given."""


DAY = Colours("#F4F1EA", "#FFFFFF", "#1D2226", "#434C54", "#878174", "#0E4F5C", "#7B2D8B", "#EBE6DA")
NIGHT = Colours(
    "#000000", "#000000", "#A3947C", "#A39378", "#65594B", "#577275", "#B07CC0", "#000000", "#80735E"
)
NIGHT_LARGE = Colours("#000000", "#000000", "#80735E", "#81735B", "#64584A", "#4D6467", "#B07CC0", "#000000")
"""At night from 175 % on: all letters have 24 px and fill the window; they are read at 4.5:1 (WCAG 1.4.6)."""
CONTRAST_LIGHT = Colours(
    "#FFFFFF", "#FFFFFF", "#000000", "#2B2B2B", "#4A4A4A", "#00306B", "#6A007A", "#FFFFFF"
)
CONTRAST_DARK = Colours(
    "#000000", "#000000", "#FFFFFF", "#E0E0E0", "#B0B0B0", "#9FD8FF", "#FFB3FF", "#000000"
)
"""High contrast: text from 13:1, lines from 8:1, no tint of the ground (WCAG 2.2, 1.4.6 asks for 7:1)."""
LOOKS = {
    "day": (DAY, DAY),
    "night": (NIGHT, NIGHT_LARGE),
    "contrast_light": (CONTRAST_LIGHT, CONTRAST_LIGHT),
    "contrast_dark": (CONTRAST_DARK, CONTRAST_DARK),
}
"""Each palette by its name in the settings, as usual and where all letters are large."""


def palette(colours: Colours) -> QPalette:
    """The colours in the roles that every widget reads them from."""
    made = QPalette(QColor(colours.surface), QColor(colours.ground))
    roles = QPalette.ColorRole
    pairs = (  # no mapping: at night several of them are one colour
        (colours.ground, (roles.Window, roles.HighlightedText, roles.ToolTipBase)),
        (colours.surface, (roles.Base, roles.Button, roles.Light, roles.Midlight)),
        (colours.ink, (roles.WindowText, roles.Text, roles.ButtonText, roles.BrightText, roles.ToolTipText)),
        (colours.soft, (roles.PlaceholderText,)),
        (colours.line, (roles.Mid, roles.Dark, roles.Shadow)),
        (colours.accent, (roles.Link,)),
        (colours.large or colours.ink, (roles.LinkVisited,)),
        (colours.ring, (roles.Highlight,)),
        (colours.rail, (roles.AlternateBase,)),
    )
    for colour, wanted in pairs:
        for role in wanted:
            made.setColor(role, QColor(colour))
    made.setColor(QPalette.ColorGroup.Disabled, roles.ButtonText, QColor(colours.soft))
    made.setColor(QPalette.ColorGroup.Disabled, roles.WindowText, QColor(colours.soft))
    made.setColor(QPalette.ColorGroup.Disabled, roles.Text, QColor(colours.soft))
    return made
