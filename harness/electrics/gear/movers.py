"""Which servos and legs a function moves, through which box, and how fast the legs are."""

from __future__ import annotations

from collections.abc import Mapping

from harness.base.functions import plain
from harness.base.near import spoken
from harness.base.refusal import Refusal
from harness.electrics.gear.motion import Mover
from harness.parts.contacts import Port
from harness.parts.figure import Figure, rule_figure, stated
from harness.parts.part import of_kind
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer
from harness.parts.servo import Servo
from harness.plan.plan import Plan
from harness.wiring.build import Wiring


def functions_of(wiring: Wiring) -> dict[str, tuple[Mover, ...]]:
    """Return the functions that move servos or legs, and what they move by id.

    A function is that of the channel whose pulse comes down the wires; where no channel says, that
    of the legs on the same box, or of the part itself.
    """
    movers = {m.part.id: m for m in _movers(wiring)}
    words = {name: _function(wiring, mover) for name, mover in movers.items()}
    found: dict[str, list[Mover]] = {}
    for name in sorted(movers):
        found.setdefault(words[name] or _of_box(movers, movers[name]), []).append(movers[name])
    return {word: tuple(found[word]) for word in sorted(found) if word}


def movers_of(wiring: Wiring, function: str) -> tuple[Mover, ...]:
    """Return what a function moves, by id. Raises Refusal when nothing does.

    A function by its own name, else every one that is the same without side and number.
    """
    every = functions_of(wiring)
    if function in every:
        return every[function]
    same = [m for word, ms in every.items() if plain(word) == plain(function) for m in ms]
    if same:
        return tuple(sorted(same, key=lambda m: m.part.id))
    there = f"it can be {spoken(every, 'or')}" if every else "the plan has no servo and no leg"
    raise Refusal(f'no servo or leg is moved by "{function}": {there}')


def _movers(wiring: Wiring) -> list[Mover]:
    found = []
    kinds: tuple[type[Servo | Retract], ...] = (Servo, Retract)
    for part in (p for p in wiring.plan.parts.values() if isinstance(p, kinds)):
        sockets = [m.socket for m in wiring.upstream(part.id) if m.socket and m.fits]
        boxes = of_kind(Sequencer, (s.part for s in sockets))
        outlets = [s.name for s in sockets if s.part.sequences]
        found.append(Mover(part, boxes[0] if boxes else None, outlets[0] if outlets else ""))
    return found


def _function(wiring: Wiring, mover: Mover) -> str:
    """Return the function of the channel above a part, or "" when no channel is known."""
    socket = wiring.driver(mover.part.id)
    return _channel(wiring.plan, socket) if socket else ""


def _channel(plan: Plan, socket: Port) -> str:
    if socket.part.sets_outputs:
        return socket.part.outputs.get(socket.name, "")
    channel = plan.channels.get(socket.name) if socket.part.is_radio else None
    return channel.function if channel else ""


def _of_box(movers: Mapping[str, Mover], mover: Mover) -> str:
    """A door on the outlet of a box moves with the legs of that box."""
    if mover.box is None:
        return mover.part.moves
    legs = [m for m in movers.values() if m.box == mover.box and m.part.is_leg]
    return legs[0].part.moves if legs else mover.part.moves


def travels(plan: Plan, legs: list[Retract]) -> dict[str, Figure]:
    """Return the travel of legs from end to end, in s."""
    return {leg.id: leg.figure(plan.catalogue, "travel", "travel-time") for leg in legs}


def slow_travels(plan: Plan, legs: list[Retract]) -> dict[str, Figure]:
    """Return the slow travel of legs in s: stated, or with the allowance for a low battery."""
    more = rule_figure(plan.catalogue, "doors", "slowest-leg")
    found = {}
    for leg in legs:
        usual = leg.figure(plan.catalogue, "travel", "travel-time")
        raised = Figure(usual.number * (1 + more.number), f"{usual.origin}, and {more.origin}")
        found[leg.id] = stated(leg, "slow", leg.slow) or raised
    return found
