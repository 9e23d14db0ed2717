"""Numbers of Qt's own enumerations, for what is made before the first paint.

By name they aren't to be had one at a time: whoever names one has PySide6 make all 93 enumerations of `Qt`, a
tenth of a start. Qt takes flags of a text as a number, and sets a property of a widget from one.
"""

LEFT = 0x0001
RIGHT = 0x0002
ACROSS = 0x0004
"""In the middle from side to side."""
ABSOLUTE = 0x0010
MIDDLE = 0x0080
"""In the middle from top to bottom."""
CENTRED = ACROSS | MIDDLE
WRAPPED = 0x1000
"""Words go on in the next line."""
PLAIN = 0
"""A text that isn't markup."""
BY_CLICK = 2
BY_ANY_MEANS = 11
"""How something gets the focus: by a press alone; by Tab as well."""
PEN = b"\xa1\x01\x00\x00\x00\x00"
"""A pen as Qt writes one down in its oldest form: solid, with round ends and corners; 1 px wide; black."""
PEN_FORM = 6
