"""An analogue and a digital servo share one signal.

What it looks for
    Servos on one Y-lead or channel of which some are analogue and some digital.

Why it matters
    Analogue servos take one pulse each 20 ms; faster frames can ruin them. The shared signal has to
    run slow, and the digital servo is slow with it and holds differently from its neighbour.

An example that fails
    channels: {1: aileron}
    receivers:
      rx: {sockets: 6}
    servos:
      aileron-left: {moves: aileron, signal: analogue, measured: up, plug: aileron-y.1}
      aileron-right: {moves: aileron, signal: digital, measured: down, plug: aileron-y.2}
    leads:
      aileron-y: {kind: y, plug: rx.1}

The same, mended
    servos:
      aileron-left: {moves: aileron, signal: digital, measured: up, plug: aileron-y.1}

Where it comes from
    The 20 ms frame: ArduPilot SRV_Channel and Arduino Servo. That faster frames can ruin an
    analogue servo: common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.signals import Drive, by_signal, frames_of, named
from harness.facts.wording import verb, with_origin
from harness.parts.part import of_kind
from harness.parts.servo import Servo
from harness.rules.rule import Desk, Findings, rule

KINDS = ("analogue", "digital")


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each shared signal once."""
    for group in by_signal(desk.wiring).values():
        servos = [drive for drive in group if drive.part.swings]
        parts = of_kind(Servo, (drive.part for drive in servos))
        kinds = {servo.id: frames_of(desk.plan, servo) for servo in parts}
        known = {kind for kind, _ in kinds.values()} - {""}
        if known == set(KINDS):
            yield _finding(desk, servos, kinds)
        for drive in servos:
            if len(known) == 1 and not kinds[drive.part.id][0]:
                missing = "whether it is analogue or digital (signal)"
                desk.not_known(drive.part, missing, "signal")


def _finding(desk: Desk, servos: list[Drive], kinds: dict[str, tuple[str, str]]) -> Finding:
    slow, fast = ([d.part for d in servos if kinds[d.part.id][0] == kind] for kind in KINDS)
    odd = slow if len(slow) <= len(fast) else fast
    outlet = servos[0].outlet
    frame = desk.figure("pulse", "frame")
    spell = f"{frame.number * 1000:g} ms"
    return check.finding(
        f"{named(slow)} {verb(slow)} analogue, {named(fast)} {verb(fast)} digital, and they share"
        f" {outlet.part.id}.{outlet.name}: frames faster than {spell} would ruin the analogue one",
        next(d.span for d in servos if d.part is odd[0]),
        *odd,
        *(d.part for d in servos),
        spot="plug",
        help="use servos of one kind on the Y-lead, or keep the channel at 20 ms frames",
        numbers=(
            ("frame", with_origin(spell, frame)),
            *((d.part.id, " (".join(kinds[d.part.id]) + ")") for d in servos),
        ),
    )
