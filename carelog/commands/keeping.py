"""`carelog check`, `backup`, `restore`: that the record is sound, a verified copy, and back from one."""

from pathlib import Path

from carelog.app.backups import name_of
from carelog.app.installation import installation_id
from carelog.commands import records
from carelog.commands.surroundings import Surroundings
from carelog.commands.usage import Given
from carelog.domain.trouble import Trouble, WrongUse
from carelog.paths import PRIVATE_FOLDER
from carelog.text import say, say_n


def check(given: Given, around: Surroundings) -> int:
    """Verify the whole record."""
    from carelog.store.opening import check_file

    path = Path(given.needed("record"))
    count, damage = check_file(path)
    if not damage:
        around.say(
            say_n(
                "No damage found: one entry checked.", "No damage found: {count} entries checked.", count
            ).format(count=count)
        )
        return 0
    for each in damage:
        around.say(f"{each.where}: {each.what}")
    raise Trouble(
        say_n(
            "“{name}” is damaged in one place. Keep it, and get a backup back with carelog restore.",
            "“{name}” is damaged in {count} places. Keep it, and get a backup back with carelog restore.",
            len(damage),
        ).format(name=path.name, count=len(damage))
    )


def backup(given: Given, around: Surroundings) -> int:
    """Make a verified copy and say where it is on the last line."""
    from carelog.store.backup import back_up

    _no_code_yet(given)
    path, folder = Path(given.needed("record")), Path(given.needed("to"))
    with records.opened(path, around) as record:
        person = record.person()
    name = name_of(person, installation_id(around.places.installation), around.clock.now())
    target = _free(_folder(folder) / name)
    count = back_up(path, target)
    around.say(
        say_n(
            "One entry copied and read back. The copy isn't encrypted.",
            "{count} entries copied and read back. The copy isn't encrypted.",
            count,
        ).format(count=count)
    )
    around.say(str(target.resolve()))
    return 0


def _folder(folder: Path) -> Path:
    try:
        folder.mkdir(parents=True, exist_ok=True, mode=PRIVATE_FOLDER)
    except OSError as error:
        raise Trouble(
            say("No copy was made: “{folder}” can't be used as a folder ({cause}).").format(
                folder=folder, cause=error.strerror
            )
        ) from error
    return folder


def _free(target: Path) -> Path:
    """The name, or for a second copy within one second the next that is free."""
    number, found = 1, target
    while found.exists():
        number += 1
        found = target.with_name(f"{target.stem}-{number}{target.suffix}")
    return found


def restore(given: Given, around: Surroundings) -> int:
    """Get a record back from a copy, never over one that is there."""
    from carelog.store.backup import restore as bring_back

    _no_code_yet(given)
    target = Path(given.needed("record"))
    count = bring_back(Path(given.values[0]), target)
    around.say(
        say_n("One entry is back in {file}.", "{count} entries are back in {file}.", count).format(
            count=count, file=target
        )
    )
    return 0


def _no_code_yet(given: Given) -> None:
    if given.has("code"):
        raise WrongUse(say("--code isn't built yet; copies aren't encrypted."))
