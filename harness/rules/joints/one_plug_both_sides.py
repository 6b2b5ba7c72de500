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
from harness.base.near import spoken
from harness.facts.signals import Drive, base_of, circuit_of, drives, named, side_of
from harness.facts.wording import in_plan, verb
from harness.parts.join import PINS
from harness.parts.wing_plug import WingPlug
from harness.rules.rule import Desk, Findings, rule

Loss = dict[str, list[Drive]]
"""By function, the devices on both sides that one plug carries."""


@rule(Severity.WARNING, Severity.ERROR)
def check(desk: Desk) -> Findings:
    """Report each plug once, with all the functions it would take away."""
    every: Loss = defaultdict(list)
    for drive in drives(desk.wiring):
        name = base_of(desk.plan, drive)
        function = desk.plan.words.find(name)
        if function and function.group == "flight" and not drive.part.drives:
            every[name].append(drive)
    for plug in sorted(desk.plan.of(WingPlug), key=lambda p: p.id):
        through = {name: [d for d in found if circuit_of(d, plug)] for name, found in every.items()}
        loss = {name: found for name, found in through.items() if _lost(desk, found, every[name])}
        if loss:
            yield _finding(desk, plug, loss)


def _lost(desk: Desk, found: list[Drive], every: list[Drive]) -> bool:
    sides = {side_of(desk.plan, drive.part) for drive in found}
    return {"left", "right"} <= sides or (len(found) == len(every) > 1 and sides == {""})


def _finding(desk: Desk, plug: WingPlug, loss: Loss) -> Finding:
    gone = [drive for name in sorted(loss) for drive in loss[name]]
    parts = [drive.part for drive in gone]
    worn = [f for f in desk.plan.as_found if _is_worn(f.end, f.fact, f.mended, plug.id)]
    all_ = "both" if len(gone) == 2 else "all"
    return check.finding(
        f"{named(parts)} {all_} run through {plug.named()}{_shared(plug, gone)}"
        f"{', found worn' if worn else ''}: one bad plug and all {spoken(sorted(loss))} control"
        " is lost",
        plug.at("circuits") if not worn else worn[0].spans["end"],
        plug,
        *parts,
        severity=Severity.ERROR if worn else None,
        help="give each side a plug of its own",
        numbers=tuple((d.part.id, _table(plug, circuit_of(d, plug))) for d in gone),
    )


def _is_worn(end: str, fact: str, mended: str, plug: str) -> bool:
    return fact == "worn" and not mended and end.partition(".")[0] == plug


def _shared(plug: WingPlug, gone: list[Drive]) -> str:
    """Name the contacts that more than one circuit of the lost devices uses."""
    users: dict[int, set[str]] = defaultdict(set)
    for drive in gone:
        for number in _contacts(plug, circuit_of(drive, plug)).values():
            users[number].add(drive.part.id)
    both = [str(number) for number, parts in sorted(users.items()) if len(parts) > 1]
    word = f"{verb(both, 'contact', 'contacts')} {spoken(both)} {verb(both, 'carries', 'carry')}"
    return f", {word} both sides" if both else ""


def _contacts(plug: WingPlug, circuit: str) -> dict[str, int]:
    """Return the contacts of a circuit by pin."""
    numbers = {pin: getattr(plug.circuits[circuit], pin) for pin in PINS}
    return {pin: number for pin, number in numbers.items() if number is not None}


def _table(plug: WingPlug, name: str) -> str:
    said = ", ".join(f"{pin} {number}" for pin, number in _contacts(plug, name).items())
    return in_plan(f'circuit "{name}", contacts {said}', plug.circuits[name].span)
