"""The long fault tests, each with its control, and the table of their figures.

usage: python -m tests.faults [--only power,merging] [--part 1.0]
As root on Linux it also cuts the power of a real file system. `--part` takes only so much of each count.
"""

import argparse
import os
import subprocess
import sys
import tempfile
import time
import traceback
from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

import apsw

from tests.bench.measurement import table
from tests.faults import (
    beside,
    copies,
    cuts,
    damage,
    failing,
    fuzz,
    hostile,
    killing,
    loop_disk,
    merging,
    monsters,
    network,
    outputs,
    places,
    sealed,
    surroundings,
    upgrading,
)
from tests.faults.journey import DONE
from tests.faults.line import Line, Row, share

LONG = 2400  # letters; a longer text only makes the same sheets longer


def power(part: float) -> Iterator[Line]:
    """Power cuts by a file layer."""
    cut = cuts.many(share(2000, part), cuts.by_the_store)
    found = (
        f"{cut.acknowledged} acknowledged: {cut.lost} lost, {cut.halves} half, "
        f"{cut.unreadable} unreadable, {cut.damaged} damaged"
    )
    yield Line("power", f"{cut.cuts} power cuts by a VFS that drops and tears", found, cut.is_clean)
    control = cuts.many(share(400, part, least=60), cuts.by_default_settings)
    yield Line(
        "power", f"control: {control.cuts} cuts, default settings", f"{control.lost} lost", control.lost > 0
    )


def real_disk(part: float) -> Iterator[Line]:
    """Power cuts on a real disk."""
    reason = loop_disk.why_not()
    if reason:
        yield Line("disk", "power cuts on real ext4", f"not done: {reason}", None)
        return
    cut = loop_disk.many(share(100, part))
    found = f"{cut.acknowledged} acknowledged: {cut.lost} lost, {cut.unreadable} unreadable"
    yield Line("disk", f"{cut.cuts} power cuts on real ext4", found, cut.is_clean)
    control = loop_disk.many(share(100, part, least=12), control=True)
    found = f"{control.lost} lost, in {control.cuts_that_lost} cuts"
    yield Line("disk", f"control: {control.cuts} cuts, default settings", found, control.lost > 0)


def kills(part: float) -> Iterator[Line]:
    """Killed processes."""
    done = killing.window(share(300, part))
    found = (
        f"{done.acknowledged} shown as saved: {done.lost} lost; typing lost beyond 2 s: "
        f"{len(done.typing_lost)} of {done.typed}"
    )
    yield Line("kill", f"{done.kills} × kill -9 of the real window", found, done.is_clean)
    control = killing.window(share(20, part, least=6), control=True)
    found = f"typing lost beyond 2 s: {len(control.typing_lost)} of {control.typed}"
    yield Line("kill", "control: the window keeps no draft", found, bool(control.typing_lost))
    done = killing.script(share(300, part))
    found = f"{done.acknowledged} told: {done.lost} lost, {done.damaged} damaged"
    yield Line("kill", f"{done.kills} × kill -9 of carelog add --stream", found, done.is_clean)
    done = killing.jobs(share(200, part))
    found = f"{done.acknowledged} finished or there: {done.lost} half, {done.damaged} damaged"
    is_mixed = 0 < done.acknowledged < done.kills
    yield Line("kill", f"{done.kills} × kill -9 of import and backup", found, done.is_clean and is_mixed)
    control = killing.script(share(30, part), control=True)
    yield Line("kill", "control: told before it is saved", f"{control.lost} lost", control.lost > 0)


def calls(part: float) -> Iterator[Line]:
    """Calls that fail, and a disk that runs full."""
    step = max(1, round(1 / part))
    for job in failing.JOBS:
        yield _failing(
            "calls", f"each call of “{job.name}” fails, once and for good", failing.every_call(job, step)
        )
    yield _failing("calls", "each call of copy and restore fails, once and for good", failing.copying(step))
    control = failing.every_call(failing.CONTROL, min(8 * step, 40))
    yield Line("calls", "control: one by one", f"{len(control.between)} between", bool(control.between))
    for job in failing.JOBS:
        outcome = failing.every_call(job, step, apsw.SQLITE_FULL)
        line = _failing("full", f"the disk runs full at each write of “{job.name}”", outcome)
        named = all("disk is full" in each for each in outcome.sentences)
        yield Line(line.figure, line.what, line.found, bool(line.holds) and named)
    if not loop_disk.why_not():
        full = loop_disk.full(share(20, part))
        found = (
            f"{full.acknowledged} acknowledged: {full.lost} lost; cause not named {len(full.unnamed)} times"
        )
        yield Line("full", f"a real disk runs full {full.points} times", found, full.is_clean)


def _failing(figure: str, what: str, outcome: failing.Outcome) -> Line:
    found = (
        f"{outcome.faults} faults, {outcome.told} told: {len(outcome.between)} between, "
        f"{len(outcome.lost)} lost, {len(outcome.tracebacks)} tracebacks, {len(outcome.stuck)} stuck"
    )
    return Line(figure, what, found, outcome.is_clean)


def damages(part: float) -> Iterator[Line]:
    """Damage to the file."""
    done = damage.many(share(1000, part))
    found = (
        f"{done.reported} reported, {done.harmless} harmless: {len(done.crashes)} crashes, "
        f"{len(done.unreported)} unreported, {len(done.written)} written to, "
        f"{len(done.not_restored)} not restored"
    )
    yield Line("damage", f"{done.damages} random damages", found, done.is_clean)
    control = damage.many(share(200, part, least=60), damage.only_the_structure)
    found = f"{len(control.unreported)} unreported"
    yield Line("damage", "control: SQLite's check alone", found, bool(control.unreported))


def backups(part: float) -> Iterator[Line]:
    """Plain copies, and spoiled ones."""
    done = copies.timed(share(110_000, part))
    holds = done.copy <= 5 and done.back <= 60
    found = f"copy with verification {done.copy:.1f} s, restore {done.back:.1f} s"
    yield Line("copies", f"a record of {done.entries} entries", found, holds)
    spoiled = copies.spoiled(share(500, part))
    found = f"{spoiled.refused} refused, {spoiled.harmless} harmless, {len(spoiled.taken)} taken"
    yield Line("spoiled", f"{spoiled.copies} spoiled copies", found, spoiled.is_clean)
    control = copies.spoiled(share(100, part, least=60), copies.by_plain_copy)
    yield Line(
        "spoiled", "control: copied back as they are", f"{len(control.taken)} taken", bool(control.taken)
    )


def envelopes(part: float) -> Iterator[Line]:
    """Encrypted copies: how long they take, spoiled ones, wrong keys, wrong codes."""
    done = sealed.timed(share(110_000, part))
    holds = done.copy <= 5 and done.back <= 60
    found = f"encrypted copy with verification {done.copy:.1f} s, restore by the code {done.back:.1f} s"
    yield Line("sealed", f"a record of {done.entries} entries", found, holds)
    spoiled = sealed.spoiled(share(500, part))
    found = f"{spoiled.refused} refused, {len(spoiled.unnamed)} in other words, {len(spoiled.taken)} taken"
    yield Line("sealed", f"{spoiled.copies} spoiled encrypted copies", found, spoiled.is_clean)
    control = sealed.spoiled(share(100, part, least=60), sealed.unchecked)
    yield Line(
        "sealed", "control: decrypted without a check", f"{len(control.taken)} taken", bool(control.taken)
    )
    count = share(2000, part)
    found_slips, named = sealed.slips(count)
    found = f"{found_slips} found, {named} with their group"
    yield Line("sealed", f"{count} codes with one wrong letter", found, found_slips == named == count)


def migrations(part: float) -> Iterator[Line]:
    """Records of earlier versions."""
    points = share(20, part, least=20)
    done = upgrading.killed(points)
    found = f"{done.between} in between, {done.lost} lost, {done.not_done} not done by the next start"
    yield Line("upgrade", f"{done.killed} kills of an upgrade", found, done.is_clean)
    control = upgrading.killed(points, upgrading.without_a_transaction)
    found = f"{control.between} in between"
    yield Line("upgrade", "control: without a transaction", found, control.between > 0)
    step = max(1, round(1 / part))
    what = "each call of an upgrade fails, once and for good"
    yield _failing("upgrade", what, failing.every_call(upgrading.ON_A_FAILING_DISK, step))
    stepped = failing.every_call(upgrading.WITHOUT_A_TRANSACTION, min(8 * step, 40))
    found = f"{len(stepped.between)} between"
    yield Line("upgrade", "control: one statement after the other", found, bool(stepped.between))


def merges(part: float) -> Iterator[Line]:
    """Several computers."""
    done = [merging.all_orders(seed) for seed in range(share(20, part))]
    found = (
        f"{sum(each.orders for each in done)} orders: {max(each.sets for each in done)} set each, "
        f"{sum(each.double for each in done)} double, {sum(each.overwritten for each in done)} overwritten, "
        f"{sum(each.rivals for each in done)} conflicts shown"
    )
    yield Line("merging", "three computers, 6 orders, each twice", found, all(each.is_clean for each in done))


def texts(part: float) -> Iterator[Line]:
    """Hostile texts."""
    chosen = list(hostile.HOSTILE.values())[: share(len(hostile.HOSTILE), part)]
    households = [hostile.household(text[:LONG]) for text in chosen]
    places = sum(len(each.slots) for each in households)
    for output in outputs.OUTPUTS:
        wrong: list[str] = []
        for each in households:
            with tempfile.TemporaryDirectory() as folder:
                wrong += outputs.wrong(each, Path(folder), output)
        found = f"{len(wrong)} wrong{': ' if wrong else ''}{'; '.join(wrong[:3])}"
        yield Line("texts", f"{len(chosen)} hostile texts, {places} places: {output}", found, not wrong)
        with tempfile.TemporaryDirectory() as folder:
            spoiled = outputs.wrong_when_spoiled(hostile.household(hostile.MIXED), Path(folder), output)
        yield Line("texts", f"control: {output} spoiled", f"{len(spoiled)} wrong", bool(spoiled))


def files(part: float) -> Iterator[Line]:
    """Import files."""
    done = fuzz.many(share(10_000, part))
    found = (
        f"{done.refused} refused, {done.taken} taken: {len(done.crashes)} crashes, {len(done.changed)} half, "
        f"{len(done.unsound)} unsound; slowest {done.slowest:.1f} s, {done.megabytes} MB"
    )
    holds = done.is_clean and done.slowest <= 10 and done.megabytes <= 500
    yield Line("files", f"{done.files} fuzzed import files", found, holds)
    met = monsters.meet(part)
    seconds, name = met.slowest
    found = (
        f"{met.refused} refused, {len(met.crashes)} crashes, {len(met.left)} left a file; "
        f"slowest {seconds:.1f} s ({name}), {met.megabytes} MB"
    )
    holds = not met.crashes and not met.left and seconds <= 10 and met.megabytes <= 500
    yield Line("files", f"{met.met} files made to stop a program", found, holds)
    control = fuzz.many(share(200, part, least=60), merge=fuzz.line_by_line)
    yield Line("files", "control: line by line", f"{len(control.changed)} half", bool(control.changed))


def offline(_part: float) -> Iterator[Line]:
    """No network."""
    for watcher, watch in (("unshare", _namespace), ("strace", _trace)):
        reason = network.why_not(watcher)
        if reason:
            yield Line("offline", f"a whole journey, watched by {watcher}", f"not done: {reason}", None)
        else:
            yield from watch()


def _namespace() -> Iterator[Line]:
    outside = subprocess.run([sys.executable, "-c", network.CALL])
    inside = network.without_network(["-c", network.CALL])
    what = "control: a call to this computer itself, outside and in an empty network namespace"
    is_caught = (outside.returncode, inside.status) == (0, 1)
    yield Line(
        "offline", what, f"status {outside.returncode}, and {inside.status} ({inside.said})", is_caught
    )
    with network.journey() as words:
        done = network.without_network(words)
    yield Line("offline", "a whole journey in an empty network namespace", done.said, done.is_done)


def _trace() -> Iterator[Line]:
    control = network.traced(["-c", network.DELIBERATE])
    found = f"{control.network} network sockets"
    yield Line("offline", "control: a library's own socket, seen by strace", found, control.network == 2)
    with network.journey() as words:
        done = network.traced(words)
    families = ", ".join(f"{count} {family}" for family, count in sorted(done.sockets.items()))
    found = f"{done.said}: {done.network} network sockets (all sockets: {families or 'none'})"
    yield Line("offline", "a whole journey, seen by strace", found, done.is_done and not done.network)


def crafted(part: float) -> Iterator[Line]:
    """What lies beside a record."""
    done = beside.many(share(1000, part, least=20))
    found = (
        f"{len(done.effects)} effects outside, {len(done.misread)} read otherwise, "
        f"{len(done.crashes)} crashes, {done.refused} jobs refused"
    )
    yield Line("beside", f"{done.files} files made to lie beside a record", found, done.is_clean)
    files = share(200, part, least=20)
    effects = beside.trusting(files)
    yield Line("beside", f"control: {files} of them opened as they come", f"{effects} effects", effects > 0)


def named(_part: float) -> Iterator[Line]:
    """Where a journey writes."""
    reason = network.why_not("strace")
    if reason:
        yield Line("places", "files written on a journey, seen by strace", f"not done: {reason}", None)
        return
    control = places.control()
    found = f"{len(control.elsewhere)} seen"
    yield Line("places", "control: a file that a library makes elsewhere", found, len(control.elsewhere) == 1)
    done = places.journey()
    found = f"{done.said}: {done.calls} calls that write, {len(done.elsewhere)} of them elsewhere"
    is_done = done.status == 0 and done.said.startswith(DONE)
    yield Line(
        "places", "a whole journey, its record on another folder", found, is_done and not done.elsewhere
    )


ROWS: dict[str, Row] = {
    "power": power,
    "disk": real_disk,
    "kill": kills,
    "calls": calls,
    "full": calls,
    "damage": damages,
    "copies": backups,
    "spoiled": backups,
    "sealed": envelopes,
    "upgrade": migrations,
    "merging": merges,
    "texts": texts,
    "files": files,
    "offline": offline,
    "beside": crafted,
    "places": named,
    **surroundings.ROWS,
}


def _once(figures: Iterable[str]) -> list[str]:
    """The figures asked for, of those that are measured together the first."""
    return list({ROWS[figure]: figure for figure in reversed([*figures])}.values())[::-1]


def _whole(figure: str, part: float) -> Iterator[Line]:
    """The lines of a figure; one that breaks off is a line too, and the others still run."""
    try:
        yield from ROWS[figure](part)
    except Exception as error:
        traceback.print_exc()
        yield Line(figure, "broke off", repr(error)[:200], False)


def main(arguments: Sequence[str]) -> int:
    """Run them and print the table; 0 when all hold."""
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")  # texts are looked at in windows of this process
    parser = argparse.ArgumentParser(prog="python -m tests.faults")
    parser.add_argument("--only", default=",".join(ROWS))
    parser.add_argument("--part", type=float, default=1.0)
    asked = parser.parse_args(arguments)
    figures = [each.strip() for each in asked.only.split(",")]
    if unknown := [each for each in figures if each not in ROWS]:
        print(f"There is no figure “{'”, “'.join(unknown)}”: choose of {', '.join(ROWS)}.", file=sys.stderr)
        return 2
    lines: list[tuple[Line, float]] = []
    for figure in _once(figures):
        start = time.perf_counter()
        for line in _whole(figure, asked.part):
            took, start = time.perf_counter() - start, time.perf_counter()
            print(f"{line.figure}: {line.what}: {line.found} ({took:.0f} s)", file=sys.stderr, flush=True)
            lines.append((line, took))
    words = {True: "yes", False: "NO", None: "—"}
    rows = [(each.figure, each.what, each.found, words[each.holds]) for each, _ in lines]
    table("Never lost", ("figure", "what was done", "what came of it", "holds"), rows)
    return int(any(line.holds is False for line, _ in lines))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
