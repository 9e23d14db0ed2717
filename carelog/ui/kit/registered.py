"""The lists that matter when the power is off: the electricity company's and the ambulance's, with dates."""

from collections.abc import Callable
from datetime import date
from functools import partial
from typing import TYPE_CHECKING

from carelog.analysis.power import Power, renew_by
from carelog.analysis.times import full_day
from carelog.kinds.registration import REGISTRATION
from carelog.text import mark, say
from carelog.ui.button import Button
from carelog.ui.kit.panel import Panel
from carelog.ui.naming import sentence

if TYPE_CHECKING:
    from carelog.domain.entry import Details


class RegisteredPanel(Panel):
    """Each list with its dates, and a way to write down what isn't recorded."""

    def __init__(
        self,
        power: Power,
        open_form: "Callable[[str, Details | None], None]",
        ask_no_more: Callable[[], object] | None = None,
    ) -> None:
        """`ask_no_more`: it stands there as a question, which can be answered by that."""
        super().__init__(say(mark("Registered")), "kit_registered")
        field = REGISTRATION.field("what")
        assert field is not None
        if ask_no_more is not None:
            self.words(say(mark("Is the home on these lists? They help when the power is off.")))
        for what, held in power.registrations:
            name = sentence(field.type.words(what))
            if held is not None:
                self.words(f"{name}: {_registration_words(held.entry.details, renew_by(held))}")
                continue
            self.words(say(mark("{name}: not recorded")).format(name=name), soft=True)
            write = Button.calling(
                say(mark("write it down …")),
                f"register_{what}",
                partial(open_form, REGISTRATION.name, {"what": what}),
            )
            write.setAccessibleName(say(mark("write it down: {name}")).format(name=name))
            self.row(write)
        if ask_no_more is not None:
            self.row(Button.calling(say(mark("don't ask again")), "register_ask_no_more", ask_no_more))


def _registration_words(details: "Details", until: date | None) -> str:
    parts = []
    if "since" in details:
        parts.append(say(mark("since {day}")).format(day=full_day(date.fromisoformat(details["since"]))))
    if until is not None:
        parts.append(say(mark("renew by {day}")).format(day=full_day(until)))
    if "reference" in details:
        parts.append(str(details["reference"]))
    return ", ".join(parts) or say(mark("recorded"))
