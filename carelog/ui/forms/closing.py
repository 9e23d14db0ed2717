"""The line at the end of a form: whom to ask, never what to conclude."""

from typing import TYPE_CHECKING

from carelog.domain.kind import Kind
from carelog.text import say
from carelog.ui.naming import contact_words

if TYPE_CHECKING:
    from carelog.app.outlook import Picture


def closing_line(kind: Kind, picture: "Picture | None") -> str:
    """The team's contact, where a form ends with it; empty for other kinds."""
    if not kind.ends_with_contact:
        return ""
    if picture is None:
        return say("The team's contact isn't read yet.")
    found = [held.entry.details for held in picture.contacts if held.entry.details.get("for") == "team"]
    if not found:
        return say("If in doubt, ask the team. No contact recorded.")
    words = "; ".join(contact_words(details) for details in found)
    return say("If in doubt, ask the team: {contacts}.").format(contacts=words)
