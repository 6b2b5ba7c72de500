"""On loss of signal the gear retracts or the flaps move.

What it looks for
    A gear channel whose failsafe raises the legs, and a flap channel whose failsafe is neither
    hold nor up.

Why it matters
    A short loss of signal near the ground leaves the model with its legs half in, or with a sudden
    change of trim.

An example that fails
    channels:
      5: {function: gear, failsafe: up}
    receivers:
      rx: {sockets: 6}
    retracts:
      leg-nose: {kind: self-contained, class: small, plug: rx.5}

The same, mended
    channels:
      5: {function: gear, failsafe: hold}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.facts.signals import DOWN, STAYS, UP, base_of, drives_on, is_zero, plain_words
from harness.parts.part import Part
from harness.plan.radio import Channel
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each channel once."""
    for name, channel in desk.plan.channels.items():
        kind = desk.plan.words.base(channel.function).removesuffix("-door")
        if kind not in {"gear", "flap"} or not (mine := _on(desk, name, kind)):
            continue
        said = plain_words(channel.failsafe)
        if not said:
            missing = f"what channel {name} ({kind}) does without signal"
            desk.not_known(mine[0], missing, "plug")
        elif kind == "flap" and said not in STAYS | UP and not is_zero(said):
            yield _finding(name, channel, mine, "moves the flaps", "hold or up")
        elif kind == "gear" and said in UP:
            yield _finding(name, channel, mine, "retracts the gear", "hold or down")
        elif kind == "gear" and said not in STAYS | DOWN:
            missing = f'whether failsafe "{channel.failsafe}" retracts the gear'
            desk.not_known(mine[0], missing, "plug")


def _on(desk: Desk, name: str, kind: str) -> list[Part]:
    """Return the devices of a kind that a receiver's channel drives."""
    found = drives_on(desk.wiring, name)
    return [d.part for d in found if base_of(desk.plan, d).removesuffix("-door") == kind]


def _finding(name: str, channel: Channel, mine: list[Part], what: str, better: str) -> Finding:
    return check.finding(
        f'channel {name} ({channel.function}) has failsafe "{channel.failsafe}": a loss of signal'
        f" {what}",
        channel.spans["failsafe"],
        *mine,
        spot="plug",
        help=f"set it to {better}",
    )
