"""Temperature, oxygen saturation, breaths, pulse, oxygen flow, as read."""

from carelog.domain.field import Field, Number
from carelog.domain.kind import Draw, Export, Kind, Tile
from carelog.text import mark

OBSERVATIONS = Kind(
    name="observations",
    title=mark("Observations"),
    is_care=True,
    in_short=("temperature_c", "temperature_f", "spo2_percent", "pulse_per_min", "breaths_per_min"),
    is_frequent=True,
    fields=(
        Field(
            "temperature_c",
            mark("temperature"),
            Number(unit="°C", ask_below=34, ask_above=42, limit="temperature_c"),
            asked=mark("Temperature in °C"),
        ),
        Field(
            "temperature_f",
            mark("temperature"),
            Number(unit="°F", ask_below=93, ask_above=108, limit="temperature_c"),
            asked=mark("or in °F"),
        ),
        Field(
            "spo2_percent", mark("SpO2"), Number(unit="%", ask_below=50, ask_above=100, limit="spo2_percent")
        ),
        Field(
            "breaths_per_min",
            mark("breathing"),
            Number(unit="/min", ask_below=4, ask_above=80, limit="breaths_per_min"),
        ),
        Field(
            "pulse_per_min",
            mark("pulse"),
            Number(unit="/min", ask_below=25, ask_above=220, limit="pulse_per_min"),
        ),
        Field(
            "oxygen_l_min",
            mark("oxygen"),
            Number(unit="L/min", ask_below=0, ask_above=30, limit="oxygen_l_min"),
        ),
    ),
    tiles=(Tile(mark("Observations"), place=9),),
    draw=Draw.READINGS,
    export=Export(
        "Observation",
        loinc={"breaths_per_min": ("9279-1", "Respiratory rate")},
    ),
)
