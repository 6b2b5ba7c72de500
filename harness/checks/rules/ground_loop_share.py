"""Motor current returns through the signal grounds of two speed controllers.

What it looks for
    ESCs on one pack, not isolated, whose signal grounds meet at a receiver. The share of one
    motor's full-throttle current that goes by the signal leads while the other motor stands:
    R1 * I1 / (R1 + R2 + both signal grounds with their contacts). A Y-lead's stated length counts
    for each of its branches. Other ways to ground are left to the network solution.

Why it matters
    A signal lead is made for milliamperes. With long main negatives, or a bad contact in one, some
    amperes return through it: the ground wire heats up, the signal shifts, the motor stutters.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 4, connector: AS150}
    power-leads:
      split: {kind: parallel, ways: 2, connector: AS150, supply: main, wire: 12 AWG, length: 900 mm}
    receivers:
      rx: {sockets: 4}
    regulators:
      radio: {volts: 5 V, plug: rx.batt}
    escs:
      esc-left:
        {bec: none, connector: AS150, wire: 12 AWG, length: 200 mm, plug: rx.1, supply: split.1,
         lead-wire: 22 AWG, lead-length: 300 mm}
      esc-right: {like: esc-left, plug: rx.2, supply: split.2}
    motors:
      motor-left: {full-throttle: 30 A, plug: esc-left}
      motor-right: {like: motor-left, plug: esc-right}

The same, mended
    packs:
      main: {chemistry: lipo, cells: 4, connector: AS150}
    power-leads:
      split: {kind: parallel, ways: 2, connector: AS150, supply: main, wire: 10 AWG, length: 50 mm}
    receivers:
      rx: {sockets: 4}
    regulators:
      radio: {volts: 5 V, plug: rx.batt}
    escs:
      esc-left:
        {bec: none, connector: AS150, wire: 12 AWG, length: 100 mm, plug: rx.1, supply: split.1,
         lead-wire: 22 AWG, lead-length: 600 mm}
      esc-right: {like: esc-left, plug: rx.2, supply: split.2}
    motors:
      motor-left: {full-throttle: 30 A, plug: esc-left}
      motor-right: {like: motor-left, plug: esc-right}

Where it comes from
    The split by resistance: ArduPilot, ESC grounding page (6 A by 14 AWG, 1 A by 22 AWG). The
    limits of 1 A and 3 A: common practice; no published source.
"""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.finding import Finding, Severity
from harness.checks.ground import Side, loops, share
from harness.checks.loads import over
from harness.checks.rule import Desk, rule
from harness.checks.say import amps, with_origin
from harness.reader.parts.power import Motor
from harness.wiring.figures import Figure, rule_figure, stated


@rule("ground", Severity.ERROR)
def check(desk: Desk) -> Iterator[Finding]:
    """Report the worst pair of each loop once."""
    for sides in loops(desk):
        if _all_known(desk, sides):
            yield from _worst(desk, sides)


def _all_known(desk: Desk, sides: list[Side]) -> bool:
    """List what is missing, once each."""
    missing = [fact for side in sides for path in (side.main, side.lead) for fact in path.missing]
    for part, fact, key in missing:
        desk.not_known("ground-loop-share", desk.plan.parts[part], fact, key)
    silent = [side.esc for side in sides if _full(desk, side) is None]
    for esc in silent:
        desk.not_known("ground-loop-share", esc, "the full-throttle current of its motor")
    return not missing and not silent


def _full(desk: Desk, side: Side) -> Figure | None:
    motors = [m for m in desk.plan.of(Motor) if m.plug and m.plug.part == side.esc.id]
    return next((f for m in motors if (f := stated(m, "full-throttle", m.full_throttle))), None)


def _worst(desk: Desk, sides: list[Side]) -> Iterator[Finding]:
    found = []
    for side in sides:
        others = [other for other in sides if other is not side]
        near = min(others, key=lambda o: (o.main.total + o.lead.total, o.esc.id))
        full = _full(desk, side)
        assert full is not None
        leads = side.lead.total + near.lead.total
        through = share(side.main.total, full.number, near.main.total, 0.0, leads)
        found.append((through, side, near, full))
    through, side, near, full = max(found, key=lambda f: (round(f[0], 9), f[1].esc.id))
    warning, error = (rule_figure(desk.plan, "ground-loop", w) for w in ("warning", "error"))
    if over(through, warning.number):
        limit = error if over(through, error.number) else warning
        severity = Severity.ERROR if limit is error else Severity.WARNING
        yield _finding(through, side, near, full, limit, severity)


def _finding(
    through: float, side: Side, near: Side, full: Figure, limit: Figure, severity: Severity
) -> Finding:
    ways = [(side.main, "main"), (near.main, "main"), (side.lead, "signal"), (near.lead, "signal")]
    return check.finding(
        f"{amps(through)} of the {amps(full.number)} of {side.esc.named()} return through its"
        f" signal ground and that of {near.esc.named()}: the main negative has"
        f" {side.main.total * 1000:.2g} mohm, and the signal grounds close a loop beside it",
        side.esc.at("length" if "length" in side.esc.spans else "supply"),
        side.esc,
        near.esc,
        severity=severity,
        spot="plug",
        help="shorten or thicken the main negatives up to where they meet, or use isolated ESCs;"
        " never cut the signal ground",
        numbers=(
            ("full throttle", with_origin(amps(full.number), full)),
            ("limit", with_origin(amps(limit.number), limit)),
            *(
                (f"{word} negative: {label}", f"{ohm * 1000:.3g} mohm ({origin})")
                for path, word in ways
                for label, ohm, origin in path.ohms
            ),
        ),
    )
