"""A retracting leg is steered while it lies in its bay.

What it looks for
    A retract leg whose steering servo shares a signal with the rudder and has no steering lock; or
    one that the transmitter is to centre on a channel that moves something else as well.

Why it matters
    In flight every touch of the rudder turns the wheel inside the bay: it jams against the doors
    or the frame, and the leg does not come down or the servo stalls. A mix that centres the channel
    with the gear up cuts the rudder on it off in flight.

An example that fails
    channels: {4: rudder, 5: {function: gear, failsafe: hold}}
    receivers:
      rx: {sockets: 6}
    servos:
      rudder: {moves: rudder, plug: rudder-y.1}
      nose-steering: {moves: steering, plug: rudder-y.2}
    leads:
      rudder-y: {kind: y, plug: rx.4}
    retracts:
      leg-nose: {kind: self-contained, steered-by: nose-steering, plug: rx.5}

The same, mended
    retracts:
      leg-nose: {kind: self-contained, steered-by: nose-steering, steering-lock: yes, plug: rx.5}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.signals import Drive, base_of, by_signal, channel_function, named
from harness.facts.wording import verb
from harness.parts.part import Part
from harness.parts.retract import Retract
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each steered leg once; list steering servos that no leg names."""
    legs = sorted(desk.plan.of(Retract), key=lambda leg: leg.id)
    steers = {leg.steered_by for leg in legs}
    groups = by_signal(desk.wiring).values() if legs else ()
    for drive, beside in ((d, group) for group in groups for d in group if d.part.swings):
        is_steering = base_of(desk.plan, drive) == "steering"
        if not is_steering and drive.part.id not in steers:
            continue
        with_rudder = _with_rudder(desk, drive, beside)
        for leg in legs:
            if leg.steered_by != drive.part.id or leg.steering_lock is True:
                continue
            others = [d.part for d in beside if d.part.id not in steers]
            if leg.steering_lock != "transmitter":
                yield from _leg(desk, leg, drive, with_rudder)
            elif others:
                yield _cut_off(leg, drive, others)
        if is_steering and with_rudder and drive.part.id not in steers:
            desk.not_known(drive.part, "which leg it steers (steered-by)", "moves")


def _with_rudder(desk: Desk, drive: Drive, group: list[Drive]) -> list[Drive]:
    """Return the rudder's servos on the same signal; the servo itself when it is on its channel."""
    rudders = [d for d in group if base_of(desk.plan, d) == "rudder"]
    function, words = channel_function(desk.plan, drive.socket), desk.plan.words
    own = words.base(function) == "steering"
    on_rudder = not drive.sequenced and not own and words.agree("rudder", function)
    return rudders or ([drive] if on_rudder else [])


def _cut_off(leg: Retract, drive: Drive, others: list[Part]) -> Finding:
    return check.finding(
        f"the transmitter is to centre {drive.part.named()} while {leg.named()} is up, but"
        f" {named(others)} {verb(others, 'hangs', 'hang')} on the same channel: cut off in flight",
        leg.at("steering-lock"),
        drive.part,
        leg,
        *others,
        spot="plug",
        help="give the steering a channel of its own, or fit a leg that locks its steering by"
        " itself and write `steering-lock: yes`, without a mix",
    )


def _leg(desk: Desk, leg: Retract, drive: Drive, with_rudder: list[Drive]) -> Findings:
    if not with_rudder:
        if "steering-lock" not in leg.spans and not drive.sequenced:
            missing = f'whether "{drive.part.id}" is centred while the leg is up'
            desk.not_known(leg, missing, "steering-lock")
        return
    others = [d.part for d in with_rudder if d is not drive]
    how = f"shares its signal with {named(others)}" if others else "moves with the rudder"
    yield check.finding(
        f"{drive.part.named()} steers {leg.named()} and {how}, with no lock: in flight the rudder"
        " turns the wheel inside its bay",
        leg.at("steering-lock" if "steering-lock" in leg.spans else "steered-by"),
        drive.part,
        leg,
        *others,
        spot="plug",
        help="give the steering a channel of its own that the transmitter centres with the gear up"
        " (`steering-lock: transmitter`), or fit a leg that locks it by itself (`steering-lock:"
        " yes`)",
    )
