"""Left and right of one flight function run through a single plug.

What it looks for
    A wing-root plug that carries both sides of ailerons, elevators or another flight function.
    A contact that both sides' wires share is named.

Why it matters
    One worn or half-seated plug and both sides are lost at once; with a plug a side the model can
    still be landed.

An example that fails
    channels: {1: aileron-left, 2: aileron-right}
    receivers:
      rx: {sockets: 6}
    servos:
      aileron-left: {moves: aileron, plug: wing-plug.left}
      aileron-right: {moves: aileron, plug: wing-plug.right}
    wing-plugs:
      wing-plug:
        contacts: 6
        circuits:
          left: {signal: 1, positive: 2, negative: 3}
          right: {signal: 4, positive: 5, negative: 6}
        plugs: {left: rx.1, right: rx.2}

The same, mended
    servos:
      aileron-left: {moves: aileron, plug: plug-left.a}
      aileron-right: {moves: aileron, plug: plug-right.a}
    wing-plugs:
      wing-plug: taken out
      plug-left:
        contacts: 3
        circuits:
          a: {signal: 1, positive: 2, negative: 3}
        plugs: {a: rx.1}
      plug-right:
        contacts: 3
        circuits:
          a: {signal: 1, positive: 2, negative: 3}
        plugs: {a: rx.2}

Where it comes from
    Common practice; no published source.
"""

from __future__ import annotations

from collections import defaultdict

from harness.base.finding import Finding, Severity
from harness.base.functions import plain
from harness.base.near import spoken
from harness.facts.channels import drives_for
from harness.facts.signals import Drive, circuit_of, function_of, named, side_of
from harness.parts.wing_plug import WingPlug
from harness.rules.rule import Desk, Findings, rule
from harness.wiring.draws import FLIGHT

Loss = dict[str, list[Drive]]
"""By function, the devices on both sides that one plug carries."""


@rule(Severity.WARNING)
def check(desk: Desk) -> Findings:
    """Report each plug once, with all the functions it would take away."""
    every = _flight(desk)
    for plug in sorted(desk.plan.of(WingPlug), key=lambda p: p.id):
        loss = _both_sides(desk, plug, every)
        if loss:
            yield _finding(desk, plug, loss)


def _flight(desk: Desk) -> Loss:
    """Return the devices of every flight function."""
    every: Loss = defaultdict(list)
    for drive in drives_for(desk.wiring, FLIGHT):
        if not drive.part.drives:
            every[plain(function_of(desk.plan, drive))].append(drive)
    return every


def _both_sides(desk: Desk, plug: WingPlug, every: Loss) -> Loss:
    through = {name: [d for d in found if circuit_of(d, plug)] for name, found in every.items()}
    return {name: found for name, found in through.items() if _lost(desk, found, every[name])}


def _lost(desk: Desk, found: list[Drive], every: list[Drive]) -> bool:
    sides = {side_of(desk.plan, drive.part) for drive in found}
    return {"left", "right"} <= sides or (len(found) == len(every) > 1 and sides == {""})


def _finding(desk: Desk, plug: WingPlug, loss: Loss) -> Finding:
    gone = [drive for name in sorted(loss) for drive in loss[name]]
    contacts = _contacts(plug, gone)
    worn = [f for f in desk.plan.as_found if _is_worn(f.end, f.fact, f.mended, plug.id)]
    message = f"{named([d.part for d in gone])} all run through {plug.named()}"
    message = message.replace(" all run", " both run") if len(gone) == 2 else message
    if contacts:
        word = "contact" if len(contacts) == 1 else "contacts"
        verb = "carries" if len(contacts) == 1 else "carry"
        message += f", {word} {spoken(contacts)} {verb} both sides"
    message += ", found worn" if worn else ""
    return check.finding(
        f"{message}: one bad plug and all {spoken(sorted(loss))} control is lost",
        plug.at("circuits") if not worn else worn[0].spans["end"],
        plug,
        *(drive.part for drive in gone),
        severity=Severity.ERROR if worn else None,
        help="give each side a plug of its own",
        numbers=tuple((d.part.id, _table(plug, d)) for d in gone),
    )


def _is_worn(end: str, fact: str, mended: str, plug: str) -> bool:
    return fact == "worn" and not mended and end.partition(".")[0] == plug


def _contacts(plug: WingPlug, gone: list[Drive]) -> list[str]:
    """Return the contacts that more than one circuit of the lost devices uses."""
    users: dict[int, set[str]] = defaultdict(set)
    for drive in gone:
        name = circuit_of(drive, plug)
        circuit = plug.circuits[name]
        for number in (circuit.signal, circuit.positive, circuit.negative):
            if number is not None:
                users[number].add(drive.part.id)
    return [str(number) for number, parts in sorted(users.items()) if len(parts) > 1]


def _table(plug: WingPlug, drive: Drive) -> str:
    name = circuit_of(drive, plug)
    circuit = plug.circuits[name]
    pins = (("signal", circuit.signal), ("positive", circuit.positive))
    said = [f"{pin} {n}" for pin, n in (*pins, ("negative", circuit.negative)) if n is not None]
    return f'circuit "{name}", contacts {", ".join(said)} (plan line {circuit.span.line})'
