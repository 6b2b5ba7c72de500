"""Retract legs of both kinds share one channel.

What it looks for
    Self-contained legs (3-pin plug, own end logic) and bare-motor legs (two wires from a controller
    that reverses them) on one channel, also behind one sequencer.

Why it matters
    The two kinds run for different times and stop by different means. A controller set for one
    kind cuts the other off half-way, or drives it against its stop.

An example that fails
    channels: {5: {function: gear, failsafe: hold}}
    receivers:
      rx: {sockets: 6}
    retracts:
      leg-left: {kind: bare-motor, travel: 4 s, plug: gear-box.1}
      leg-right: {kind: self-contained, travel: 4 s, plug: gear-box.2}
    sequencers:
      gear-box: {outlets: 2, motor-outlets: 1, plug: rx.5, power-up: holds}

The same, mended
    retracts:
      leg-left: {kind: self-contained, travel: 4 s, plug: gear-box.1}
    sequencers:
      gear-box: {outlets: 2, plug: rx.5, power-up: holds}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from collections import defaultdict

from harness.base.finding import Severity
from harness.facts.signals import channel_key, drives
from harness.facts.wording import in_plan, quoted, verb
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each channel or loose sequencer once."""
    groups: dict[tuple[str, str], list[Part]] = defaultdict(list)
    for drive in drives(desk.wiring):
        if drive.part.is_leg:
            groups[channel_key(drive) or (drive.outlet.part.id, "")].append(drive.part)
    for (owner, name), legs in sorted(groups.items()):
        bare = [leg for leg in legs if leg.kind == "bare-motor"]
        own = [leg for leg in legs if leg.kind == "self-contained"]
        if not bare or not own:
            continue
        odd, rest = (bare, own) if len(bare) <= len(own) else (own, bare)
        where = f"channel {name}" if name and not owner else f"{owner}.{name}".rstrip(".")
        yield check.finding(
            f"on {where}, {quoted(leg.id for leg in bare)} {verb(bare)} bare-motor and"
            f" {quoted(leg.id for leg in own)} {verb(own)} self-contained: the two kinds of leg"
            " must not be mixed",
            odd[0].at("kind"),
            *odd,
            *rest,
            spot="plug",
            help="fit legs of one kind, with the controller made for that kind",
            numbers=tuple((leg.id, in_plan(leg.kind, leg.at("kind"))) for leg in legs),
        )
