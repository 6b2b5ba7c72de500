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
from harness.facts.rails import Rails, rails, source_volts
from harness.facts.sources import Parting, cuts, fighting, kept, name_of, rivals
from harness.facts.wording import joined, parts_named, volts, with_origin
from harness.parts.contacts import Link
from harness.rules.rule import Desk, Findings, rule


@rule(Severity.DANGER)
def check(desk: Desk) -> Findings:
    """Report each positive net once, with every red pin to pull."""
    found = rails(desk.wiring)
    for direct in found.direct.values():
        sources = rivals(desk.wiring, direct)
        if fighting(desk.wiring, sources):
            yield _finding(desk, found, sorted(sources, key=lambda link: link.owner))


def _finding(desk: Desk, found: Rails, sources: list[Link]) -> Finding:
    keep = kept(desk.wiring, sources)
    pulls = cuts(found.wiring, sources, keep)
    parts = [desk.plan.parts[link.owner] for link in sources]
    at = [source_volts(desk.wiring, part, "full") for part in parts]
    apart = len({round(figure.number, 3) for figure in at if figure}) > 1
    rail = parts_named(found.boxes(sources[0].b)) or "one red wire"
    pack = any(part.holds_cells for part in parts)
    then = (
        "the higher drives current into the lower"
        if apart or pack
        else "they work against each other, and one that fails takes the rail with it"
    )
    words = [f"{name_of(p)} ({volts(f.number)})" for p, f in zip(parts, at, strict=True) if f]
    return check.finding(
        f"{spoken(words)} feed {rail} at once: {then}",
        pulls[0].mate.span if pulls else parts[-1].span,
        *dict.fromkeys([cut.mate.plug.part.id for cut in pulls] + [part.id for part in parts]),
        severity=Severity.DANGER if apart or pack else Severity.ERROR,
        spot=pulls[0].mate.plug.name if pulls else "",
        help=_help(desk, keep, pulls),
        numbers=tuple(
            (p.id, with_origin(volts(f.number), f)) for p, f in zip(parts, at, strict=True) if f
        ),
    )


def _help(desk: Desk, keep: Link, pulls: list[Parting]) -> str:
    red = [joined(cut.mate) for cut in pulls if cut.red]
    rest = [joined(cut.mate) for cut in pulls if not cut.red]
    says = []
    if red:
        says.append(
            f"slide out and insulate the red pin of {spoken(red)}"
            " (`pulled: positive`; the black one stays)"
        )
    if rest:
        says.append(f"unplug {spoken(rest)}, or put a diode or isolator in each supply")
    return f"{', and '.join(says)}; {name_of(desk.plan.parts[keep.owner])} goes on feeding the rail"
