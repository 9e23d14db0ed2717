"""The power is off: since when, what runs on battery until when, what else there is, whom to ring."""

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QWidget

from carelog.analysis.battery import whole
from carelog.analysis.machines import machine_words
from carelog.analysis.power import OnBattery, Power
from carelog.analysis.times import month_day, span
from carelog.domain.moment import MINUTE
from carelog.kinds.checklist import CHECKLIST
from carelog.kinds.contact import CONTACT
from carelog.kinds.incident import INCIDENT
from carelog.text import mark, say, say_n
from carelog.ui import times
from carelog.ui.access import Access
from carelog.ui.button import Button, Main
from carelog.ui.column import row
from carelog.ui.kit.panel import Panel, told_row
from carelog.ui.kit.registered import RegisteredPanel
from carelog.ui.kit.view import ThingsView
from carelog.ui.naming import contact_words
from carelog.ui.preferences import Preferences
from carelog.ui.present import Present
from carelog.ui.slips import Slips
from carelog.ui.theme import Size, is_dark
from carelog.ui.words import Words

if TYPE_CHECKING:
    from carelog.analysis.things import Things
    from carelog.app.kit_battery import ComputerBattery
    from carelog.app.logbook import Logbook
    from carelog.domain.entry import Details, Entry
    from carelog.ui.kit.reader import ThingsFound

CUT = {"what": "power_cut"}
LIST = "power_cut"
PANEL_LEAST = 380  # px at 100 %


class PowerPage(ThingsView):
    """One press says that it went off, one that it is on again."""

    title = mark("Power cut")
    is_by_minute = True

    def __init__(
        self,
        access: Access,
        present: Present,
        slips: Slips,
        preferences: Preferences,
        open_form: "Callable[[str, Details | None], None]",
    ) -> None:
        super().__init__(access, present, slips, "power")
        self._preferences = preferences
        self._open_form = open_form

    def opened(self) -> None:
        """What was just saved stays told: it may have begun on another page."""
        self.look()

    def shown(self, found: "ThingsFound") -> object:
        return found, is_dark()

    # Showing --------------------------------------------------------------------------------------

    def fill_found(self, found: "ThingsFound") -> None:
        self._tell_state(found.things)
        things = found.things
        self.list(
            [
                self._runs(things, found.battery),
                self._ring(things.power),
                self._own_list(things.power),
                self._plan(things),
                RegisteredPanel(things.power, self._open_form),
            ],
            least=PANEL_LEAST,
        )

    def _tell_state(self, found: "Things") -> None:
        """Since when it is off; and the one press that changes it."""
        since, home = found.power.since, found.kit.home
        if since is None:
            self.across(Words(say(mark("No power cut is written down that goes on."))))
            press = Main(say(mark("Power is off")), "power_off")
            press.clicked.connect(lambda: self.begin(press.taken_stamp()))
        else:
            words = say(mark("Off since {time}, for {span}"))
            time = times.near(home, since, found.now)
            self.across(Words(words.format(time=time, span=span(found.now - since)), Size.RECEIPT))
            press = Main(say(mark("Power is on again")), "power_on")
            press.clicked.connect(lambda: self._end(found.power, press.taken_stamp()))
        words = say(mark("light screen")) if is_dark() else say(mark("dark screen"))
        dark = Button.calling(words, "power_dark", self._flip)
        self.across(row(press, dark))

    def _runs(self, found: "Things", battery: "ComputerBattery | None") -> QWidget:
        made = Panel(say(mark("Runs on battery")), "power_runs")
        for each in found.power.machines:
            is_known = each.lasts is not None
            made.add(told_row(machine_words(each.machine), self._until(each, found), is_strong=is_known))
            for remark in _remarks(each, found):
                made.words(remark, soft=True)
        if not found.power.machines:
            made.words(say(mark("No machine was looked at yet, by this record.")), soft=True)
        made.words(say(mark("Reckoned as if it ran all the time.")), soft=True)
        made.words(f"{say(mark('This computer'))}: {_computer_words(battery)}")
        return made

    def _until(self, each: OnBattery, found: "Things") -> str:
        if each.lasts is None:
            return say(mark("no run on battery written down"))
        if each.until is None:
            return say(mark("about {minutes}\N{NO-BREAK SPACE}min")).format(
                minutes=whole(each.lasts.cautious)
            )
        time = times.near(found.kit.home, each.until, found.now)
        is_over = each.until <= found.now
        words = mark("until about {time}, which is past") if is_over else mark("until about {time}")
        return say(words).format(time=time)

    def _ring(self, power: Power) -> QWidget:
        made = Panel(say(mark("Ring first")), "power_ring")
        for number, held in enumerate(power.contacts):
            made.words(contact_words(held.entry.details), Size.STRONG if number == 0 else Size.TEXT)
        if not power.contacts:
            made.words(say(mark("No contact recorded.")), soft=True)
        if not any(held.entry.details.get("for") == "power" for held in power.contacts):
            made.words(say(mark("No number to ring about the power is written down.")), soft=True)
            given = {"for": "power"}
            write = Button.calling(
                say(mark("write it down …")), "power_contact", lambda: self._open_form(CONTACT.name, given)
            )
            write.setAccessibleName(say(mark("write it down: whom to ring about the power")))
            made.row(write)
        return made

    def _own_list(self, power: Power) -> QWidget:
        made = Panel(say(mark("What else there is")), "power_list")
        for line in power.lines:
            made.words(line)
        if not power.lines:
            words = mark("No list yet. Some homes note a foot or hand pump, a car charger, a torch.")
            made.words(say(words), soft=True)
        given = {"list": LIST, **({"items": list(power.lines)} if power.lines else {})}
        made.row(
            Button.calling(
                say(mark("change the list …")) if power.lines else say(mark("write the list …")),
                "power_write_list",
                lambda: self._open_form(CHECKLIST.name, given),
            )
        )
        return made

    def _plan(self, found: "Things") -> QWidget:
        made = Panel(say(mark("In the plan")), "power_plan")
        picture = self._present.picture
        own = picture.person["emergency_plan"] if picture is not None else None
        texts = [own, found.plan.details.get("instructions") if found.plan is not None else None]
        for text in texts:
            if text:
                made.words(str(text))
        if not any(texts):
            made.words(say(mark("Nothing is written down. Use the plan on paper.")), soft=True)
        return made

    # What can be done -----------------------------------------------------------------------------

    def begin(self, stamp: int | None) -> None:
        """The power went off now; `stamp`: the time of the press, wherever it was."""
        self._saving.save(lambda logbook, by: [logbook.record(INCIDENT.name, CUT, by)], stamp)

    def _flip(self) -> None:
        """A dark screen lasts longer, and blinds nobody who looks at it in the dark."""
        self._preferences.flip()
        self.refresh()

    def _end(self, power: Power, stamp: int | None) -> None:
        """An end for each cut that goes on: two people may have written it down."""

        def job(logbook: "Logbook", by: str) -> "list[Entry]":
            return [logbook.record(INCIDENT.name, {**CUT, "ends": held.entry.id}, by) for held in power.cuts]

        self._saving.save(job, stamp)


def _remarks(each: OnBattery, found: "Things") -> list[str]:
    """What the time stands on, and what speaks against it."""
    said = []
    if each.lasts is not None:
        day = month_day(found.kit.home.day(each.lasts.newest))
        words = say_n(
            "by one run of {day}", "by the shorter of {count} runs, the newest {day}", each.lasts.count
        )
        said.append(words.format(count=each.lasts.count, day=day))
        if each.lasts.is_old:
            said.append(say(mark("that is more than 90 days ago")))
    if each.is_not_charged:
        said.append(say(mark("it was found not charged")))
    if each.is_broken:
        said.append(say(mark("it didn't work when it was looked at last")))
    return said


def _computer_words(battery: "ComputerBattery | None") -> str:
    """How long this computer's own battery lasts, as far as the system says."""
    if battery is None:
        return say(mark("the system shows no battery"))
    full = (
        ""
        if battery.percent is None
        else say(mark("{percent}\N{NO-BREAK SPACE}% full")).format(percent=battery.percent)
    )
    if not battery.is_discharging:
        state = say(mark("plugged in, or not in use now"))
    elif battery.minutes is None:
        state = say(mark("how long it lasts, the system doesn't say"))
    else:
        state = say(mark("about {span} left, says the system")).format(span=span(battery.minutes * MINUTE))
    return ", ".join(part for part in (state, full) if part)
