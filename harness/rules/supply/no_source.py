"""Nothing feeds a part's supply.

What it looks for
    A receiver, servo or box whose positive no pack, BEC or regulator reaches, and a speed
    controller, regulator or load whose battery wires end in a lead that hangs on nothing. Where it
    is not stated whether an ESC has a BEC, that is listed as unknown. A plan that names no source
    at all has not come to its supply yet: that too is listed as unknown.

Why it matters
    The part is dead, and with it all that hangs on its rail.

An example that fails
    packs:
      main: {chemistry: lipo, cells: 3}
    receivers:
      rx: {sockets: 4}
    servos:
      rudder: {class: 9g-analogue, plug: rx.4}
    escs:
      esc: {bec: none, plug: rx.3, supply: main}

The same, mended
    escs:
      esc: {bec: {kind: switching, volts: 5 V, rated: 5 A}, plug: rx.3, supply: main}

Where it comes from
    The thing itself: no supply, no function.
"""

from __future__ import annotations

from collections import defaultdict

from harness.base.finding import Finding, Severity
from harness.facts.battery import loose_lead
from harness.facts.rails import rails
from harness.facts.unfed import bec_not_stated, found_dead, unfed_nets
from harness.facts.wording import joined, parts_named
from harness.parts.autopilot import Autopilot
from harness.parts.contacts import Contact, LinkKind
from harness.parts.esc import Esc
from harness.parts.load import Load
from harness.parts.part import Part
from harness.parts.regulator import Regulator
from harness.plan.plan import Plan
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.mate import Mate


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each dead net once, at the box that has the rail."""
    silent = not any(link.kind is LinkKind.SOURCE for link in desk.wiring.links)
    for net, dead in unfed_nets(desk.wiring).items():
        head = _head(desk, net)
        unsaid = bec_not_stated(desk.wiring, net)
        if unsaid is not None:
            desk.not_known(unsaid, "whether it has a BEC (bec)", "bec")
        elif silent:
            if head is not None:
                desk.not_known(head, "what feeds it")
        else:
            yield _dead(desk, head, dead)
    yield from _battery_side(desk)


def _head(desk: Desk, net: Contact) -> Part | None:
    """Return the box whose rail the net is."""
    return min(rails(desk.wiring).boxes(net), key=_rank, default=None)


def _rank(box: Part) -> tuple[bool, bool, bool, str]:
    """Name a receiver before an autopilot, that before a sequencer."""
    return (not box.is_radio, not box.sets_outputs, not box.sequences, box.id)


def _dead(desk: Desk, head: Part | None, parts: list[Part]) -> Finding:
    first = head or parts[0]
    pulled = None if head is not None else _pulled(desk, parts)
    others = [part for part in parts if part is not first]
    also = f", so {parts_named(others)} {'is' if len(others) == 1 else 'are'} dead too"
    dead = found_dead(desk.wiring, first)
    why = f": {dead.named()} was found dead" if dead is not None else ""
    why = f": the red pin of {joined(pulled)} is pulled" if pulled is not None else why
    return check.finding(
        f"nothing feeds {_rail(desk.plan, first)}{why}{also if others else ''}",
        pulled.join.spans.get("pulled", pulled.span) if pulled is not None else first.span,
        first,
        *others,
        help=_help(pulled, dead),
    )


def _help(pulled: Mate | None, dead: Part | None) -> str:
    if pulled is not None:
        return "put the red pin back, or feed it another way"
    if dead is not None:
        return f'replace "{dead.id}", or mend it and say so in the plan (mended)'
    return "plug a BEC, a regulator or a radio pack into its rail"


def _rail(plan: Plan, part: Part) -> str:
    separate = part.id in {box.id for box in plan.of(Autopilot) if box.rail == "separate"}
    return f"the rail of {part.named()}" if separate else part.named()


def _pulled(desk: Desk, parts: list[Part]) -> Mate | None:
    """Return the plug whose red pin is pulled on the way to all the parts."""
    ways = [desk.wiring.upstream(part.id, part.joins()[0][0]) for part in parts]
    return next((mate for mate in ways[0] if "positive" in mate.join.pulled), None)


def _battery_side(desk: Desk) -> Findings:
    """Report each power lead that hangs on nothing, once, with what it leaves dead."""
    by_lead: dict[str, list[Part]] = defaultdict(list)
    for part in (*desk.plan.of(Esc), *desk.plan.of(Regulator), *desk.plan.of(Load)):
        loose = loose_lead(desk.wiring, part)
        if loose is not None:
            by_lead[loose.id].append(part)
    for name, loose_parts in by_lead.items():
        parts = sorted(loose_parts, key=lambda p: p.id)
        lead = desk.plan.parts[name]
        yield check.finding(
            f"{lead.named()} hangs on no pack, so {parts_named(parts)} get"
            f"{'s' if len(parts) == 1 else ''} no supply",
            lead.span,
            lead,
            *parts,
            help=f'say what feeds "{name}": `supply: ...`',
        )
