"""What a screen reader says by itself, wherever the focus is."""

from PySide6.QtWidgets import QWidget


def announce(widget: QWidget, words: str, *, is_urgent: bool = False) -> None:
    """Say this now; what is urgent breaks into what is being read."""
    if not words:
        return
    from PySide6.QtGui import QAccessible, QAccessibleAnnouncementEvent

    event = QAccessibleAnnouncementEvent(widget, words)
    if is_urgent:
        event.setPoliteness(QAccessible.AnnouncementPoliteness.Assertive)
    QAccessible.updateAccessibility(event)
