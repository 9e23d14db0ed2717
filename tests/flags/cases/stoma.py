"""The stoma worse than at the look before."""

from tests.flags.cases.case import Case


def looks(lines: list[str], flags: list[str]) -> Case:
    """Looks at the stoma."""
    return ("stoma_worse", lines, flags)


CASES: dict[str, Case] = {
    "redder skin is a note until it is whole again": looks(
        ["2 08:00 stoma skin=whole", "3 08:00 stoma skin=red", "4 08:00 stoma skin=whole"],
        ["note 3 08:00..4 08:00 entry"],
    ),
    "the first look is held against a stoma that is well": looks(
        ["3 08:00 stoma skin=red"], ["note 3 08:00..10 08:00 time"]
    ),
    "a first look that is well shows nothing": looks(
        [
            "3 08:00 stoma skin=whole fluid=none crust=wipes_off pain=2 swelling=false heat=false "
            "redness_fades=true"
        ],
        [],
    ),
    "a look exactly 7 days before is held against it": looks(
        ["2 08:00 stoma skin=red", "9 08:00 stoma skin=red"], ["note 2 08:00..9 08:00 entry"]
    ),
    "a look of more than 7 days before isn't": looks(
        ["2 08:00 stoma skin=red", "9 08:00:01 stoma skin=red"],
        ["note 2 08:00..9 08:00 time", "note 9 08:00:01..16 08:00:01 time"],
    ),
    "broken skin calls": looks(["3 08:00 stoma skin=broken"], ["call 3 08:00..10 08:00 time"]),
    "overgrown skin is a note, and as bad as broken": looks(
        ["3 08:00 stoma skin=overgrown"], ["note 3 08:00..10 08:00 time"]
    ),
    "from broken to overgrown isn't worse": looks(
        ["3 08:00 stoma skin=broken", "6 08:00 stoma skin=overgrown"], ["call 3 08:00..10 08:00 time"]
    ),
    "coloured fluid is a note": looks(["3 08:00 stoma fluid=coloured"], ["note 3 08:00..10 08:00 time"]),
    "coloured fluid from the skin edge calls": looks(
        ["3 08:00 stoma fluid=coloured fluid_from=skin_edge"], ["call 3 08:00..10 08:00 time"]
    ),
    "clear fluid from the skin edge is a note": looks(
        ["3 08:00 stoma fluid=clear fluid_from=skin_edge"], ["note 3 08:00..10 08:00 time"]
    ),
    "fluid from the tube shows nothing": looks(["3 08:00 stoma fluid=coloured fluid_from=tube"], []),
    "blood stands outside the scale": looks(["3 08:00 stoma fluid=blood"], []),
    "fluid from the tube isn't what the next fluid is held against": looks(
        ["2 08:00 stoma fluid=coloured fluid_from=tube", "3 08:00 stoma fluid=clear"],
        ["note 3 08:00..10 08:00 time"],
    ),
    "a stuck crust is worse than one that wipes off": looks(
        ["3 08:00 stoma crust=stuck"], ["note 3 08:00..10 08:00 time"]
    ),
    "a crust that wipes off is worse than none": looks(
        ["2 08:00 stoma crust=none", "3 08:00 stoma crust=wipes_off"], ["note 3 08:00..10 08:00 time"]
    ),
    "a crust that wipes off shows nothing where nothing was recorded before": looks(
        ["3 08:00 stoma crust=wipes_off"], []
    ),
    "pain up by 3 shows": looks(
        ["2 08:00 stoma pain=2", "3 08:00 stoma pain=5"], ["note 3 08:00..10 08:00 time"]
    ),
    "pain up by 2 doesn't": looks(["2 08:00 stoma pain=2", "3 08:00 stoma pain=4"], []),
    "pain of 3 shows where none was recorded": looks(
        ["3 08:00 stoma pain=3"], ["note 3 08:00..10 08:00 time"]
    ),
    "swelling newly there shows": looks(
        ["2 08:00 stoma swelling=false", "3 08:00 stoma swelling=true"], ["note 3 08:00..10 08:00 time"]
    ),
    "heat that was there doesn't": looks(
        ["2 08:00 stoma heat=true", "3 08:00 stoma heat=true"], ["note 2 08:00..9 08:00 time"]
    ),
    "redness that no longer fades calls": looks(
        ["2 08:00 stoma redness_fades=true", "3 08:00 stoma redness_fades=false"],
        ["call 3 08:00..10 08:00 time"],
    ),
    "two fields worse at one look call": looks(
        ["3 08:00 stoma skin=red crust=stuck"], ["call 3 08:00..10 08:00 time"]
    ),
    "two fields worse at two looks call": looks(
        ["3 08:00 stoma skin=red", "4 08:00 stoma heat=true"], ["call 3 08:00..11 08:00 time"]
    ),
    "a second one after the first is back doesn't": looks(
        [
            "3 08:00 stoma skin=red",
            "4 08:00 stoma heat=true skin=whole",
            "5 08:00 stoma heat=false skin=whole",
        ],
        ["note 3 08:00..5 08:00 entry"],
    ),
    "every worsened field must be back at one look": looks(
        [
            "3 08:00 stoma skin=red heat=true",
            "4 08:00 stoma skin=whole",
            "5 08:00 stoma heat=false",
            "6 08:00 stoma skin=whole heat=false",
        ],
        ["call 3 08:00..6 08:00 entry"],
    ),
    "better isn't yet back": looks(
        ["3 08:00 stoma skin=broken", "4 08:00 stoma skin=red", "5 08:00 stoma skin=whole"],
        ["call 3 08:00..5 08:00 entry"],
    ),
    "back means where it was before the episode, not well": looks(
        [
            "1 08:00 stoma skin=red",
            "3 08:00 stoma skin=red",
            "9 09:00 stoma skin=broken",
            "9 20:00 stoma skin=red",
        ],
        ["note 1 08:00..8 08:00 time", "call 9 09:00..9 20:00 entry"],
    ),
    "the 7 days run from the last worsening": looks(
        ["3 08:00 stoma skin=red", "6 08:00 stoma skin=broken"], ["call 3 08:00..13 08:00 time"]
    ),
    "worse again after better counts as a worsening": looks(
        ["3 08:00 stoma skin=broken", "5 08:00 stoma skin=red", "7 08:00 stoma skin=broken"],
        ["call 3 08:00..14 08:00 time"],
    ),
    "a temperature flag during it makes it a call": looks(
        ["3 08:00 stoma skin=red", "4 08:00 observations temperature_c=38.5"],
        ["call 3 08:00..10 08:00 time"],
    ),
    "a temperature flag that was there already makes it a call": looks(
        ["2 08:00 observations temperature_c=38.5", "3 08:00 stoma skin=red"],
        ["call 3 08:00..10 08:00 time"],
    ),
    "a temperature flag that had ended doesn't": looks(
        [
            "2 08:00 observations temperature_c=38.5",
            "2 20:00 observations temperature_c=37",
            "3 08:00 stoma skin=red",
        ],
        ["note 3 08:00..10 08:00 time"],
    ),
    "a temperature that was a slip ends the call and leaves a note": looks(
        [
            "3 08:00 stoma skin=red",
            "a: 4 08:00 observations temperature_c=38.5",
            "4 09:00 amend a temperature_c=36.5",
        ],
        ["call 3 08:00..4 09:00 entry", "note 4 09:00..10 08:00 time"],
    ),
    "telling doesn't end it": looks(
        ["3 08:00 stoma skin=red", "3 09:00 seen rule=stoma_worse told=Nell"], ["note 3 08:00..10 08:00 time"]
    ),
    "a look between, written down late, changes what is worse": looks(
        ["2 08:00 stoma skin=whole", "4 08:00 stoma skin=red", "3 08:00 > 4 09:00 stoma skin=red"],
        ["note 4 08:00..10 08:00 time"],
    ),
}
