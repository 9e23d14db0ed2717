"""`carelog check`, `backup`, `restore`: that the record is sound, a verified copy, and back from one."""

from pathlib import Path

from carelog.app.backups import name_of
from carelog.app.installation import installation_id
from carelog.commands import records, sealing
from carelog.commands.surroundings import Surroundings
from carelog.commands.usage import Given
from carelog.domain.trouble import Trouble
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
    """Make a verified copy and say where it is on the last line; encrypted, once a code was made."""
    path, folder = Path(given.needed("record")), Path(given.needed("to"))
    with records.opened(path, around) as record:
        person = record.person()
    is_sealed = not given.has("plain") and sealing.has_code(around)
    installation = installation_id(around.places.installation)
    name = name_of(person, installation, around.clock.now(), is_sealed)
    target = _free(_folder(folder) / name)
    count = sealing.make_copy(path, target, around)
    copied = say_n("One entry copied and read back.", "{count} entries copied and read back.", count).format(
        count=count
    )
    how = say("The copy is encrypted.") if is_sealed else say("The copy isn't encrypted.")
    around.say(f"{copied} {how}")
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
        name, point, ending = target.name.partition(".")
        found = target.with_name(f"{name}-{number}{point}{ending}")
    return found


def restore(given: Given, around: Surroundings) -> int:
    """Get a record back from a copy, never over one that is there; what it holds is said before."""
    from carelog.store.backup import refuse_taken
    from carelog.store.backup import restore as bring_back

    copy, target = Path(given.values[0]), Path(given.needed("record"))
    refuse_taken(target)
    code = sealing.code_for(copy, given, around)
    with sealing.opened_copy(copy, around, code) as file:
        around.say(sealing.contents(file, copy.name))
        count = bring_back(file, target)
    around.say(
        say_n("One entry is back in {file}.", "{count} entries are back in {file}.", count).format(
            count=count, file=target
        )
    )
    return 0
