"""The window: PySide6 only here; nothing in it reaches the database.

What needs no Qt is imported first: once PySide6 is there, each further import costs more.
"""

import carelog.app.lock
import carelog.app.settings  # noqa: F401
from carelog.ui.binding import import_qt, leave_imports_alone

import_qt()
leave_imports_alone()
