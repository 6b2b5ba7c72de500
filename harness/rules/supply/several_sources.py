"""More than one live source is on the receiver's positive without a diode.

What it looks for
    A BEC, a regulator or a pack of the radio that meets another source on one red rail with only
    copper between them. A sequencer with its own supply and the red wire of its input lead still in
    is one way to it; two radio packs on two sockets is another.

Why it matters
    The source with the higher volts drives current into the other one: a pack charges through a
    BEC, a BEC feeds another until it fails, and the rail goes down with it.

An example that fails
    receivers:
      rx: {sockets: 6}
    leads:
      throttle-y: {kind: y, plug: rx.3}
    escs:
      esc-left: {bec: {volts: 5 V}, plug: throttle-y.1}
      esc-right: {bec: {volts: 5 V}, plug: throttle-y.2}

The same, mended
    escs:
      esc-right: {bec: {volts: 5 V}, plug: {into: throttle-y.2, pulled: positive}}

Where it comes from
    Connect one BEC output to a servo rail: PX4 documentation. That the pin is pulled on all but one
    and the black one stays: common practice; no published source.
"""

from __future__ import annotations

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.facts.rails import Fight, fights, name_of, rails, too_high
from harness.facts.wording import joined, parts_named, volts, volts_line
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER, Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each positive net once, with every red pin to pull."""
    return (_finding(desk, fight) for fight in fights(desk.wiring))


def _finding(desk: Desk, fight: Fight) -> Finding:
    sources, pulls, drives, at = fight.sources, fight.pulls, fight.drives, fight.volts
    parts = [desk.plan.parts[link.owner] for link in sources]
    then = (
        "the higher drives current into the lower"
        if drives
        else "they work against each other, and one that fails takes the rail with it"
    )
    words = spoken(f"{name_of(part)} ({volts(figure.number)})" for part, figure in at)
    rail = parts_named(rails(desk.wiring).boxes(sources[0].b)) or "one red wire"
    return check.finding(
        f"{words} feed {rail} at once: {then}",
        fight.span,
        *(cut.mate.plug.part for cut in pulls),
        *parts,
        severity=Severity.DANGER if drives else Severity.ERROR,
        spot=pulls[0].mate.plug.name if pulls else "",
        help=_help(desk, fight),
        numbers=tuple(volts_line(part.id, figure) for part, figure in at),
    )


def _help(desk: Desk, fight: Fight) -> str:
    """Diodes in each let the highest through: not where it is more than the rail bears."""
    pulls, keep = fight.pulls, fight.keep
    red = spoken(joined(cut.mate) for cut in pulls if cut.red)
    rest = spoken(joined(cut.mate) for cut in pulls if not cut.red)
    says = []
    if red:
        stays = "(`pulled: positive`; the black one stays)"
        says.append(f"slide out and insulate the red pin of {red} {stays}")
    if rest:
        diodes = ", or put a diode or isolator in each supply"
        high = too_high(desk.wiring, fight.sources)
        says.append(f"unplug {rest}{diodes * (not high)}")
    return f"{', and '.join(says)}; {name_of(desk.plan.parts[keep.owner])} goes on feeding the rail"
