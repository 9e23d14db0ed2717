"""`carelog demo`: the made-up household's record, its last full week on paper, then the window."""

from pathlib import Path

from carelog.app.demo import demo_home
from carelog.commands import display, paper, times
from carelog.commands.invented import keep_or_make, minute_of
from carelog.commands.surroundings import Surroundings
from carelog.commands.usage import Given
from carelog.domain.moment import DAY_24_H, Instant, Week
from carelog.domain.trouble import Trouble
from carelog.text import say


def demo(given: Given, around: Surroundings) -> int:
    """Make the record and the sheet, say where they are, and open the window if somebody can see it."""
    asked = given.text("until")
    until = None if asked is None else times.read_moment(asked, demo_home()).instant
    named = given.text("record")
    record = Path(named) if named else around.places.demo
    keep_or_make(record, until, around, around.warn)
    around.say(say("The made-up household's record: {file}").format(file=record))
    sheet = _sheet(record, Path(given.text("out") or "."), minute_of(until, around), around)
    around.say(say("The sheet of its last full week: {file}").format(file=sheet))
    around.answers.flush()
    if not display.is_there(around.environment, around.platform):
        around.say(say("There is no display to open the window on."))
        return 0
    from carelog.commands.window import open_window

    return open_window(str(record), around, begins_tour=True)


def _sheet(record: Path, folder: Path, until: Instant, around: Surroundings) -> Path:
    week = Week.of(demo_home().day(until - 7 * DAY_24_H))
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise Trouble(
            say("The folder “{file}” can't be made: {cause}.").format(file=folder, cause=error.strerror)
        ) from error
    target = (folder / f"demo-{week.text()}.pdf").resolve()
    paper.write_week(record, week, target, around)
    return target
