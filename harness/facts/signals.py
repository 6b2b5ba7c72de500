"""Which pulse reaches which part: from a device to the channel that drives it, and what that sends.

A way with a fault in it (no such socket, unlike forms, a socket taken twice) leads nowhere here:
the rule about that fault speaks, and the others stand back.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Collection, Sequence

from harness.base.data import dataclass
from harness.base.near import spoken
from harness.base.span import Span
from harness.parts.autopilot import Autopilot
from harness.parts.contacts import Port
from harness.parts.figure import origin_of
from harness.parts.part import Part
from harness.parts.receiver import Receiver
from harness.parts.servo import Servo
from harness.parts.wing_plug import WingPlug
from harness.plan.plan import Plan
from harness.plan.radio import Channel
from harness.wiring.build import Mate, Wiring
from harness.wiring.fact import fact

STICKS = {"A": "aileron", "E": "elevator", "T": "throttle", "R": "rudder"}
"""The functions of the first four channels by their initials."""


@dataclass(frozen=True, slots=True)
class Drive:
    """One device and the sound mates from its plug up.

    `outlet` makes its pulse: a sequencer's outlet, or else a socket of a receiver or autopilot.
    `socket` is the receiver's or autopilot's socket at the upper end, or None where it hangs loose.
    """

    part: Part
    chain: tuple[Mate, ...]
    outlet: Port
    socket: Port | None

    @property
    def span(self) -> Span:
        """Where the plan says into what the device is plugged."""
        return self.chain[0].span

    @property
    def sequenced(self) -> bool:
        """Say whether a sequencer makes its pulse."""
        return self.outlet.part.sequences

    @property
    def signal(self) -> tuple[str, str]:
        """What all devices with the same pulse have in common.

        A channel comes out of every receiver that has a socket for it.
        """
        outlet = self.outlet
        return ("" if outlet.part.is_radio else outlet.part.id, outlet.channel or outlet.name)

    @property
    def reversals(self) -> int:
        """+1, or -1 with an odd number of in-line reversers below the outlet."""
        count = 0
        for mate in self.chain:
            if mate.socket is None or mate.socket.id == self.outlet.id:
                break
            part = mate.socket.part
            count += part.turns_signal
        return -1 if count % 2 else 1


def sound(wiring: Wiring, mate: Mate) -> bool:
    """Say whether a plug sits alone in a socket of its own form."""
    socket = mate.socket
    return socket is not None and mate.fits and len(wiring.by_socket[socket.id]) == 1


def is_channel(socket: Port) -> bool:
    """Say whether a socket gives out a channel."""
    return socket.channel != ""


def free_sockets(wiring: Wiring, owner: str, plug: Port) -> list[str]:
    """Return a part's empty sockets that a plug fits; a supply socket is none for a device."""
    device = plug.part.answers or plug.part.sequences or plug.part.carries_signal
    return [
        port.name
        for port in wiring.by_part[owner]
        if not port.is_plug
        and set(port.forms) & set(plug.forms)
        and not wiring.by_socket.get(port.id)
        and port.data is plug.data
        and (is_channel(port) or not device or not port.part.has_channels)
    ]


def drive_of(wiring: Wiring, part: Part) -> Drive | None:
    """Return what drives a part, or None when its way up breaks before anything makes a pulse."""
    chain: list[Mate] = []
    outlet: Port | None = None
    for mate in wiring.upstream(part.id):
        if not sound(wiring, mate):
            break
        chain.append(mate)
        socket = mate.socket
        assert socket is not None
        if outlet is None and socket.part.sequences:
            outlet = socket
        if is_channel(socket):
            return Drive(part, tuple(chain), outlet or socket, socket)
    return Drive(part, tuple(chain), outlet, None) if outlet else None


@fact
def drives(wiring: Wiring) -> tuple[Drive, ...]:
    """Return what drives every device, by id; a load that nothing switches is none."""
    found = (
        drive_of(wiring, part)
        for part in sorted(wiring.plan.parts.values(), key=lambda part: part.id)
        if part.answers and (part.moves or part.swings)
    )
    return tuple(drive for drive in found if drive is not None)


def by_signal(wiring: Wiring) -> dict[tuple[str, str], list[Drive]]:
    """Return the devices that share one pulse."""
    found: dict[tuple[str, str], list[Drive]] = defaultdict(list)
    for drive in drives(wiring):
        found[drive.signal].append(drive)
    return dict(sorted(found.items()))


def by_channel(wiring: Wiring) -> dict[tuple[str, str], list[Drive]]:
    """Return the devices below each channel socket, through sequencers too."""
    found: dict[tuple[str, str], list[Drive]] = defaultdict(list)
    for drive in drives(wiring):
        if drive.socket is not None:
            found[drive.socket.id].append(drive)
    return dict(sorted(found.items()))


def channel_key(drive: Drive) -> tuple[str, str] | None:
    """Return what all devices of one channel share: the same for every receiver."""
    if drive.socket is None:
        return None
    part = drive.socket.part
    return ("" if part.is_radio else part.id, drive.socket.channel)


def channel_function(plan: Plan, socket: Port | None) -> str:
    """Return the function of a channel socket, or "" when the plan gives none."""
    return plan.gives(socket)


def stated_function(part: Part) -> str:
    """Return the function the plan states for a device, or ""."""
    return str(getattr(part, "moves", "")) if "moves" in part.spans else ""


def function_of(plan: Plan, drive: Drive) -> str:
    """Return what a device moves: stated, else its channel's function, else its kind's own.

    An ESC is for throttle, a leg or sequencer for gear, unless its channel bears a word of the
    plan's own.
    """
    own = stated_function(drive.part)
    default = "gear" if drive.part.sequences else str(getattr(drive.part, "moves", ""))
    channel = channel_function(plan, drive.socket)
    if own or not channel:
        return own or default
    return default if default and plan.words.is_flown(channel) else channel


def base_of(plan: Plan, drive: Drive) -> str:
    """Return what a device moves by the function's own name, without side, number and place."""
    return plan.words.base(function_of(plan, drive))


def side_of(plan: Plan, part: Part) -> str:
    """Return the side a device works on: from its function, else its place or id."""
    return plan.words.side(stated_function(part)) or plan.side(part)


@fact
def on_other_side(wiring: Wiring) -> tuple[tuple[Part, str, str], ...]:
    """Return parts that sit on one side and move the other's surface: part, sits, moves."""
    plan = wiring.plan
    found = (
        (part, plan.side(part), plan.words.side(stated_function(part)))
        for part in sorted(plan.parts.values(), key=lambda part: part.id)
    )
    return tuple(one for one in found if {*one[1:]} == {"left", "right"})


def belongs(plan: Plan, drive: Drive) -> bool:
    """Say whether a device is on a channel of its function and side."""
    channel = channel_function(plan, drive.socket)
    if not plan.words.agree(function_of(plan, drive), channel):
        return False
    sides = {plan.words.side(channel), side_of(plan, drive.part)} - {""}
    return len(sides) < 2


@dataclass(frozen=True, slots=True)
class Steadied:
    """One outlet of a box in line: what it is steadied for, its channel, and what hangs on it.

    `axis`, `source`: functions, "" where nobody said; `mate`: its input lead, `socket`:
    the channel that comes from.
    """

    box: Part
    outlet: str
    axis: str
    source: str
    mate: Mate
    socket: Port
    hung: tuple[Drive, ...]

    def misfed(self, plan: Plan) -> bool:
        """Say whether its channel is that of another function."""
        both = plan.words.find(self.axis) and plan.words.find(self.source)
        return bool(both) and not plan.words.agree(self.source, self.axis)


@fact
def steadied(wiring: Wiring) -> tuple[Steadied, ...]:
    """Return the outlets of every stabiliser with a sound lead to a channel, by box and name."""
    found = []
    for box in sorted((p for p in wiring.plan.parts.values() if p.relays), key=lambda p: p.id):
        for port, _ in box.joins():
            above = [mate for mate in wiring.upstream(box.id, port) if mate.socket]
            ends = [m.socket for m in above if m.socket and is_channel(m.socket)]
            if not ends or not all(sound(wiring, mate) for mate in above):
                continue
            name = port.removeprefix("plug-")
            on = [d for d in drives(wiring) if _passes(d, box.id, name)]
            source = channel_function(wiring.plan, ends[0])
            found.append(Steadied(box, name, box.axis(name), source, above[0], ends[0], tuple(on)))
    return tuple(found)


def _passes(drive: Drive, box: str, outlet: str) -> bool:
    sockets = (mate.socket for mate in drive.chain)
    return any(s is not None and s.id == (box, outlet) for s in sockets)


def astray(wiring: Wiring) -> dict[str, str]:
    """Return the channels without a socket whose devices hang on another one.

    channel: that of the socket. One fault, two names: `unnamed-channel` reports it.
    """
    plan = wiring.plan
    sockets = {name for receiver in plan.of(Receiver) for name in receiver.channels.values()}
    homeless = {c.function: name for name, c in plan.channels.items() if name not in sockets}
    found: dict[str, str] = {}
    for group in by_channel(wiring).values():
        socket = group[0].socket
        function = function_of(plan, group[0])
        own = socket and socket.part.is_radio and not channel_function(plan, socket)
        if socket and own and function in homeless:
            found.setdefault(homeless[function], socket.channel)
    return found


@dataclass(frozen=True, slots=True)
class Misprint:
    """A socket printed with a stick's function that the plan has on another channel, `meant`."""

    receiver: Receiver
    socket: str
    function: str
    meant: str


@fact
def misprints(wiring: Wiring) -> dict[tuple[str, str], Misprint]:
    """Return the sockets whose print and number disagree, by id: one of the two is wrong.

    The channel meant has a socket too, and that is printed with another stick's function.
    """
    plan, found = wiring.plan, dict[tuple[str, str], Misprint]()
    homes = {plan.words.base(c.function): number for number, c in plan.channels.items()}
    for receiver in plan.of(Receiver):
        print_ = {n: plan.words.base(name) for name, n in receiver.channels.items() if name != n}
        for name, number in receiver.channels.items():
            function = print_.get(number, "")
            meant = homes.get(function, number) if function in STICKS.values() else number
            other = print_.get(meant, "") in STICKS.values()
            if other and meant != number and plan.words.base(_said(plan, number)) != function:
                found[receiver.id, name] = Misprint(receiver, name, function, meant)
    return found


def _said(plan: Plan, number: str) -> str:
    channel = plan.channels.get(number)
    return channel.function if channel else ""


def has_bus(plan: Plan) -> bool:
    """Say whether a receiver hands all its channels on by a bus lead."""
    return any(receiver.plug for receiver in plan.of(Receiver))


def named(parts: Sequence[Part]) -> str:
    """Return how a message names parts: servo "a", or servos "a" and "b"."""
    if len(parts) == 1:
        return parts[0].named()
    words = {part.word for part in parts}
    ids = spoken(f'"{part.id}"' for part in parts)
    return f"{next(iter(words))}s {ids}" if len(words) == 1 else spoken(p.named() for p in parts)


def circuit_of(drive: Drive, plug: WingPlug) -> str:
    """Return the circuit of a wing plug that a device's lead runs through, or ""."""
    sockets = (mate.socket for mate in drive.chain)
    return next((s.name for s in sockets if s is not None and s.part is plug), "")


def radio_order(plan: Plan) -> tuple[str, str]:
    """Return the order of the first four channels by initials, and where it is said, or ""."""
    if plan.transmitter.order:
        line = plan.transmitter.spans["order"].line
        return plan.transmitter.order.upper(), f"plan line {line}"
    if any(True for _ in plan.of(Autopilot)):
        value = plan.catalogue.require("rules", "channels", "order")
        return value.text, value.source
    return "", ""


def drives_on(wiring: Wiring, channel: str) -> list[Drive]:
    """Return the devices that a receiver's channel drives."""
    return [drive for drive in drives(wiring) if channel_key(drive) == ("", channel)]


def drives_for(wiring: Wiring, functions: Collection[str]) -> list[Drive]:
    """Return the devices that have one of some functions."""
    return [d for d in drives(wiring) if base_of(wiring.plan, d) in functions]


def escs_on(wiring: Wiring, name: str, channel: Channel) -> list[str]:
    """Return the ESCs whose throttle a channel is; else, of a throttle, what is plugged into it."""
    plan = wiring.plan
    direct = [d.part.id for d in drives_on(wiring, name) if d.part.drives and belongs(plan, d)]
    if direct or plan.words.base(channel.function) != "throttle":
        return direct
    if has_bus(plan):
        motors = [drive for drive in drives(wiring) if drive.part.drives]
        return [
            d.part.id for d in motors if plan.words.agree(function_of(plan, d), channel.function)
        ]
    sockets = [s for s in wiring.ports.values() if s.part.is_radio and s.channel == name]
    return sorted(port.part.id for s in sockets for port in wiring.downstream(s.id))


def functions_astray(wiring: Wiring) -> list[str]:
    """Return the functions of devices that are on no channel of theirs."""
    plan = wiring.plan
    home = {drive.part.id for drive in drives(wiring) if belongs(plan, drive)}
    devices = [part for part in plan.parts.values() if part.answers]
    return [part.moves for part in devices if part.id not in home and part.moves]


def frames_of(plan: Plan, servo: Servo) -> tuple[str, str]:
    """Return whether a servo is analogue or digital, or "", and where that comes from."""
    if servo.signal:
        return servo.signal, f"plan line {servo.at('signal').line}"
    value = plan.catalogue.value("servos", servo.class_, "kind") if servo.class_ else None
    known = value is not None and value.text in {"analogue", "digital"}
    return (value.text, origin_of(value)) if value is not None and known else ("", "")


_SHARE = re.compile(r"(-?[0-9]+(?:\.[0-9]+)?)\s*%?\Z")

OFF = frozenset({"off", "idle", "low", "cut", "closed", "none", "stop", "no pulse", "no pulses"})
STAYS = frozenset({"hold", "holds", "last", "keep"})
UP = frozenset({"up", "retract", "retracted", "in", "raised", "closed"})
DOWN = frozenset({"down", "extend", "extended", "out", "lowered", "open"})


def plain_words(text: str) -> str:
    """Return a failsafe as written, in lower case with single spaces."""
    return " ".join(text.lower().replace("-", " ").split()) if not share(text) else text.strip()


def share(text: str) -> bool:
    """Say whether a failsafe is a number or percentage."""
    return _SHARE.match(text.strip()) is not None


def is_zero(text: str) -> bool:
    """Say whether a failsafe is a share of nothing, or less than nothing."""
    found = _SHARE.match(text.strip())
    return found is not None and float(found[1]) <= 0
