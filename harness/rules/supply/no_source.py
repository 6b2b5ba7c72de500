"""Nothing feeds a part's supply.

What it looks for
    A part that takes a supply and gets none as the wiring stands, by both poles and from the packs
    outward: a pin is pulled, a wire or lead was found open, a lead hangs on nothing, or there is no
    pack, BEC or regulator. All that is dead for one cause is told at that place, once. Where it is
    not stated whether an ESC has a BEC, that is listed as unknown. A plan that names no source at
    all has not come to its supply yet: that too is listed as unknown.

Why it matters
    The part is dead, and with it all that hangs on it: a BEC gives nothing without its own pack.

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

from harness.base.finding import Finding, Severity
from harness.base.near import spoken
from harness.facts.blocked import blocked
from harness.facts.fed import (
    BATTERY,
    SIDE,
    SIGNAL,
    WIRES,
    Fault,
    Need,
    faults,
    fits_nowhere,
    in_order,
    loose_lead,
    parts_supply,
    put_right,
    starved,
)
from harness.facts.ground import wants_ground
from harness.facts.rails import bec_not_stated, rails
from harness.facts.wording import closing_words, parts_named, verb
from harness.parts.autopilot import Autopilot
from harness.parts.contacts import Contact, LinkKind
from harness.parts.part import Part
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.live import is_placed


@rule(Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each open place at fault once, then each dead net once, at its box or its lead."""
    for fault in faults(desk.wiring):
        if not fault.astray and fault.needs - {SIDE} and fault.needs - {SIGNAL}:
            yield _cut_off(desk, fault)
    told = {part.id for found in blocked(desk.wiring) for part in found.dead}
    for needs in starved(desk.wiring):
        if {need.part.id for need in needs} <= told:
            continue
        parts = in_order(need.part for need in needs)
        if needs[0].what == BATTERY:
            yield from _battery(desk, needs, parts)
        else:
            yield from _rail(desk, needs[0], parts)


def _cut_off(desk: Desk, fault: Fault) -> Finding:
    """Say first what gets no supply, then what gets no signal alone."""
    kinds = {WIRES} if fault.needs <= {SIGNAL, WIRES} else fault.needs - {SIGNAL}
    dead = in_order(need.part for need in fault.dead if need.what in kinds)
    deaf = [part for part in fault.parts if part not in dead]
    itself = [place.part for place in fault.opens if not place.spot]
    names = [part for part in dead if part.id not in itself]
    fed = spoken(["it"] * (len(names) < len(dead)) + [parts_named(names)] * bool(names))
    gets = verb(dead, "gets", "get") + (" no supply" if kinds != {WIRES} else " no current")
    said = [f"{fed} {gets}"] + [f"{parts_named(deaf)} no signal"] * bool(deaf)
    return check.at_open(f", so {spoken(said)}", desk.wiring, fault, help=_advice(desk, fault))


def _advice(desk: Desk, fault: Fault) -> str:
    close = closing_words(fault.opens)
    if any(parts_supply(desk.wiring, place) for place in fault.opens):
        return f"plug a BEC, a regulator or a radio pack into its rail, or {close}"
    return close


def _battery(desk: Desk, needs: tuple[Need, ...], parts: list[Part]) -> Findings:
    """Report a lead or a part that hangs on nothing, or a battery side that nothing feeds.

    An ESC or regulator of which the plan does not say what feeds it is told here if others starve.
    """
    first = needs[0].part
    lead = loose_lead(put_right(desk.wiring), first)
    head, why = lead or first, "hangs on no pack"
    if lead is None and (first.id, "supply") not in desk.wiring.by_plug:
        head, parts = first, [part for part in parts if part is not first]
        why = "is fed from nothing in the plan"
    if lead is not None or head not in parts:
        gets = verb(parts, "gets", "get")
        message = f"{head.named()} {why}, so {parts_named(parts)} {gets} no supply"
        help_ = f'say what feeds "{head.id}": `supply: ...`'
        if parts:
            yield check.finding(message, head.span, head, *parts, help=help_)
        return
    yield check.finding(
        f"nothing feeds {first.named()}{_also(parts, first)}",
        first.at("supply"),
        first,
        *parts,
        spot="supply",
        help="lead both poles of a pack to it",
    )


def _rail(desk: Desk, need: Need, parts: list[Part]) -> Findings:
    """Report a rail without a source; what nobody has said yet is listed as unknown."""
    assert need.poles is not None
    _, plus = need.poles
    if fits_nowhere(desk.wiring, parts):
        return
    if rails(desk.wiring).feeds(plus):
        if not any(wants_ground(desk.wiring, part) for part in parts):
            yield _no_minus(parts)
        return
    head = _head(desk, plus)
    unsaid = bec_not_stated(desk.wiring, rails(desk.wiring).wiring.nets.root[plus])
    if unsaid is not None:
        desk.not_known(unsaid, "whether it has a BEC (bec)", "bec")
    elif head is not None and not is_placed(desk.wiring, head):
        desk.not_known(head, "what feeds it")
    elif any(link.kind is LinkKind.SOURCE for link in desk.wiring.links):
        first = head or parts[0]
        yield check.finding(
            f"nothing feeds {_named(desk, first)}{_also(parts, first)}",
            first.span,
            first,
            *parts,
            help="plug a BEC, a regulator or a radio pack into its rail",
        )
    elif head is not None:
        desk.not_known(head, "what feeds it")


def _no_minus(parts: list[Part]) -> Finding:
    return check.finding(
        f"no negative goes from {parts_named(parts)} back to what feeds"
        f" {verb(parts, 'it', 'them')}",
        parts[0].span,
        *parts,
        help="give it a black wire of its own from end to end",
    )


def _also(parts: list[Part], first: Part) -> str:
    others = [part for part in parts if part is not first]
    return f", so {parts_named(others)} {verb(others)} dead too" if others else ""


def _head(desk: Desk, plus: Contact) -> Part | None:
    """Return the box whose rail the net is: a receiver before an autopilot and a sequencer."""
    return min(
        rails(desk.wiring).boxes(plus),
        key=lambda box: (not box.is_radio, not box.sets_outputs, not box.sequences, box.id),
        default=None,
    )


def _named(desk: Desk, part: Part) -> str:
    separate = any(box is part and box.rail == "separate" for box in desk.plan.of(Autopilot))
    return f"the rail of {part.named()}" if separate else part.named()
