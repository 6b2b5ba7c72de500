"""From a wiring to its bench protocol."""

from __future__ import annotations

from harness.bench import gear, leads_and_supplies, motors, power_up, surfaces, throttle
from harness.bench.protocol import Protocol
from harness.bench.workbench import Bench, by_id
from harness.facts.mend_first import mend_first
from harness.facts.motion import turning
from harness.parts.motor import Motor
from harness.wiring.build import Wiring
from harness.wiring.fact import fact

UNPOWERED = (leads_and_supplies.leads, leads_and_supplies.packs, power_up.centred)
"""What is tested with nothing connected, and so before what must be mended first is mended."""
ORDER = (
    leads_and_supplies.leads, leads_and_supplies.supplies, leads_and_supplies.packs,
    power_up.centred, power_up.power_up, surfaces.failsafe, surfaces.directions, surfaces.throws,
    power_up.fuse_out, gear.gear, power_up.stirred, motors.motors, throttle.throttle, motors.field,
)  # fmt: skip
"""From the box to the first flight (common practice; no published source)."""


@fact
def protocol_of(wiring: Wiring) -> Protocol:
    """Return the tests of a plan, in the order in which they are made."""
    on_bench = Bench(wiring)
    sections = [make(on_bench) for make in (UNPOWERED if mend_first(wiring) else ORDER)]
    some = tuple(section for section in sections if section.tests)
    plan = wiring.plan
    return Protocol(
        plan.aircraft,
        plan.revision,
        some,
        tuple(on_bench.unknown),
        turning(plan),
        {motor.id: motor for motor in by_id(plan.of(Motor))},
    )
