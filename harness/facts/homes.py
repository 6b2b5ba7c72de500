"""Where a plug may go: the sockets that are right for what hangs on it, in the words of advice."""

from __future__ import annotations

from collections.abc import Sequence

from harness.airframe.kit import kit_of
from harness.base.near import spoken
from harness.facts.below import behind, devices_of
from harness.facts.parity import compare, pair_of, surface_of
from harness.facts.signals import (
    STICKS,
    Drive,
    base_of,
    belongs,
    channel_function,
    free_sockets,
    function_of,
    is_channel,
    radio_order,
    side_of,
)
from harness.parts.contacts import Form, Port
from harness.parts.part import Part, of_kind
from harness.parts.sequencer import Sequencer
from harness.plan.plan import Plan
from harness.wiring.build import PortId, Wiring
from harness.wiring.gear import DIRECTIONS, opens_or_closes, steps_of

NO_HOME = "no free channel is for it: free one, or take a receiver with more channels"
MOST = 4
"""More sockets than this are not listed."""


def plug_named(plug: Port) -> str:
    """Name a plug by its part, and by which it is where the part has several."""
    which = plug.name.removeprefix("plug-")
    return f'plug "{which}" of {plug.part.named()}' if which != plug.name else plug.part.named()


def driven_by(wiring: Wiring, plug: Port) -> list[Drive]:
    """Return the devices that get their orders by a plug, as yet on no socket."""
    mine = plug.part.answers or plug.part.sequences
    own = [plug.part] if mine else devices_of(behind(wiring, *plug.id))
    return [
        Drive(p, (), plug, None)
        for p in own
        if p.sequences or (p.answers and (p.moves or p.swings))
    ]


def at_home(wiring: Wiring, plug: Port, socket: Port) -> bool:
    """Say whether all that a plug drives belongs on a socket's channel; a supply drives nothing."""
    on = (Drive(drive.part, (), socket, socket) for drive in driven_by(wiring, plug))
    return not is_channel(socket) or all(belongs(wiring.plan, drive) for drive in on)


def homes(wiring: Wiring, plug: Port, near: Part) -> list[Port]:
    """Return the free sockets for a plug: of its own channel, else of channels without a function.

    Sockets of `near` come first, then those of other boxes of its sort; a supply's own first.
    """
    driven = driven_by(wiring, plug)
    free = [
        wiring.ports[box.id, name]
        for box in _boxes(wiring.plan, near)
        for name in free_sockets(wiring, box.id, plug)
    ]
    if not driven:
        return sorted(free, key=is_channel)
    free = [socket for socket in free if is_channel(socket) or not socket.part.has_channels]
    own = [s for s in free if at_home(wiring, plug, s)]
    moves = {base_of(wiring.plan, drive) for drive in driven}
    words, plan = wiring.plan.words, wiring.plan
    exact = [s for s in own if words.base(channel_function(plan, s)) in moves]
    return exact or own or [s for s in free if _open_to(plan, s, moves)]


def open_channels(wiring: Wiring, function: str) -> list[str]:
    """Return the channels with a socket and without a function or a plug, for a function."""
    boxes = (part for part in wiring.plan.parts.values() if part.is_radio)
    ports = (port for box in boxes for port in wiring.by_part[box.id] if is_channel(port))
    free = (port for port in ports if not wiring.by_socket.get(port.id))
    moves = {wiring.plan.words.base(function)}
    return [port.channel for port in free if _open_to(wiring.plan, port, moves)]


def _boxes(plan: Plan, near: Part) -> list[Part]:
    others = [p for p in plan.parts.values() if p is not near and p.is_radio and near.is_radio]
    return [near, *others]


def _open_to(plan: Plan, socket: Port, moves: set[str]) -> bool:
    """Say whether a channel without a function may be given that of some devices.

    The first four are the sticks', in the radio's order: only their own function goes there.
    """
    if channel_function(plan, socket) or not is_channel(socket):
        return False
    number = _number(socket)
    if 0 < number <= len(STICKS) and plan.channels:
        there = {plan.words.base(channel.function) for channel in plan.channels.values()}
        return moves <= (
            {stick_on(plan, socket)} if radio_order(plan)[0] else {*STICKS.values()} - there
        )
    return number <= (plan.transmitter.channels or number)


def _number(socket: Port) -> int:
    return int(socket.channel) if socket.part.is_radio and socket.channel.isdecimal() else 0


def stick_on(plan: Plan, socket: Port) -> str:
    """Return the stick that the radio's order sends to a socket; "" for none, or no order."""
    order, number = radio_order(plan)[0], _number(socket)
    return STICKS.get(order[number - 1], "") if 0 < number <= len(order) else ""


def ways_home(
    wiring: Wiring, plugs: Sequence[Port], near: Part, leaves: Port | None = None
) -> list[str]:
    """Say into what each of some plugs should go, no two into one; "" where nothing is for it.

    `leaves`: the socket that they come out of, for what sits where one of them belongs.
    """
    most = MOST if len(plugs) == 1 else 1
    found: list[list[Port]] = []
    for plug in plugs:
        taken = [socket for some in found for socket in some]
        found.append([s for s in homes(wiring, plug, near) if s not in taken][:most])
    return [_told(wiring, p, s, near, leaves) for p, s in zip(plugs, found, strict=True)]


Offered = dict[PortId, list[Port]]
"""The sockets that were offered first already, and the plugs that are to share each."""


def way_in(wiring: Wiring, plug: Port, offered: Offered) -> str:
    """Say into what a plug may go that is in no socket as yet; "" where nothing is for it.

    Free sockets of leads on its own channel go first, where all on that may have one pulse; what
    moves gear goes into a sequencer where there is one, into the outlet named most like it. What
    is `offered` to another plug is not told again: alike ones share it by a lead.
    """
    parts, driven = wiring.plan.parts.values(), driven_by(wiring, plug)
    boxes = sorted((p for p in parts if p.sets_outputs or p.is_radio), key=lambda p: p.is_radio)
    every = [wiring.ports[p.id, name] for p in parts for name in free_sockets(wiring, p.id, plug)]
    sequenced = not plug.part.sequences and any(part.sequences for part in parts)
    gear = sequenced and any(_moves_gear(wiring, drive) for drive in driven)
    fits = _in_sequence if gear else _joins
    own = [s for s in every if fits(wiring, plug, s)] if driven else []
    own += [s for s in every if not driven and s.form is not Form.THREE_PIN]
    on_channel = not (own or gear or not boxes or plug.form is not Form.THREE_PIN)
    found = homes(wiring, plug, boxes[0]) if on_channel else own
    free = [s for s in found if s.id not in offered]
    if gear and free:
        like = {s.id: likeness(f"{driven[0].part.id}-{driven[0].part.place}", s.name) for s in free}
        free = [s for s in free if like[s.id] == max(like.values())]
    if driven and not free and (shared := _shared(wiring, plug, found, offered)):
        return shared
    if on_channel and not free and found:
        moves = {base_of(wiring.plan, drive) for drive in driven}
        near = (wiring.ports[boxes[0].id, n] for n in free_sockets(wiring, boxes[0].id, plug))
        free = [s for s in near if s.id not in offered and _open_to(wiring.plan, s, moves)]
    if driven and free:
        offered[free[0].id] = [plug]
    if on_channel:
        return _told(wiring, plug, free[:MOST], boxes[0], None)
    return f"into {spoken([s.short for s in free[:MOST]], 'or')}" if free else ""


def _shared(wiring: Wiring, plug: Port, found: list[Port], offered: Offered) -> str:
    """Say how a plug shares a socket that was offered to one like it; "" where it cannot."""
    for socket in found:
        every = [drive for p in (*offered[socket.id], plug) for drive in driven_by(wiring, p)]
        plugs = [wiring.ports[drive.part.id, "plug"] for drive in every]
        if lead := on_one_lead(wiring, plugs, socket):
            there = offered[socket.id]
            told = f"into {lead} in {socket.short}, with {spoken(map(plug_named, there))}"
            there.append(plug)
            return told
    return ""


def likeness(name: str, outlet: str) -> int:
    """Return the words that an outlet's name shares with a part's, less those it has alone."""
    words = {w.rstrip("s") for w in outlet.lower().split("-") if not w.isdigit()}
    own = {w.rstrip("s") for w in name.lower().replace(".", "-").split("-")}
    return len(words & own) - len(words - own)


def _moves_gear(wiring: Wiring, drive: Drive) -> bool:
    return drive.part.is_leg or base_of(wiring.plan, drive) == "gear-door"


def _in_sequence(wiring: Wiring, plug: Port, free: Port) -> bool:
    """Say whether a sequencer's outlet moves the like of what a plug drives: legs, or doors."""
    way = [free, *(m.socket for m in wiring.upstream(free.part.id, free.passes) if m.socket)]
    legs = {drive.part.is_leg for drive in driven_by(wiring, plug)}
    for socket in way:
        for box in of_kind(Sequencer, [socket.part]):
            there = {p.part.is_leg for p in wiring.downstream(socket.id) if p.part.answers}
            steps = (s for d in DIRECTIONS for s in steps_of(box, d) if s.outlet == socket.name)
            return there <= legs and {not opens_or_closes(step) for step in steps} <= legs
    return False


def _joins(wiring: Wiring, plug: Port, free: Port) -> bool:
    """Say whether a plug may go into a lead's socket: its channel, and one pulse for all on it."""
    socket = wiring.driver(free.part.id, free.passes) if free.passes else None
    if socket is None or not is_channel(socket) or not at_home(wiring, plug, socket):
        return False
    there = [p for p in wiring.downstream(socket.id) if p.part.answers]
    every = [*there, *(wiring.ports[d.part.id, "plug"] for d in driven_by(wiring, plug))]
    alike = len(every) == 1 or all(port.part.drives for port in every)
    lead = on_one_lead(wiring, every, socket)
    return alike or (bool(lead) and "reverser" not in lead)


def _told(wiring: Wiring, plug: Port, found: list[Port], near: Part, leaves: Port | None) -> str:
    names = [socket.short for socket in found]
    moves = {function_of(wiring.plan, drive) for drive in driven_by(wiring, plug)} - {""}
    where = f"into {spoken(names, 'or')}" if names else ""
    named = found and (not is_channel(found[0]) or channel_function(wiring.plan, found[0]))
    if not moves or named or (there := _beside(wiring, plug, near, leaves)):
        return where if not moves or named else there
    if not found:
        return ""
    box, name = found[0].part, found[0].channel
    word = _channel_word(wiring, plug, min(moves))
    if box.sets_outputs:
        return f"{where}, and add `{name}: {word}` to the outputs of {box.id}"
    old = next(
        (
            n
            for n, c in wiring.plan.channels.items()
            if c.function in moves and not _has_socket(wiring, n)
        ),
        "",
    )
    add = f"write channel `{old}` as `{name}`" if old else f"add `{name}: {word}` to the channels"
    return f"{where}, and {add}"


def _beside(wiring: Wiring, plug: Port, near: Part, leaves: Port | None) -> str:
    """Say how a plug gets at its own channel where another one sits there; "" where it cannot."""
    boxes, mate = _boxes(wiring.plan, near), wiring.by_plug.get(plug.id)
    here = mate.socket if mate is not None else None
    for mate in wiring.mates:
        socket = mate.socket
        if socket is None or socket is here or socket.part not in boxes or not is_channel(socket):
            continue
        if not channel_function(wiring.plan, socket) or not at_home(wiring, plug, socket):
            continue
        other = plug_named(mate.plug)
        if at_home(wiring, mate.plug, socket):
            lead = on_one_lead(wiring, [mate.plug, plug], socket)
            if lead and driven_by(wiring, mate.plug):
                return f"into {lead} in {socket.short}, with {other}"
            continue
        free = [leaves] if leaves and at_home(wiring, mate.plug, leaves) else []
        free += homes(wiring, mate.plug, near)
        if free and channel_function(wiring.plan, free[0]):
            return f"into {socket.short}, and {other}, which is there, into {free[0].short}"
    return ""


def _channel_word(wiring: Wiring, plug: Port, function: str) -> str:
    """Return what a new channel is called: with its side, where the function has another one."""
    plan = wiring.plan
    sides = {side_of(plan, drive.part) for drive in driven_by(wiring, plug)}
    there = {plan.words.base(channel.function) for channel in plan.channels.values()}
    apart = len(sides) == 1 and plan.words.base(function) in there and not plan.words.side(function)
    return "-".join(filter(None, (function, sides.pop()))) if apart else function


def _has_socket(wiring: Wiring, channel: str) -> bool:
    return any(
        part.is_radio and channel in part.channels.values() for part in wiring.plan.parts.values()
    )


def on_one_lead(wiring: Wiring, plugs: Sequence[Port], socket: Port) -> str:
    """Name the lead that may join plugs on one socket: "a Y-lead"; "" when their pulses differ."""
    plan = wiring.plan
    drives = [Drive(p.part, (), socket, socket) for p in plugs]
    moved = {base_of(plan, drive) for drive in drives}
    apart = {plan.words.base(function) for mix in plan.mixes for function in mix.apart}
    legs = all(d.part.is_leg for d in drives) and len({d.part.kind for d in drives}) == 1
    if len(moved) > 1 or moved & apart or not (legs or all(d.part.swings for d in drives)):
        return ""
    function = moved.pop()
    pair = pair_of(plan, surface_of(plan, drives[0]), (drive.part for drive in drives))
    if not function or (not legs and pair == "any"):
        return ""
    lead = "a Y-lead" if len(plugs) == 2 else f"a lead of {len(plugs)} ways"
    against = [] if legs or not pair else _against(wiring, drives, pair)
    reverser = " and an in-line reverser before " + spoken(p.named() for p in against)
    spare = in_kit(plan, "y") if len(plugs) == 2 else ""
    return lead + spare + (reverser + in_kit(plan, "reverser") if against else "")


def in_kit(plan: Plan, kind: str) -> str:
    """Say on which line of the plan the kit has a spare lead of a kind; "" where it has none."""
    left = (left.piece for left in (kit_of(plan).left if plan.kit else ()))
    spare = next((piece for piece in left if piece.kind == kind), None)
    return f" (the kit of plan line {spare.span.line} has one to spare)" if spare else ""


def _against(wiring: Wiring, drives: Sequence[Drive], pair: str) -> list[Part]:
    """Return the servos that would move the wrong way against the first on one pulse."""
    found, _ = compare(wiring.plan, pair, {drive.part.id: 1 for drive in drives})
    ways = found[0].ways if found else {}
    first = next((ways[d.part.id] for d in drives if d.part.id in ways), 0)
    return [d.part for d in drives if ways.get(d.part.id, first) != first]


def against_order(plan: Plan) -> dict[str, tuple[str, str]]:
    """Return, by channel, the stick that the radio's order has there and the plan's other one.

    Mixes and other functions are not judged; nor is an order that cannot be read.
    """
    order, _ = radio_order(plan)
    if sorted(order) != sorted(STICKS):
        return {}
    here = {name: plan.words.base(channel.function) for name, channel in plan.channels.items()}
    both = {str(n): (STICKS[letter], here.get(str(n), "")) for n, letter in enumerate(order, 1)}
    return {
        n: (sent, ours)
        for n, (sent, ours) in both.items()
        if ours in STICKS.values() and ours != sent
    }
