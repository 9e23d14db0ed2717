"""A year of twenty suctions a day as a course; and what happened since, in a record of 100,000 entries.

usage: python -m tests.bench.course [--times 5]    (offscreen, or under a display)

Both are held against times on this computer: from the entries at hand to a painted picture 300 ms (its data
are read before), and from the question to all lines 150 ms, reading included. Processor time stands beside.
"""

import argparse
import os
import random
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PySide6.QtWidgets import QApplication

from carelog.analysis.course.axis import days_to
from carelog.analysis.home import home_of
from carelog.analysis.learnt import LEARNT_FROM
from carelog.app.clock import SystemClock
from carelog.app.course import course_of, entries_for
from carelog.app.outlook import Outlook
from carelog.app.since import since_of
from carelog.domain.entry import Entry, new_id
from carelog.domain.moment import DAY_24_H, Instant, Moment
from carelog.store.opening import open_record
from carelog.ui.course.picture import CoursePicture
from carelog.ui.theme import Theme
from tests.bench import measurement, process
from tests.bench.measurement import Figure

A_YEAR, BEFORE = 364, LEARNT_FROM
KINDS = {
    "suction": 20,
    "inner_tube": 4,
    "cuff_pressure": 3,
    "humidity": 3,
    "mouth_care": 3,
    "observations": 2,
}
KINDS |= {"stoma": 1, "ties": 1, "valve": 2, "note": 1}
"""Entries a day, of each kind."""
MANY = 100_000
COURSE_MS, SINCE_MS = 300, 150


def seconds(job: Callable[[], object], times: int) -> tuple[float, float]:
    """The middle of the seconds that a job takes, by the clock and of the processor."""
    clock, processor = [], []
    for _ in range(times):
        start, used = time.perf_counter(), time.process_time()
        job()
        clock.append(time.perf_counter() - start)
        processor.append(time.process_time() - used)
    return statistics.median(clock), statistics.median(processor)


def entries_of(now: Instant) -> Iterator[Entry]:
    """A plan, then each day's entries at even distances; the same for the same moment."""
    rng = random.Random(measurement.SEED)
    start = now - (A_YEAR + BEFORE) * DAY_24_H
    plan = {**process.PLAN, "limits": {"cuff_pressure": {"low": 20, "high": 30, "unit": "cmH2O"}}}
    yield Entry(new_id(start, rng.randbytes(10)), "plan", Moment(start), start, details=plan)
    a_day = [kind for kind, count in KINDS.items() for _ in range(count)]
    for day in range(A_YEAR + BEFORE):
        rng.shuffle(a_day)
        for number, kind in enumerate(a_day):
            at = start + day * DAY_24_H + (number + 1) * DAY_24_H // (len(a_day) + 1)
            details = measurement.details(rng, kind)
            yield Entry(new_id(at, rng.randbytes(10)), kind, Moment(at), at, "Europe/London", "AB", details)


def year(folder: Path, times: int) -> Figure:
    """From the entries of a year to its picture on the screen."""
    path = folder / "year.carelog"
    now = SystemClock().now()
    record = open_record(path, installation="bench", create=measurement.PERSON)
    written = list(entries_of(now))
    for place in range(0, len(written), 20_000):
        record.append(written[place : place + 20_000])
    days = days_to(home_of(record).day(now), A_YEAR)
    entries = entries_for(record, days)
    record.close()
    widget = CoursePicture(lambda _number: None, lambda _number: None)
    widget.resize(1200, 700)

    def opened() -> None:
        course = course_of(entries, days, now)
        widget.show_course(course, course.axis.count - 1)
        widget.grab()

    took, used = seconds(opened, times)
    suctions = sum(each.kind == "suction" for each in entries) / (A_YEAR + LEARNT_FROM)
    shown = f"{took * 1e3:.0f} ms, of the processor {used * 1e3:.0f}; {suctions:.0f} suctions a day"
    return Figure("course", "a year as a course, in 300 ms", used * 1e3 / COURSE_MS, 1.0, shown)


def handing(folder: Path, times: int) -> Figure:
    """What happened since somebody wrote three days ago, of 100,000 entries."""
    record = open_record(process.household(folder / "many.carelog", MANY), installation="bench")
    now = SystemClock().now()
    outlook = Outlook(record)
    then = now - 3 * DAY_24_H
    away = Entry(new_id(then, bytes(10)), "note", Moment(then), then, by="LR", note="Back on Monday.")
    record.append([away])
    picture = outlook.picture(now)
    took, used = seconds(lambda: since_of(record, picture, away.by), times)
    record.close()
    shown = f"{took * 1e3:.0f} ms, of the processor {used * 1e3:.0f}"
    return Figure("13", "what happened since, in 150 ms", used * 1e3 / SINCE_MS, 1.0, shown)


def main() -> int:
    """Measure and print; 0 when both figures hold."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--times", type=int, default=5)
    asked = parser.parse_args()
    Theme(QApplication(sys.argv[:1]))
    with tempfile.TemporaryDirectory() as folder:
        found = [year(Path(folder), asked.times), handing(Path(folder), asked.times)]
    return measurement.figures("Course and handing over", found)


if __name__ == "__main__":
    sys.exit(main())
