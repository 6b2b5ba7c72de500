"""A long flat lead lies beside motor wires.

What it looks for
    Control leads whose plan says that their wires lie flat (`wires: flat`), as far as their way
    passes the same places and ducts as the wires of a motor. Above the length of the catalogue it
    is a note. Leads of which the plan does not say how they lie are not asked about.

Why it matters
    Motor wires carry square pulses of many amperes; side by side with them a flat lead picks up
    what twisted wires largely cancel, and a servo twitches.

An example that fails
    places:
      fuselage: {at: 400 mm}
      wing: {joins: fuselage, side: left, at: {aft: 400 mm, out: 700 mm}}
    receivers:
      rx: {sockets: 6, place: fuselage, at: 400 mm}
    servos:
      aileron: {place: wing, at: {aft: 400 mm, out: 750 mm}, plug: ext.1, length: 250 mm}
    leads:
      ext: {kind: extension, plug: rx.1, length: 750 mm, wires: flat}
    escs:
      esc: {bec: none, plug: rx.3, supply: main, place: fuselage, at: 400 mm}
    motors:
      motor: {plug: esc, place: wing, at: {aft: 400 mm, out: 700 mm}, length: 1000 mm}
    packs:
      main: {chemistry: lipo, cells: 3, place: fuselage}
      radio: {chemistry: nimh, cells: 5, plug: rx.batt, place: fuselage}

The same, mended
    leads:
      ext: {kind: extension, plug: rx.1, length: 750 mm, wires: twisted}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.airframe.lengths import MeasuredRun
from harness.airframe.runs import called
from harness.base.finding import Severity
from harness.facts.airframe import measured_runs
from harness.parts.contacts import Form
from harness.rules.rule import Desk, Findings, rule

Stretch = tuple[frozenset[str], str]


@rule(Severity.NOTE)
def check(desk: Desk) -> Findings:
    """Report each run once, at its longest flat lead."""
    runs = measured_runs(desk.wiring)
    motors = dict[Stretch, float]()
    for wires in (_stretches(m) for m in runs if m.run.form is Form.MOTOR):
        motors |= {s: max(n, motors.get(s, 0.0)) for s, n in wires.items()}
    most = desk.figure("flat-lead", "beside-motor")
    for measured in runs:
        flat = [p for p in measured.run.pieces if p.port.wire.lie == "flat" and p.length]
        long = sum(piece.length.number for piece in flat if piece.length)
        own = _stretches(measured).items()
        beside = min(long, sum(min(n, motors.get(s, 0.0)) for s, n in own))
        if beside > most.number:
            piece = max(flat, key=lambda p: p.length.number if p.length else 0.0)
            part, name = piece.part, called(piece)
            yield check.finding(
                f"{name} lies flat beside motor wires for {beside:.0f} mm on the way to"
                f" {measured.run.device.named()}; above {most.number:g} mm twisted ones are usual",
                part.at("wires" if "wires" in part.spans else "lead-wires"),
                part,
                help="use leads with twisted wires, or twist these",
                numbers=(("longest beside motor wires", f"{most.number:g} mm, {most.origin}"),),
            )


def _stretches(measured: MeasuredRun) -> dict[Stretch, float]:
    """Return the stretches of a run's way with their lengths, mm."""
    legs = measured.need.way.legs if measured.need else ()
    found = dict[Stretch, float]()
    for leg in legs:
        stretch = (frozenset({leg.one, leg.other}), leg.duct)
        found[stretch] = found.get(stretch, 0.0) + leg.length
    return found
