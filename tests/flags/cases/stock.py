"""Stock that runs low: 2 dressings a recorded day, a lead time of 7 days and 7 days' reserve."""

from tests.flags.cases.case import Case

USE = [f"{day} {hour}:00 stoma dressing=changed" for day in range(1, 15) for hour in ("08", "20")]
"""On 14 recorded days two dressings each: 2 a day from the 2nd on."""
MORE = [f"{day} {hour}:00 stoma dressing=changed" for day in range(15, 29) for hour in ("08", "20")]


def count(*lines: str, more: bool = False) -> list[str]:
    """The use of two weeks (or four), and other lines."""
    return [*USE, *(MORE if more else []), *lines]


CASES: dict[str, Case] = {
    "what is used a day, as somebody wrote, counts where the record knows of no use": (
        "stock_low",
        [
            "2 08:00 stock item=gloves count=15 per_day=1",
            "3 08:00 stock item=gloves count=14",
            "4 08:00 stock item=gloves count=30",
        ],
        ["gloves note 3 08:00..4 08:00 entry"],
    ),
    "no more than the lead time is a call, by that too": (
        "stock_low",
        ["2 08:00 stock item=gloves count=14 per_day=2"],
        ["gloves call 2 08:00.."],
    ),
    "with nothing said of it there is no flag": ("stock_low", ["2 08:00 stock item=gloves count=1"], []),
    "28 left at 2 a day are 14 days: a note": (
        "stock_low",
        count("15 12:00 stock item=dressing count=28"),
        ["dressing note 15 12:00.."],
    ),
    "29 left are more than 14 days": ("stock_low", count("15 12:00 stock item=dressing count=29"), []),
    "15 left are more than the lead time": (
        "stock_low",
        count("15 12:00 stock item=dressing count=15"),
        ["dressing note 15 12:00.."],
    ),
    "14 left are no more than the lead time: a call": (
        "stock_low",
        count("15 12:00 stock item=dressing count=14"),
        ["dressing call 15 12:00.."],
    ),
    "with an order on its way they are a note, until its date has passed": (
        "stock_low",
        count(
            "15 11:00 order item=dressing count=50 expected=2026-11-16",
            "15 12:00 stock item=dressing count=12",
        ),
        ["dressing call 15 12:00.."],
    ),
    "an order makes the call a note": (
        "stock_low",
        count("15 12:00 stock item=dressing count=14", "15 13:00 order item=dressing count=50"),
        ["dressing call 15 12:00..15 13:00 entry", "dressing note 15 13:00.."],
    ),
    "an order of another item doesn't": (
        "stock_low",
        count("15 12:00 stock item=dressing count=14", "15 13:00 order item=HME count=50"),
        ["dressing call 15 12:00.."],
    ),
    "a delivery that is enough ends it": (
        "stock_low",
        count("15 12:00 stock item=dressing count=14", "15 13:00 stock item=dressing delta=50"),
        ["dressing call 15 12:00..15 13:00 entry"],
    ),
    "a delivery that isn't leaves a note": (
        "stock_low",
        count("15 12:00 stock item=dressing count=14", "15 13:00 stock item=dressing delta=5"),
        ["dressing call 15 12:00..15 13:00 entry", "dressing note 15 13:00.."],
    ),
    "an order without a date is out until the next delivery": (
        "stock_low",
        count(
            "15 11:00 order item=dressing count=5",
            "15 12:00 stock item=dressing count=14",
            "15 13:00 stock item=dressing delta=-2",
            "15 14:00 stock item=dressing delta=1",
        ),
        ["dressing call 15 12:00.."],
    ),
    "use brings it down to a note at that entry": (
        "stock_low",
        [*USE[:20], "1 09:00 stock item=dressing count=60"],
        [],
    ),
    "the plan's lead time and reserve count": (
        "stock_low",
        count("1 00:00 plan set_by=nurse lead_days=2 reserve_days=1", "15 12:00 stock item=dressing count=7"),
        [],
    ),
    "at the plan's lead time it calls": (
        "stock_low",
        count("1 00:00 plan set_by=nurse lead_days=2 reserve_days=1", "15 12:00 stock item=dressing count=4"),
        ["dressing call 15 12:00.."],
    ),
    "what nobody counted is never low": ("stock_low", count("15 12:00 stock item=dressing delta=1"), []),
    "what nobody uses is never low": ("stock_low", count("15 12:00 stock item=HME count=0"), []),
    "use on the day itself counts as used, but not in the average": (
        "stock_low",
        ["1 07:00 stock item=dressing count=30", "1 08:00 stoma dressing=changed"],
        [],
    ),
    "the average is over recorded days": (
        "stock_low",
        [
            "1 07:00 stock item=dressing count=30",
            "1 08:00 stoma dressing=changed",
            "2 08:00 mouth_care",
            "3 08:00 mouth_care",
            "3 09:00 stock item=dressing count=7",
        ],
        ["dressing note 3 09:00.."],
    ),
    "a note that use makes a call grows": (
        "stock_low",
        count(
            "15 00:00 stock item=dressing count=17",
            "15 08:00 stoma dressing=changed",
            "15 09:00 stoma dressing=changed",
            "15 10:00 stoma dressing=changed",
        ),
        ["dressing call 15 00:00.."],
    ),
    "time alone never ends it, though less is used: a count does": (
        "stock_low",
        count(
            "15 12:00 stock item=dressing count=28",
            *(f"{day} 08:00 mouth_care" for day in range(16, 32)),
            "32 12:00 stock item=dressing count=28",
        ),
        ["dressing note 15 12:00..32 12:00 entry"],
    ),
    "the use of another day, written down late, raises it when it is known": (
        "stock_low",
        count(
            "16 08:00 stock item=dressing count=30",
            "14 21:00 > 16 09:00 stoma dressing=changed",
            "14 22:00 > 16 10:00 stoma dressing=changed",
        ),
        ["dressing note 16 10:00.."],
    ),
    "a use that was a slip mends it": (
        "stock_low",
        [
            *USE,
            "15 11:00 stock item=dressing count=29",
            "a: 15 12:00 stoma dressing=changed",
            "15 13:00 withdraw a",
        ],
        ["dressing note 15 12:00..15 13:00 entry"],
    ),
}
