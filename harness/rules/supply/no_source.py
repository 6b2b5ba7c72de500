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
from harness.facts.rails import bec_not_stated, found_dead, rails, unfed_nets
from harness.facts.wording import joined, parts_named, verb
from harness.parts.autopilot import Autopilot
from harness.parts.contacts import Contact, LinkKind
from harness.parts.esc import Esc
from harness.parts.load import Load
from harness.parts.part import Part
from harness.parts.regulator import Regulator
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.build import Mate


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each dead net once, at the box that has the rail."""
    silent = not any(link.kind is LinkKind.SOURCE for link in desk.wiring.links)
    for net, dead in unfed_nets(desk.wiring).items():
        head = _head(desk, net)
        unsaid = bec_not_stated(desk.wiring, net)
        if unsaid is not None:
            desk.not_known(unsaid, "whether it has a BEC (bec)", "bec")
        elif not silent:
            yield _dead(desk, head, dead)
        elif head is not None:
            desk.not_known(head, "what feeds it")
    yield from _battery_side(desk)


def _head(desk: Desk, net: Contact) -> Part | None:
    """Return the box whose rail the net is: a receiver before an autopilot and a sequencer."""
    return min(
        rails(desk.wiring).boxes(net),
        key=lambda box: (not box.is_radio, not box.sets_outputs, not box.sequences, box.id),
        default=None,
    )


def _dead(desk: Desk, head: Part | None, parts: list[Part]) -> Finding:
    first = head or parts[0]
    pulled = None if head is not None else _pulled(desk, parts)
    others = [part for part in parts if part is not first]
    also = f", so {parts_named(others)} {verb(others)} dead too" if others else ""
    dead = found_dead(desk.wiring, first)
    why, help_ = "", "plug a BEC, a regulator or a radio pack into its rail"
    if pulled is not None:
        why = f": the red pin of {joined(pulled)} is pulled"
        help_ = "put the red pin back, or feed it another way"
    elif dead is not None:
        why = f": {dead.named()} was found dead"
        help_ = f'replace "{dead.id}", or mend it and say so in the plan (mended)'
    return check.finding(
        f"nothing feeds {_rail(desk, first)}{why}{also}",
        pulled.join.spans.get("pulled", pulled.span) if pulled is not None else first.span,
        first,
        *others,
        help=help_,
    )


def _rail(desk: Desk, part: Part) -> str:
    separate = any(box is part and box.rail == "separate" for box in desk.plan.of(Autopilot))
    return f"the rail of {part.named()}" if separate else part.named()


def _pulled(desk: Desk, parts: list[Part]) -> Mate | None:
    """Return the plug whose red pin is pulled on the way to all the parts."""
    way = desk.wiring.upstream(parts[0].id, parts[0].joins()[0][0])
    return next((mate for mate in way if "positive" in mate.join.pulled), None)


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
            f"{lead.named()} hangs on no pack, so {parts_named(parts)}"
            f" {verb(parts, 'gets', 'get')} no supply",
            lead.span,
            lead,
            *parts,
            help=f'say what feeds "{name}": `supply: ...`',
        )
