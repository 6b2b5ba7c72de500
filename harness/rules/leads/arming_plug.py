"""A strong motor comes alive as soon as the pack is plugged in.

What it looks for
    More than 1 kW at full throttle on the whole aeroplane, by the nominal volts of the packs,
    and an ESC without an arming plug on its way to the pack.

Why it matters
    Such a propeller injures badly. An arming plug, fitted last and pulled first, keeps the motor
    dead while surfaces, gear and failsafe are tried: `harness steps` has that order. Treat a
    connected pack as armed all the same, and take the propeller off on the bench; local rules and
    the makers' instructions come first.

An example that fails
    escs:
      esc: {rated: 80 A, cells-max: 6, bec: none, connector: XT90, supply: main}
    motors:
      motor: {full-throttle: 55 A, plug: esc}
    packs:
      main: {chemistry: lipo, cells: 6, capacity: 5 Ah, rate: 35 C, connector: XT90}

The same, mended
    escs:
      esc: {rated: 80 A, cells-max: 6, bec: none, connector: XT90, supply: arming}
    motors:
    power-leads:
      arming: {kind: arming, supply: main, connector: XT90, wire: 10 AWG}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.base.near import spoken
from harness.base.units import POWER, format_quantity
from harness.facts.battery import MotorInUse, is_armed, motors_in_use
from harness.facts.currents import amps, over
from harness.facts.motion import turning
from harness.facts.wording import verb
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report the aeroplane once, at the first ESC without an arming plug."""
    motors = motors_in_use(desk.wiring)
    watts = sum(motor.watts for motor in motors)
    limit = desk.figure("arming-plug", "power")
    bare = {m.esc.id: m.esc for m in motors if not is_armed(desk.wiring, m.esc)}
    if not bare or not over(watts, limit.number):
        return
    escs = sorted(bare.values(), key=lambda esc: esc.at("supply"))
    yield check.finding(
        f"the motors take {format_quantity(watts, POWER)} at full throttle, and"
        f" {spoken(e.named() for e in escs)} {verb(escs, 'has', 'have')} no arming plug: the"
        f" {turning(desk.plan).many} are live from the moment the pack is connected",
        escs[0].at("supply"),
        *escs,
        help="put an arming plug into the positive wire between pack and ESC (kind: arming), and "
        "write down whether the radio stays on with it out",
        numbers=(
            ("wants an arming plug", f"{format_quantity(limit.number, POWER)}, {limit.origin}"),
            *((m.motor.named(), _share(m)) for m in motors),
        ),
    )


def _share(use: MotorInUse) -> str:
    return f"{amps(use.full.number)} at {use.volts:.1f} V, {use.full.origin}"
