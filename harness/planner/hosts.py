"""Where things can be plugged in: free sockets, free outlets, free ends of leads already there.

Also which function the radio expects on which channel.
"""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.data import dataclass, replace
from harness.catalogue.functions import Vocabulary
from harness.facts.signals import STICKS, radio_order
from harness.parts.autopilot import Autopilot
from harness.parts.contacts import Form, Port
from harness.parts.receiver import Receiver
from harness.parts.sequencer import Sequencer
from harness.plan.plan import Plan
from harness.planner.items import Device, Unplugged, device_of
from harness.wiring.build import Wiring
from harness.wiring.gear import DIRECTIONS, opens_or_closes, steps_of

LIMITS_SENT = "channels sent"
PLUG_OF = "the plug of "
IN_USE = " in use"
"""How limits are named: a plug in a socket; a channel that another receiver gives already."""


@dataclass(frozen=True)
class HostEnd:
    """One free socket. `spent`, `leads`: mm and number of leads between it and its box.

    `sign`: -1 if reversed.

    Behind a wing plug or a stabiliser: `word`, the circuit or outlet; `root`, what stays together
    with the wing plug on dismantling.
    """

    socket: str
    spent: float = 0.0
    sign: int = 1
    word: str = ""
    root: str = ""
    leads: int = 0

    def fits(self, plan: Plan, item: Unplugged) -> bool:
        """Say whether an item may go there: its side of the joint, the circuit's function."""
        home = plan.root(item.part.place) if item.part.place else ""
        if self.root and (item.circuit or (home and home != self.root)):
            return False
        function = item.devices[0].function
        return not plan.words.is_flown(self.word) or plan.words.agree(function, self.word)


@dataclass(frozen=True)
class Host:
    """One pulse that a group can be put on.

    `box`: the part that gives it; `name`: its socket there; `ends`: where plugs can go;
    `function`: what the plan has on it; `role`: door or leg on a sequencer's outlet;
    `already`: the devices that hang on it; `blocked`: limits of the plan that rule it out;
    `channel`: that of its socket, "" on an outlet.
    """

    box: str
    name: str
    ends: tuple[HostEnd, ...]
    function: str = ""
    role: str = ""
    already: tuple[Device, ...] = ()
    blocked: tuple[str, ...] = ()
    outlet: bool = False
    channel: str = ""

    @property
    def id(self) -> str:
        """part.socket."""
        return f"{self.box}.{self.name}"

    @property
    def plain(self) -> bool:
        """Say whether it is an empty channel socket, like others of its box."""
        return not self.outlet and [end.socket for end in self.ends] == [self.id]

    @property
    def order(self) -> tuple[int, int, str, str]:
        """Natural order: outlets last, numbers before words."""
        number = int(self.channel or self.name) if (self.channel or self.name).isdecimal() else 999
        return (int(self.outlet), number, self.name, self.box)


def takes(words: Vocabulary, function: str, side: str, channel: str) -> bool:
    """Say whether a device may hang on a channel of that name."""
    return words.agree(function, channel) and len({side, words.side(channel)} - {""}) < 2


def at_home(words: Vocabulary, function: str, channel: str) -> bool:
    """Say whether a channel of that name is a function's own, or a mix that it is half of."""
    one, other = words.plain(function), words.plain(channel)
    near = one == other or one.startswith(f"{other}-") or other.startswith(f"{one}-")
    return near or (words.base(channel) in words.mixed() and words.agree(one, other))


def boxes(plan: Plan) -> list[Receiver | Autopilot]:
    """Return what gives out channels: receivers, and autopilots; not a receiver on a bus lead."""
    found = [r for r in plan.of(Receiver) if r.plug is None]
    return sorted([*found, *plan.of(Autopilot)], key=lambda part: part.id)


def hosts_of(plan: Plan, wiring: Wiring) -> tuple[Host, ...]:
    """Return every pulse a group can be put on, in natural order."""
    found = [_channel(plan, wiring, box, name) for box in boxes(plan) for name in box.channels]
    for sequencer in plan.of(Sequencer):
        found += _outlets(plan, wiring, sequencer)
    return tuple(sorted(_once_each(found), key=lambda host: host.order))


def _once_each(found: list[Host]) -> Iterator[Host]:
    """Of one channel on several receivers only the used one counts, else the first's."""
    used = {h.channel: h.id for h in found if h.channel and (h.already or h.blocked)}
    for host in found:
        if host.plain and used.get(host.channel, host.id) != host.id:
            yield replace(host, blocked=(*host.blocked, f"channel {host.channel}{IN_USE}"))
        else:
            yield host


def _channel(plan: Plan, wiring: Wiring, box: Receiver | Autopilot, name: str) -> Host:
    sent, port = plan.transmitter.channels, wiring.ports[box.id, name]
    channel, function = port.channel, plan.gives(port)
    beyond = sent is not None and channel.isdecimal() and int(channel) > sent
    limits = (LIMITS_SENT,) if beyond and box.is_radio else ()
    mates = wiring.by_socket.get((box.id, name), [])
    if not mates:
        return Host(
            box.id, name, (HostEnd(f"{box.id}.{name}"),), function, blocked=limits, channel=channel
        )
    ends = tuple(_free(wiring, port, HostEnd("")))
    already = _already(plan, wiring, (box.id, name))
    if not ends:
        plug = f"{PLUG_OF}{mates[0].plug.part.id}"
        end = (HostEnd(f"{box.id}.{name}"),)
        return Host(box.id, name, end, function, blocked=(*limits, plug), channel=channel)
    return Host(box.id, name, ends, function, already=already, blocked=limits, channel=channel)


def _free(wiring: Wiring, socket: Port, above: HostEnd) -> Iterator[HostEnd]:
    """Yield the free ends of the leads that hang on a socket; not through a sequencer."""
    for mate in wiring.by_socket.get(socket.id, ()):
        part = mate.plug.part
        if not (part.carries_signal or part.circuits or part.relays) or not mate.fits:
            continue
        spent = above.spent + (getattr(part, "length", None) or 0.0)
        turn = -1 if part.turns_signal else 1
        root = wiring.plan.root(part.place) if part.circuits else above.root
        leads = above.leads + 1 if part.in_line else 0  # a box begins a new run
        for port in sorted(wiring.by_part[part.id], key=lambda p: p.name):
            if port.is_plug or port.passes != mate.plug.name or port.form is not Form.THREE_PIN:
                continue
            word = above.word if part.carries_signal else part.axis(port.name) or port.name
            end = HostEnd(f"{part.id}.{port.name}", spent, above.sign * turn, word, root, leads)
            if wiring.by_socket.get(port.id):
                yield from _free(wiring, port, end)
            else:
                yield end


def _already(plan: Plan, wiring: Wiring, socket: tuple[str, str]) -> tuple[Device, ...]:
    """Return the devices that hang on a socket already, those behind a sequencer left out."""
    found = []
    for port in wiring.downstream(socket):
        chain = wiring.upstream(*port.id)
        parts = [mate.socket.part for mate in chain if mate.socket]
        if any(part.sequences for part in parts[:-1]):
            continue
        turns = sum(part.turns_signal for part in parts)
        device = device_of(plan, port.part, -1 if turns % 2 else 1)
        found += [device] if device else []
    return tuple(sorted(found, key=lambda d: d.part.id))


def _outlets(plan: Plan, wiring: Wiring, box: Sequencer) -> Iterator[Host]:
    for name in box.outlets:
        if name in box.motor_outlets:
            continue
        port = wiring.ports[box.id, name]
        ends: tuple[HostEnd, ...] = (HostEnd(f"{box.id}.{name}"),)
        already: tuple[Device, ...] = ()
        if wiring.by_socket.get(port.id):
            ends = tuple(_free(wiring, port, HostEnd("")))
            already = tuple(
                device
                for p in wiring.downstream(port.id)
                if (p.part.swings or p.part.is_leg) and (device := device_of(plan, p.part))
            )
        if ends:
            yield Host(box.id, name, ends, "", role_of(box, name), already, outlet=True)


def role_of(box: Sequencer, outlet: str) -> str:
    """Return door or leg by what the outlet's steps say, "" where they do not say."""
    steps = [s for way in DIRECTIONS for s in steps_of(box, way) if s.outlet == outlet]
    if any(opens_or_closes(step) for step in steps):
        return "door"
    return "leg" if any(step.to.strip().lower() in DIRECTIONS for step in steps) else ""


USUAL = {"gear": "5", "flap": "6"}
"""Channel 5 is commonly gear, 6 flap or the second aileron: common practice."""
SECOND_AILERON = "6"


def _letters(plan: Plan, stated: bool) -> str:
    order, _ = radio_order(plan)
    if not order and not stated:
        order = plan.catalogue.require("rules", "channels", "order").text
    return order if sorted(order) == sorted(STICKS) else ""


def expected_stick(plan: Plan, channel: str) -> str:
    """Return the stick function that one of the first four channels must have, or "".

    Only where the plan says what the radio sends, or an autopilot does.
    """
    letters = _letters(plan, stated=True)
    number = int(channel) if channel.isdecimal() else 0
    return STICKS[letters[number - 1]] if letters and 1 <= number <= 4 else ""


def expected(plan: Plan) -> dict[str, str]:
    """Return the channel that each function is expected on.

    By the order that the plan states, else by the receiver's print, else by custom.
    """
    sticks, sent = (
        {STICKS[c]: str(n) for n, c in enumerate(_letters(plan, stated=said), 1)}
        for said in (False, True)
    )
    return {**sticks, **USUAL, **printed(plan), **sent}


def second_aileron(plan: Plan) -> str:
    """Return the channel of the right aileron, "" where that is printed for something else."""
    there = {number: base for base, number in printed(plan).items()}
    return SECOND_AILERON if there.get(SECOND_AILERON, "flap") == "flap" else ""


def printed(plan: Plan) -> dict[str, str]:
    """Return the channels of functions by the names on the sockets of the first receiver."""
    radios = (part.channels for part in plan.parts.values() if part.is_radio)
    print_ = {plan.words.find(name): number for name, number in next(radios, {}).items()}
    return {f.name: number for f, number in print_.items() if f is not None and f.flown}
