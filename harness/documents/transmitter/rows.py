"""What the radio is set up for, channel by channel: the facts of the transmitter sheet."""

from __future__ import annotations

from collections import defaultdict

from harness.base.data import dataclass
from harness.base.near import spoken
from harness.base.units import TIME, format_quantity
from harness.bench.directions import STEERED, STICKS, YAW, sticks_of
from harness.bench.surfaces import MIXES, mix_words, thrust_ways, ways
from harness.bench.workbench import Bench
from harness.facts.parity import unwritten_mixes
from harness.facts.signals import channel_key
from harness.parts.autopilot import Autopilot
from harness.parts.part import Part, of_kind
from harness.parts.receiver import Receiver
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer
from harness.plan.plan import Plan
from harness.plan.radio import Channel
from harness.wiring.codes import natural
from harness.wiring.gear import DIRECTIONS, steps_of


@dataclass(frozen=True, slots=True)
class ChannelRow:
    """One channel. Settings that the plan does not state are ""; `codes` by device."""

    name: str
    function: str
    devices: tuple[str, ...]
    codes: tuple[str, ...]
    direction: str = ""
    neutral: str = ""
    ends: str = ""
    rates: str = ""
    switch: str = ""
    failsafe: str = ""
    delay: str = ""
    about: str = ""
    stick: str = ""
    line: int | None = None
    printed: str = ""
    """What the receivers have at its socket instead of the number."""

    @property
    def label(self) -> str:
        """Return 3, or 3 (thro)."""
        return f"{self.name} ({self.printed})" if self.printed else self.name


@dataclass(frozen=True, slots=True)
class StickTurn:
    """What surfaces must do for one movement of a stick; `moves`: (device, word), left first."""

    stick: str
    moves: tuple[tuple[str, str], ...]

    @property
    def words(self) -> str:
        """Return "aileron-left down, aileron-right up"."""
        return ", ".join(f"{device} {word}" for device, word in self.moves)


def rows_of(bench: Bench) -> list[ChannelRow]:
    """Return the channels that a plan names, then those on which something is plugged in."""
    plan, devices = bench.plan, _devices(bench)
    names = [*plan.channels, *(n for n in sorted(devices, key=natural) if n not in plan.channels)]
    return [_row(bench, name, devices.get(name, [])) for name in names]


def _devices(bench: Bench) -> dict[str, list[Part]]:
    """Return what hangs on each channel, boxes that it ends in included; no supply, no lead."""
    found: dict[str, dict[str, Part]] = defaultdict(dict)
    for receiver in bench.plan.of(Receiver):
        for name, channel in receiver.channels.items():
            for port in bench.wiring.downstream((receiver.id, name)):
                part = port.part
                gives = part.holds_cells or (part.makes is not None and not part.answers)
                if not (part.carries_signal or part.circuits or gives):
                    found[channel][port.part.id] = port.part
    for drive in bench.drives:
        key = channel_key(drive)
        if key is not None and key[0] == "":
            found[key[1]][drive.part.id] = drive.part
    return {name: [parts[p] for p in sorted(parts)] for name, parts in found.items()}


def _row(bench: Bench, name: str, devices: list[Part]) -> ChannelRow:
    channel = bench.plan.channels.get(name)
    parts = [part for part in devices if not part.has_channels]
    ids = tuple(part.id for part in parts)
    codes = tuple(", ".join(bench.codes([part.id])) for part in parts)
    printed = printed_at(bench.plan, name)
    if channel is None:
        return ChannelRow(name, "", ids, codes, printed=printed)
    said = {
        w: getattr(channel, w)
        for w in ("direction", "neutral", "ends", "rates", "switch", "failsafe", "about")
    }
    stick = stick_of(bench, channel.function, parts)
    return ChannelRow(
        name,
        channel.function,
        ids,
        codes,
        delay=delay_of(channel, parts),
        stick=stick,
        line=channel.span.line,
        printed=printed,
        **said,
    )


def printed_at(plan: Plan, channel: str) -> str:
    """Return the names of a channel's sockets that are not its number."""
    pairs = (pair for receiver in plan.of(Receiver) for pair in receiver.channels.items())
    return ", ".join(dict.fromkeys(name for name, n in pairs if n == channel != name))


def delay_of(channel: Channel, parts: list[Part]) -> str:
    """Return the channel's own delay, or what a sequencer on it takes; "" where nothing slows."""
    found = []
    if channel.delay is not None:
        found.append(f"{format_quantity(channel.delay, TIME)}, in the transmitter")
    found += [
        f"{box.id} takes {format_quantity(max(s.end for s in steps), TIME)} {way}"
        for box in of_kind(Sequencer, parts)
        for way in DIRECTIONS
        if (steps := steps_of(box, way))
    ]
    return "; ".join(found)


def turns_of(bench: Bench) -> list[StickTurn]:
    """Return what every surface must do, by stick, as seen from behind."""
    found: dict[str, list[tuple[str, str]]] = {}
    for drive in bench.drives:
        for way in ways(bench, drive):
            found.setdefault(way.stick.words, []).append((drive.part.id, way.word + way.where))
    for drive, word in thrust_ways(bench):
        found.setdefault(YAW.words, []).append((drive.part.id, word))
    order = [stick.words for stick in STICKS]
    return [StickTurn(stick, tuple(found[stick])) for stick in sorted(found, key=order.index)]


def stick_of(bench: Bench, function: str, devices: list[Part]) -> str:
    """Return the sticks that a channel and what hangs on it are flown with, "" with a switch."""
    plan = bench.plan
    if plan.words.base(function) == "throttle":
        steers = any(drive.part in devices for drive, _ in thrust_ways(bench))
        return "throttle and rudder sticks" if steers else "throttle stick"
    moved = {way.stick for d in bench.drives if d.part in devices for way in ways(bench, d)}
    moved |= set(sticks_of(plan.words, function))
    sticks = [s.words.split(" stick")[0] for s in STICKS if s in moved and s.id in STEERED]
    return f"{spoken(sticks)} stick{'s' if len(sticks) > 1 else ''}" if sticks else ""


def mixes_of(plan: Plan) -> list[str]:
    """Return the mixes in words."""
    made = {"both": "said to be made in transmitter and autopilot: make it in one of them only"}
    return (
        [
            f"{MIXES[mix.kind][0]}: {mix_words(mix)}; "
            + made.get(mix.made_in, f"made in the {mix.made_in}")
            for mix in plan.mixes
        ]
        + [
            f"{f.many}: each moves for {spoken(f.mixes)}; the plan does not say where that is mixed"
            for f in unwritten_mixes(plan)
        ]
        + [
            f"{leg.steered_by}: centred while the gear is up; made in the transmitter"
            for leg in plan.of(Retract)
            if leg.steered_by and leg.steering_lock == "transmitter"
        ]
    )


def free_of(plan: Plan, rows: list[ChannelRow]) -> tuple[list[str], list[str]]:
    """Return the free channels, and the receiver's free sockets among them."""
    taken = {row.name for row in rows}
    sockets = {channel for receiver in plan.of(Receiver) for channel in receiver.channels.values()}
    sent = [str(n + 1) for n in range(plan.transmitter.channels or 0)]
    there = sent or (sockets if _by_channel(plan) else ())
    free = sorted({*there} - taken, key=natural)
    return free, [name for name in free if name in sockets]


def _by_channel(plan: Plan) -> bool:
    """Whether sockets are channels: not on a receiver that hands all of them on by one lead."""
    return not any(receiver.plug for receiver in plan.of(Receiver))


def outputs_of(bench: Bench) -> list[ChannelRow]:
    """Return the output sockets of autopilots, with what hangs on them."""
    found = []
    for box in bench.plan.of(Autopilot):
        for name in box.channels:
            ports = bench.wiring.downstream((box.id, name))
            parts = {p.part.id: p.part for p in ports if not p.part.carries_signal}
            if name in box.outputs or parts:
                ids = tuple(sorted(parts))
                codes = tuple(", ".join(bench.codes([one])) for one in ids)
                found.append(ChannelRow(f"{box.id}.{name}", box.outputs.get(name, ""), ids, codes))
    return found
