"""Blood, froth, breathing, the catheter, smell, food, crackling."""

from tests.flags.cases.case import Case

CASES: dict[str, Case] = {
    # blood, urgent
    "fresh blood is urgent until somebody is told": (
        "blood",
        ["2 03:00 suction blood=fresh", "2 03:12 seen rule=blood told=Nell"],
        ["urgent 2 03:00..2 03:12 entry"],
    ),
    "red is urgent and never ends by time": ("blood", ["2 03:00 suction colour=red"], ["urgent 2 03:00.."]),
    "red from the mouth is urgent too": (
        "blood",
        ["2 03:00 suction colour=red route=oral"],
        ["urgent 2 03:00.."],
    ),
    "fresh bleeding at a tube change is urgent": (
        "blood",
        ["2 03:00 tube_change id_mm=8 cuff=air inner_tube=none bleeding=fresh"],
        ["urgent 2 03:00.."],
    ),
    "streaks at a tube change show nothing": (
        "blood",
        ["2 03:00 tube_change id_mm=8 cuff=air inner_tube=none bleeding=streaks"],
        [],
    ),
    "blood as the stoma's fluid is urgent": ("blood", ["2 03:00 stoma fluid=blood"], ["urgent 2 03:00.."]),
    "looking without telling ends nothing": (
        "blood",
        ["2 03:00 suction blood=fresh", "2 03:12 seen rule=blood"],
        ["urgent 2 03:00.."],
    ),
    "a name of spaces is nobody": (
        "blood",
        ["2 03:00 suction blood=fresh", "2 03:12 seen rule=blood told=~~"],
        ["urgent 2 03:00.."],
    ),
    "telling about another rule ends nothing": (
        "blood",
        ["2 03:00 suction blood=fresh", "2 03:12 seen rule=froth told=Nell"],
        ["urgent 2 03:00.."],
    ),
    "telling about a subject that the flag doesn't have ends nothing": (
        "blood",
        ["2 03:00 suction blood=fresh", "2 03:12 seen rule=blood subject=x told=Nell"],
        ["urgent 2 03:00.."],
    ),
    # blood, call
    "a second blood-stained suction within 24 h calls for 24 h": (
        "blood",
        ["2 08:00 suction blood=streaks", "2 20:00 suction colour=pink"],
        ["call 2 20:00..3 20:00 time"],
    ),
    "exactly 24 h is within 24 h": (
        "blood",
        ["2 08:00 suction blood=streaks", "3 08:00 suction blood=streaks"],
        ["call 3 08:00..4 08:00 time"],
    ),
    "a second more is not": (
        "blood",
        ["2 08:00 suction blood=streaks", "3 08:00:01 suction blood=streaks"],
        [],
    ),
    "one blood-stained suction shows nothing": ("blood", ["2 08:00 suction blood=streaks"], []),
    "blood none and clear show nothing": (
        "blood",
        ["2 08:00 suction blood=none", "2 09:00 suction colour=clear blood=none"],
        [],
    ),
    "fresh blood isn't the first of two stained": (
        "blood",
        [
            "2 08:00 suction blood=fresh colour=pink",
            "2 08:10 seen rule=blood told=Nell",
            "2 09:00 suction blood=streaks",
        ],
        ["urgent 2 08:00..2 08:10 entry"],
    ),
    "a third within 24 h of the second prolongs the flag": (
        "blood",
        ["2 08:00 suction blood=streaks", "2 20:00 suction blood=streaks", "3 10:00 suction blood=streaks"],
        ["call 2 20:00..4 10:00 time"],
    ),
    "fresh blood after stained makes the flag urgent": (
        "blood",
        ["2 08:00 suction blood=streaks", "2 09:00 suction blood=streaks", "2 10:00 suction blood=fresh"],
        ["urgent 2 09:00.."],
    ),
    "stained blood after fresh doesn't make the flag less": (
        "blood",
        ["2 08:00 suction blood=streaks", "2 09:00 suction blood=fresh", "2 10:00 suction blood=streaks"],
        ["urgent 2 09:00.."],
    ),
    "telling what was stained ends it": (
        "blood",
        [
            "2 08:00 suction blood=streaks",
            "2 09:00 suction blood=streaks",
            "2 09:30 seen rule=blood told=Nell",
        ],
        ["call 2 09:00..2 09:30 entry"],
    ),
    "the 24 h run from becoming known": (
        "blood",
        ["2 08:00 suction blood=streaks", "2 09:00 > 2 15:00 suction blood=streaks"],
        ["call 2 15:00..3 15:00 time"],
    ),
    "the first of two written down late raises when it becomes known": (
        "blood",
        ["2 09:00 suction blood=streaks", "2 08:00 > 2 15:00 suction blood=streaks"],
        ["call 2 15:00..3 15:00 time"],
    ),
    # froth
    "froth with pink is urgent": ("froth", ["2 08:00 suction frothy=true colour=pink"], ["urgent 2 08:00.."]),
    "froth with red is urgent": ("froth", ["2 08:00 suction frothy=true colour=red"], ["urgent 2 08:00.."]),
    "froth with streaks is urgent": (
        "froth",
        ["2 08:00 suction frothy=true blood=streaks", "2 08:05 seen rule=froth told=Nell"],
        ["urgent 2 08:00..2 08:05 entry"],
    ),
    "froth without blood shows nothing": ("froth", ["2 08:00 suction frothy=true blood=none"], []),
    "pink that isn't frothy shows no froth": ("froth", ["2 08:00 suction frothy=false colour=pink"], []),
    # breathing
    "harder breathing is urgent": (
        "breathing",
        ["2 08:00 suction breathing_after=harder", "9 08:05 seen rule=breathing told=Nell"],
        ["urgent 2 08:00..9 08:05 entry"],
    ),
    "easier and same breathing show nothing": (
        "breathing",
        ["2 08:00 suction breathing_after=easier", "2 09:00 suction breathing_after=same"],
        [],
    ),
    # the catheter
    "a tight catheter calls for 24 h": (
        "catheter_not_passed",
        ["2 08:00 > 2 08:30 suction catheter_passed=tight"],
        ["call 2 08:30..3 08:30 time"],
    ),
    "a catheter that didn't pass is urgent and outlives 24 h": (
        "catheter_not_passed",
        ["2 08:00 suction catheter_passed=no"],
        ["urgent 2 08:00.."],
    ),
    "passing freely by mouth or above the cuff ends nothing": (
        "catheter_not_passed",
        [
            "2 08:00 suction catheter_passed=no",
            "2 09:00 suction catheter_passed=freely route=oral",
            "2 10:00 suction catheter_passed=freely route=subglottic",
        ],
        ["urgent 2 08:00.."],
    ),
    "passing freely without a route ends it": (
        "catheter_not_passed",
        ["2 08:00 suction catheter_passed=no", "2 09:00 suction catheter_passed=freely"],
        ["urgent 2 08:00..2 09:00 entry"],
    ),
    "passing freely before it, written down later, ends nothing": (
        "catheter_not_passed",
        ["2 08:00 suction catheter_passed=no", "2 07:00 > 2 09:00 suction catheter_passed=freely"],
        ["urgent 2 08:00.."],
    ),
    "a tight one written down after a later free one shows nothing": (
        "catheter_not_passed",
        ["2 09:00 suction catheter_passed=freely", "2 08:00 > 2 10:00 suction catheter_passed=tight"],
        [],
    ),
    "tight and then not at all is one flag that grows": (
        "catheter_not_passed",
        ["2 08:00 suction catheter_passed=tight", "2 20:00 suction catheter_passed=no"],
        ["urgent 2 08:00.."],
    ),
    "when the free one turns out to be a slip, it isn't over": (
        "catheter_not_passed",
        [
            "2 08:00 suction catheter_passed=no",
            "a: 2 09:00 suction catheter_passed=freely",
            "2 10:00 withdraw a",
        ],
        ["urgent 2 08:00..2 09:00 entry", "urgent 2 10:00.."],
    ),
    # crackling
    "crackling is urgent": (
        "crackling",
        ["2 08:00 stoma crackling=true", "2 08:30 seen rule=crackling told=Nell"],
        ["urgent 2 08:00..2 08:30 entry"],
    ),
    "no crackling shows nothing": ("crackling", ["2 08:00 stoma crackling=false"], []),
    # smell
    "a new smell calls for 24 h": ("smell", ["2 08:00 suction smell=new"], ["call 2 08:00..3 08:00 time"]),
    "the usual smell shows nothing": ("smell", ["2 08:00 suction smell=usual"], []),
    "telling doesn't end a smell": (
        "smell",
        ["2 08:00 suction smell=new", "2 09:00 seen rule=smell told=Nell"],
        ["call 2 08:00..3 08:00 time"],
    ),
    "the first smell of a stoma calls": (
        "smell",
        ["2 08:00 stoma smell=true"],
        ["call 2 08:00..3 08:00 time"],
    ),
    "a stoma smell that was there at the look before shows nothing new": (
        "smell",
        ["2 08:00 stoma smell=true", "3 12:00 stoma smell=true"],
        ["call 2 08:00..3 08:00 time"],
    ),
    "looks that say nothing about smell are passed over": (
        "smell",
        ["2 08:00 stoma smell=true", "3 09:00 stoma skin=whole", "3 12:00 stoma smell=true"],
        ["call 2 08:00..3 08:00 time"],
    ),
    "a stoma smell that had gone is new again": (
        "smell",
        ["2 08:00 stoma smell=true", "3 09:00 stoma smell=false", "3 12:00 stoma smell=true"],
        ["call 2 08:00..3 08:00 time", "call 3 12:00..4 12:00 time"],
    ),
    "a look between that comes to be known makes the smell new": (
        "smell",
        ["2 08:00 stoma smell=true", "4 08:00 stoma smell=true", "3 08:00 > 4 09:00 stoma smell=false"],
        ["call 2 08:00..3 08:00 time", "call 4 09:00..5 08:00 time"],
    ),
    # food
    "food seen calls for 24 h": (
        "food_seen",
        ["2 08:00 suction food_seen=true"],
        ["call 2 08:00..3 08:00 time"],
    ),
    "no food seen shows nothing": ("food_seen", ["2 08:00 suction food_seen=false"], []),
    "food seen again within 24 h prolongs the flag": (
        "food_seen",
        ["2 08:00 suction food_seen=true", "3 07:59 suction food_seen=true"],
        ["call 2 08:00..4 07:59 time"],
    ),
    "food seen again exactly 24 h later goes on": (
        "food_seen",
        ["2 08:00 suction food_seen=true", "3 08:00 suction food_seen=true"],
        ["call 2 08:00..4 08:00 time"],
    ),
    "food seen a second after the 24 h is a new flag": (
        "food_seen",
        ["2 08:00 suction food_seen=true", "3 08:00:01 suction food_seen=true"],
        ["call 2 08:00..3 08:00 time", "call 3 08:00:01..4 08:00:01 time"],
    ),
    "another entry at the very moment the 24 h are over ends it by entry": (
        "food_seen",
        ["2 08:00 suction food_seen=true", "3 08:00 mouth_care"],
        ["call 2 08:00..3 08:00 entry"],
    ),
}
