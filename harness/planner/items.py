"""What has to be plugged in: what on the signal side has its plug open; and the runs to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from harness.airframe.lengths import LengthNeed, needed_run
from harness.airframe.routes import Airframe
from harness.base.data import dataclass, field
from harness.base.units import WireSize
from harness.facts.wording import quoted
from harness.parts.esc import Esc
from harness.parts.figure import from_catalogue
from harness.parts.load import Load
from harness.parts.part import Part
from harness.parts.wing_plug import WingPlug
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.gear import is_door


@dataclass(frozen=True)
class Device:
    """Something that answers to a pulse. `sign`: -1 behind an odd number of reversers."""

    part: Part
    function: str
    side: str
    sign: int = 1

    @cached_property
    def base(self) -> str:
        """The function's own name, without side, number and place."""
        return self.part.words.base(self.function)

    @property
    def own_side(self) -> str:
        """The side that its function names."""
        return self.part.words.side(self.function)

    @property
    def kind(self) -> str:
        """Servo, door, leg, box (a sequencer), ESC or load."""
        if self.part.swings:
            return "door" if is_door(self.part) else "servo"
        return "leg" if self.part.is_leg else "box" if self.part.sequences else self.part.word

    @property
    def family(self) -> tuple[str, str]:
        """Devices of one family may share a channel: nose steering with the rudder.

        A function with a number in its name (lift-1) shares with no other number.
        """
        if self.kind == "box":
            return ("box", self.part.id)
        if self.kind in {"leg", "door"}:
            return (self.kind, self.own_side)
        numbered = any(c.isdigit() for c in self.function)
        known = self.part.words.find(self.function)
        shares = known.shares[0] if known and known.shares else ""
        word = self.function.lower() if numbered else shares or self.part.words.plain(self.function)
        return (f"{self.kind} {word}", self.own_side)


@dataclass(frozen=True)
class Unplugged:
    """One plug to be placed: a device's own, or that of a lead with its loads on it.

    `circuit`: the one of a wing plug whose fuselage lead it is.

    `length` (mm) and `wire` are those of the lead with that plug; None where nobody said.
    `free`: the free sockets of a lead with loads on it, where others may join them. `leads`: the
    most leads between that plug and a device.
    """

    part: Part
    devices: tuple[Device, ...]
    length: float | None
    wire: WireSize | None
    free: tuple[str, ...] = ()
    leads: int = 0
    circuit: str = ""

    @property
    def id(self) -> str:
        """The id of its part, with the circuit."""
        return f"{self.part.id}.{self.circuit}" if self.circuit else self.part.id

    @property
    def family(self) -> tuple[str, str]:
        """The family of its devices."""
        return self.devices[0].family

    @property
    def is_lead(self) -> bool:
        """Say whether its plug belongs to a lead with loads on it."""
        return self.part.carries_signal


def device_of(plan: Plan, part: Part, sign: int = 1) -> Device | None:
    """Return a part as a device, or None when it answers to no pulse or says no function."""
    if part.sequences:
        return Device(part, "gear", "", sign)
    if part.is_leg and part.kind != "self-contained":
        return None
    if not part.answers or not part.moves:
        return None
    return Device(part, part.moves, plan.words.side(part.moves) or plan.side(part), sign)


def items_of(plan: Plan, wiring: Wiring) -> tuple[Unplugged, ...]:
    """Return every plug to be placed, by id."""
    found = [_item(plan, wiring, part) for part in plan.parts.values()]
    found += [
        _circuit(plan, wiring, plug, name)
        for plug in plan.of(WingPlug)
        for name in plug.circuits
        if name not in plug.plugs
    ]
    return tuple(sorted((item for item in found if item), key=lambda item: item.id))


def _circuit(plan: Plan, wiring: Wiring, plug: WingPlug, name: str) -> Unplugged | None:
    """Nobody says how much of a wing plug's leads lies in the fuselage: its length is unknown."""
    devices = tuple(sorted(_behind(plan, wiring, plug, (name,)), key=lambda d: d.part.id))
    if len({device.family for device in devices}) != 1:
        return None
    return Unplugged(plug, devices, None, plug.wire, (), _leads(wiring, plug, (name,)), name)


def _item(plan: Plan, wiring: Wiring, part: Part) -> Unplugged | None:
    if getattr(part, "plug", None) or (isinstance(part, Load) and part.supply):
        return None
    if part.carries_signal:
        devices = tuple(sorted(_behind(plan, wiring, part, part.outlets), key=lambda d: d.part.id))
    else:
        device = device_of(plan, part)
        devices = (device,) if device else ()
    if not devices or len({device.family for device in devices}) > 1:
        return None
    free = tuple(_free(wiring, part)) if part.carries_signal else ()
    outlets = part.outlets if part.carries_signal else ()
    return Unplugged(part, devices, *own_lead(plan, part), free, _leads(wiring, part, outlets))


def _free(wiring: Wiring, lead: Part) -> Iterator[str]:
    """Yield the free sockets of a lead and of leads on it, but none behind a reverser."""
    if lead.kind == "reverser":
        return
    for name in lead.outlets:
        mates = wiring.by_socket.get((lead.id, name), ())
        if not mates:
            yield f"{lead.id}.{name}"
        for mate in mates:
            if mate.plug.part.carries_signal:
                yield from _free(wiring, mate.plug.part)


def _leads(wiring: Wiring, part: Part, outlets: Sequence[str]) -> int:
    """Count the leads behind one another from a plug to the device that has most of them."""
    if not outlets:
        return 0
    on = (m.plug.part for name in outlets for m in wiring.by_socket.get((part.id, name), ()))
    below = (_leads(wiring, p, p.outlets if p.carries_signal else ()) for p in on)
    return 1 + max(below, default=0)


def _behind(
    plan: Plan, wiring: Wiring, lead: Part, outlets: Sequence[str], sign: int = 1
) -> Iterator[Device]:
    """Yield the devices on some sockets of a lead, through leads on it."""
    sign *= -1 if lead.turns_signal else 1
    for name in outlets:
        for mate in wiring.by_socket.get((lead.id, name), ()):
            part = mate.plug.part
            if part.carries_signal:
                yield from _behind(plan, wiring, part, part.outlets, sign)
            elif device := device_of(plan, part, sign):
                yield device


def own_lead(plan: Plan, part: Part) -> tuple[float | None, WireSize | None]:
    """Return the length (mm) and the wire of a part's own signal lead, stated or of its class."""
    from harness.parts.contacts import size_of

    if isinstance(part, Esc):
        return part.lead_length, part.lead_wire
    length, wire = getattr(part, "length", None), getattr(part, "wire", None)
    if part.swings and part.class_:
        usual = from_catalogue(plan.catalogue, "servos", part.class_, "lead-length")
        length = length if length is not None or usual is None else usual.number
        wire = wire or size_of(plan.catalogue, "servos", part.class_, "lead-wire")
    return length, wire


def left_out(plan: Plan, wiring: Wiring, items: tuple[Unplugged, ...]) -> tuple[str, ...]:
    """Return why open plugs are not placed, or go past a wing plug, a sentence each."""
    placed = {item.id for item in items}
    said = list(_past_plugs(plan, wiring, items))
    for part in sorted(plan.parts.values(), key=lambda p: p.id):
        if part.id in placed or getattr(part, "plug", None):
            continue
        if part.swings:
            said.append(f"{part.named()} is not placed: say what it moves (`moves:`)")
        elif part.is_leg:
            said.append(f"{part.named()} is not placed: bare-motor legs go to a motor outlet")
        elif part.carries_signal and any(_behind(plan, wiring, part, part.outlets)):
            said.append(f"{part.named()} is not placed: what hangs on it is not of one function")
        for name in part.circuits:
            free = f"{part.id}.{name}" not in placed and f"plug-{name}" not in dict(part.joins())
            if free and wiring.by_socket.get((part.id, name)):
                said.append(
                    f'circuit "{name}" of {part.named()} is not placed: what hangs on it is'
                    " not of one function, or says none (`moves:`)"
                )
    return tuple(said)


def _past_plugs(plan: Plan, wiring: Wiring, items: tuple[Unplugged, ...]) -> Iterator[str]:
    """A wing plug that nothing is plugged into, beside open plugs of its own wing, is forgotten."""
    for plug in plan.of(WingPlug):
        empty = plug.place and not any(wiring.by_socket.get((plug.id, n)) for n in plug.circuits)
        beside = [
            i.id
            for i in items
            if empty
            and not i.circuit
            and i.part.place
            and plan.root(i.part.place) == plan.root(plug.place)
        ]
        if beside:
            yield (
                f"{quoted(beside)} would go past {plug.named()}, which is empty: if the wing comes"
                f" off, write `plug: {plug.id}.CIRCUIT` for each, then ask again"
            )


@dataclass
class Runs:
    """The runs of one plan, each asked for once."""

    plan: Plan
    _frame: Airframe | None = None
    _known: dict[tuple[str, str], LengthNeed | None] = field(default_factory=dict)

    def need(self, item: Unplugged, box: str) -> LengthNeed | None:
        """Return what a run needs, or None when it is not known.

        Of a lead with loads on it the way of its own place counts.
        """
        at = (item.part.id, box)
        if at not in self._known:
            self._frame = self._frame or Airframe(self.plan)
            self._known[at] = needed_run(self.plan, *at, airframe=self._frame)
        return self._known[at]

    def missing(self, item: Unplugged, box: str, spent: float = 0.0) -> float:
        """Return the mm of lead a run still wants beyond the part's own, 0 when not known."""
        need = self.need(item, box)
        if need is None or item.length is None:
            return 0.0
        return max(0.0, round(need.needed - item.length - spent, 3))

    def known(self, item: Unplugged, box: str) -> bool:
        """Say whether the length a run wants is known."""
        return self.need(item, box) is not None and item.length is not None

    def shared(self, items: tuple[Unplugged, ...], box: str) -> tuple[str, float]:
        """Return the last place that all runs pass, from the box on, and the mm of way to it.

        ("", 0) where that is the box's own place, or not known.
        """
        needs = [self.need(item, box) for item in items]
        ways = [tuple(reversed(need.places)) for need in needs if need]
        if len(ways) < len(items) or not ways[0]:
            return "", 0.0
        count = 0
        while all(len(way) > count for way in ways) and len({way[count] for way in ways}) == 1:
            count += 1
        first = needs[0]
        if count < 2 or first is None:
            return "", 0.0
        legs = [leg for leg in reversed(first.way.legs) if not leg.inside][: count - 1]
        return ways[0][count - 1], round(sum(leg.length for leg in legs), 3)
