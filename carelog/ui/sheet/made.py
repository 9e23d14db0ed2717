"""A sheet that was made: what it shows, its name and its bytes are one value, and never mixed."""

from dataclasses import dataclass

from carelog.analysis.times import month_day
from carelog.domain.paper import SheetRequest
from carelog.text import say, say_n
from carelog.ui import times


@dataclass(frozen=True, slots=True)
class Made:
    """The bytes of a PDF, and the request that they answer."""

    request: SheetRequest
    pdf: bytes

    @property
    def file_name(self) -> str:
        """A file name without the person's name."""
        return file_name(self.request)


def file_name(request: SheetRequest) -> str:
    """The file name of the sheet that is asked for, without the person's name."""
    day = request.until or request.day
    when = day.isoformat() if day else request.week.text() if request.week else ""
    return f"carelog-{request.name}-{when}.pdf"


def title(request: SheetRequest, *, is_finished: bool) -> str:
    """The sheet's title in words: its day, its seven days or its week."""
    if request.day is not None and request.in_columns:
        words = say_n("Sheet of {day}", "Sheet of {count} days from {day}", request.count)
        return words.format(count=request.count, day=times.full_day(request.day))
    if request.day is not None:
        return say("Sheet of {day}").format(day=times.full_day(request.day))
    if request.until is not None and request.name == "course":
        words = say_n("Course of one week to {day}", "Course of {count} weeks to {day}", request.weeks)
        return words.format(count=request.weeks, day=times.full_day(request.until))
    if request.until is not None:
        return say("Sheet of the seven days to {day}").format(day=times.full_day(request.until))
    week = request.week
    assert week is not None
    days = week.days()
    words = say("Sheet of week {week}, {start} to {end}").format(
        week=week.number, start=month_day(days[0]), end=f"{month_day(days[-1])} {days[-1].year}"
    )
    return words if is_finished else f"{words}. {say('Not finished yet.')}"
