"""The first four channels are not in the order the radio sends them.

What it looks for
    The functions of channels 1 to 4 against `transmitter: {order: ...}` by initials (A aileron,
    E elevator, T throttle, R rudder). A plan with an autopilot and no order is held to AETR, the
    default of the open autopilots.

Why it matters
    The wrong order puts a stick that springs to its centre on the throttle: the motor starts at
    half power when it is armed.

An example that fails
    transmitter: {order: AETR}
    channels:
      1: {function: throttle, failsafe: off}
      2: aileron
      3: elevator
      4: rudder
    receivers:
      rx: {sockets: 6}

The same, mended
    transmitter: {order: TAER}

Where it comes from
    1 aileron, 2 elevator, 3 throttle, 4 rudder: ArduPilot documentation, four-channel plane
    guide. That transmitters differ (AETR, TAER): common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Numbers, Severity
from harness.facts.homes import against_order
from harness.facts.signals import STICKS, drives, radio_order
from harness.parts.receiver import Receiver
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR, Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report once, at the throttle's channel when that is wrong, else at the first wrong one."""
    plan = desk.plan
    if not any(
        plan.words.base(c.function) in STICKS.values()
        for n, c in plan.channels.items()
        if n in {"1", "2", "3", "4"}
    ):
        return
    order, origin = radio_order(plan)
    if sorted(order) != sorted(STICKS):
        _unknown(desk, order)
    elif apart := against_order(plan):
        wrong = {name: ours for name, (_, ours) in apart.items()}
        sent = {str(n): STICKS[letter] for n, letter in enumerate(order, 1)}
        numbers = (
            ("order", f"{order} ({origin})"),
            *((f"channel {n}", f) for n, f in wrong.items()),
        )
        yield _finding(desk, sent, wrong, numbers)


def _unknown(desk: Desk, order: str) -> None:
    if order:
        missing = f'the order of the transmitter in letters of AETR, "{order}" cannot be read'
        desk.plan_not_known(missing, desk.plan.transmitter.spans["order"])
    elif any(drive.part.drives for drive in drives(desk.wiring)):
        missing = "the order of the transmitter's first four channels (transmitter: order)"
        desk.plan_not_known(missing, desk.plan.channels_span)


def _finding(desk: Desk, sent: dict[str, str], wrong: dict[str, str], numbers: Numbers) -> Finding:
    throttle = next((name for name, function in wrong.items() if function == "throttle"), "")
    first = throttle or next(iter(wrong))
    message = (
        f"the radio sends {sent[first]} on channel {first}, but the plan has {wrong[first]} there"
    )
    if throttle:
        message += f": the {sent[throttle]} stick would drive the motor, half throttle at centre"
    channel = desk.plan.channels[first]
    escs = [d.part for d in drives(desk.wiring) if d.part.drives] if throttle else []
    pairs = [pair for r in desk.plan.of(Receiver) for pair in r.channels.items()]
    return check.finding(
        message,
        channel.spans.get("function", channel.span),
        *(escs or sorted(r.id for r in desk.plan.of(Receiver))),
        severity=Severity.DANGER if throttle else None,
        spot="plug" if escs else next((s for s, n in pairs if n == first), first),
        help="say which channel each socket gives, as its instructions tell (`sockets: {aile: 1,"
        " ...}`), or the order the radio is set to"
        if any(socket != number for socket, number in pairs)
        else "put the functions and their plugs in the radio's order, or say the order it is"
        " set to",
        numbers=numbers,
    )
