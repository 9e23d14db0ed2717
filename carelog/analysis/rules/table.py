"""Every rule of care: one declared row a rule, its code beside it."""

from carelog.analysis.rules import (
    airway,
    blood,
    cuff,
    equipment,
    incident,
    inner,
    kit,
    night,
    outing,
    readings,
    registration,
    stock,
    stoma,
    swelling,
    ties,
    time,
    tube,
)
from carelog.analysis.rules.noticed import NOTICED
from carelog.analysis.rules.rule import Rule
from carelog.analysis.rules.tracker import Row

ROWS: tuple[Row, ...] = (
    *time.ROWS,
    *cuff.ROWS,
    *blood.ROWS,
    *airway.ROWS,
    *inner.ROWS,
    *tube.ROWS,
    *readings.ROWS,
    *stoma.ROWS,
    *incident.ROWS,
    *swelling.ROWS,
    *ties.ROWS,
    *night.ROWS,
    *kit.ROWS,
    *equipment.ROWS,
    *registration.ROWS,
    *outing.ROWS,
    *stock.ROWS,
)
RULES: tuple[Rule, ...] = (*(rule for rule, _ in ROWS), *NOTICED)
