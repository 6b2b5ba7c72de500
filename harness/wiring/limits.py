"""The lowest and highest supply that a device works on."""

from __future__ import annotations

from harness.parts.figure import Figure, known, stated
from harness.parts.load import Load
from harness.parts.part import Part
from harness.parts.retract import Retract
from harness.parts.sensor import Sensor
from harness.parts.sequencer import Sequencer
from harness.plan.plan import Plan


def volts_limit(plan: Plan, part: Part, word: str) -> Figure | None:
    """Return volts-min or volts-max of a part in V: stated, or of its class; None if unknown."""
    own = getattr(part, word.replace("-", "_"), None)
    if part.swings:
        return known(plan.catalogue, part, word, own, "servos", part.class_)
    if isinstance(part, Retract | Load):
        return stated(part, word, own)
    rows = {Sensor: "sensor", Sequencer: "sequencer"}
    row = rows.get(type(part)) or str(getattr(part, "class_", ""))
    return known(plan.catalogue, part, word, own, "receivers", row)
