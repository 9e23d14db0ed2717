"""All kinds of entry; adding one is one module and one line here."""

from carelog.domain.entry import Details
from carelog.domain.kind import Kind
from carelog.kinds.answer import ANSWER
from carelog.kinds.arrangement import ARRANGEMENT
from carelog.kinds.box_check import BOX_CHECK
from carelog.kinds.checklist import CHECKLIST
from carelog.kinds.contact import CONTACT
from carelog.kinds.cuff_pressure import CUFF_PRESSURE
from carelog.kinds.cuff_state import CUFF_STATE
from carelog.kinds.decannulation import DECANNULATION
from carelog.kinds.equipment_check import EQUIPMENT_CHECK
from carelog.kinds.gap import GAP
from carelog.kinds.humidity import HUMIDITY
from carelog.kinds.ill import ILL
from carelog.kinds.incident import INCIDENT
from carelog.kinds.inner_tube import INNER_TUBE
from carelog.kinds.mouth_care import MOUTH_CARE
from carelog.kinds.note import NOTE
from carelog.kinds.observations import OBSERVATIONS
from carelog.kinds.order import ORDER
from carelog.kinds.outing import OUTING
from carelog.kinds.person import PERSON
from carelog.kinds.phrase import PHRASE
from carelog.kinds.phrase_card import PHRASE_CARD
from carelog.kinds.plan import PLAN
from carelog.kinds.question import QUESTION
from carelog.kinds.recorder import RECORDER
from carelog.kinds.registration import REGISTRATION
from carelog.kinds.seen import SEEN
from carelog.kinds.shift import SHIFT
from carelog.kinds.stay import STAY
from carelog.kinds.stock import STOCK
from carelog.kinds.stoma import STOMA
from carelog.kinds.suction import SUCTION
from carelog.kinds.ties import TIES
from carelog.kinds.training import TRAINING
from carelog.kinds.tube_change import TUBE_CHANGE
from carelog.kinds.valve import VALVE
from carelog.kinds.visit import VISIT
from carelog.text import say

ALL: tuple[Kind, ...] = (
    INNER_TUBE,
    SUCTION,
    CUFF_PRESSURE,
    CUFF_STATE,
    STOMA,
    TIES,
    HUMIDITY,
    VALVE,
    OBSERVATIONS,
    MOUTH_CARE,
    TUBE_CHANGE,
    DECANNULATION,
    INCIDENT,
    NOTE,
    QUESTION,
    ANSWER,
    SEEN,
    BOX_CHECK,
    EQUIPMENT_CHECK,
    STOCK,
    ORDER,
    OUTING,
    STAY,
    GAP,
    CHECKLIST,
    SHIFT,
    ILL,
    PHRASE,
    PHRASE_CARD,
    TRAINING,
    ARRANGEMENT,
    REGISTRATION,
    PLAN,
    PERSON,
    CONTACT,
    RECORDER,
    VISIT,
)

_BY_NAME = {kind.name: kind for kind in ALL}


def kind_named(name: str) -> Kind | None:
    """The kind's declaration, or None for one that this version doesn't know."""
    return _BY_NAME.get(name)


def named_or_unknown(name: str) -> Kind:
    """The kind's declaration; one that this version doesn't know is shown under its own name, as it is."""
    return _BY_NAME.get(name) or Kind(name=name, title=name)


def task_title(name: str, where: Details) -> str:
    """The kind that a task asks for, with what its entries must match."""
    kind = named_or_unknown(name)
    line = kind.line(where)
    return f"{say(kind.title)} ({line})" if line else say(kind.title)


def task_name(name: str, where: Details) -> str:
    """What a task is called where it stands alone: “Inner tube”, “Nebuliser”, “Equipment check: …”."""
    kind = named_or_unknown(name)
    line = kind.line(where) if where else ""
    if not line:
        return say(kind.title)
    for tile in kind.tiles:
        if tile.records and where.items() <= tile.records.items():
            return line[:1].upper() + line[1:]
    return f"{say(kind.title)}: {line}"
