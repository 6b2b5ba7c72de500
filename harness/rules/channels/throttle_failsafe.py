"""The throttle does not go off when the signal is lost.

What it looks for
    A throttle channel whose failsafe is empty, "hold", or anything but off. A plan with an ESC
    and no channels is listed as unknown.

Why it matters
    Without signal the motor runs on as it was: the model flies away under power, or a propeller
    starts while someone is near it. Set it at binding, test it with the propeller off, and let
    local rules and the makers' instructions come first.

An example that fails
    channels:
      3: {function: throttle, failsafe: hold}
    receivers:
      rx: {sockets: 6}
    escs:
      esc: {bec: {volts: 5 V}, plug: rx.3, supply: main}
    packs:
      main: {chemistry: lipo, cells: 3}

The same, mended
    channels:
      3: {function: throttle, failsafe: off}

Where it comes from
    Failsafe to idle on loss of signal: UK CAA CAP 658 as quoted by a club. That "hold" and an
    empty setting count as faults is common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Severity
from harness.facts.motion import turning
from harness.facts.signals import OFF, drives, escs_on, is_zero, plain_words
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each throttle channel once."""
    motors = [drive for drive in drives(desk.wiring) if drive.part.drives]
    if motors and not desk.plan.channels:
        desk.not_known(motors[0].part, "the failsafe of its channel", "plug")
    for name, channel in desk.plan.channels.items():
        escs = escs_on(desk.wiring, name, channel)
        if not escs or plain_words(channel.failsafe) in OFF or is_zero(channel.failsafe):
            continue
        yield check.finding(
            f"channel {name} ({channel.function}) {_what(channel.failsafe)}",
            channel.spans.get("failsafe", channel.spans.get("function", channel.span)),
            *escs,
            spot="plug",
            help="set it to off at binding, write `failsafe: off`, and test it with "
            f"{turning(desk.plan).off}",
        )


def _what(said: str) -> str:
    if not said:
        return "has no failsafe: without signal the motor may run on"
    if plain_words(said) == "hold":
        return 'has failsafe "hold": without signal the motor runs on as it was'
    return f'has failsafe "{said}": without signal the motor does not stop'
