"""The ways of a trace in words: up to signal and supply, and down to what a part feeds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from harness.base.data import dataclass
from harness.base.near import spoken
from harness.base.units import VOLTAGE, format_quantity
from harness.documents.leads import missing_of
from harness.electrics.flow import Flow
from harness.facts.currents import amps
from harness.facts.fed import SIGNAL, faults
from harness.facts.mend_first import faults_on
from harness.facts.of_leads import Facts
from harness.facts.wording import open_words
from harness.parts.bec import Bec
from harness.parts.contacts import Contact, Form, LinkKind, Port
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.wiring.build import Mate
from harness.wiring.codes import devices_behind, natural
from harness.wiring.graph import SupplyWay, entries, feeding, ways_to

PLAIN = {"main", "motor", "out"}
_SIDES = {
    "battery": "battery side: ",
    "body": "signal side: ",
    "rail": "rail: ",
    "logic": "logic: ",
}


@dataclass(frozen=True)
class TraceWords:
    """How a trace names leads, sockets and joins."""

    facts: Facts

    def lead(self, port: Port) -> str:
        """Name a lead by code and part: `AIL-Y (Y-lead "aileron-y")`."""
        found = self.facts.by_port.get(port.id)
        code = self.facts.code_at(port)
        kind = found.kind if found is not None else port.part.word
        of = "" if port.part.is_lead else "of "
        return f'{code} ({kind} {of}"{port.part.id}")'

    def socket(self, mate: Mate) -> str:
        """Name the socket of a mate: `socket 1 of receiver "rx" (fuselage)`."""
        if mate.socket is None:
            return f"{mate.join.into}, which does not exist"
        part = mate.socket.part
        place = f" ({part.place})" if part.place else ""
        code = self.facts.code_at(mate.socket)
        holder = f"{code}, {part.named()}" if code else part.named()
        name = "" if mate.socket.name in PLAIN else f"socket {mate.socket.name} of "
        return f"{name}{holder}{place}"

    def up(self, mate: Mate) -> str:
        """Say a join from plug to socket."""
        return f"{self.lead(mate.plug)} goes into {self.socket(mate)}{self.remarks(mate)}"

    def down(self, mate: Mate) -> str:
        """Say a join from socket to plug."""
        return f"{self.socket(mate)} takes {self.lead(mate.plug)}{self.remarks(mate)}"

    def remarks(self, mate: Mate) -> str:
        """Say what is special about a join: joints, pulled pins, faults."""
        found = []
        lead = self.facts.by_port.get(mate.plug.id)
        if lead is not None and (joints := lead.joints(self.facts.wiring)):
            found.append(f"crosses the joint of {spoken(joints)}")
        if mate.join.pulled:
            found.append(f"{spoken(mate.join.pulled)} pulled")
        if open_ := [pin for pin in mate.open if pin not in mate.join.pulled]:
            found.append(f"{spoken(open_)} found open")
        found += ["turned"] if mate.turned else []
        found += ["poles crossed"] if mate.crossed else []
        found += [] if mate.fits or mate.socket is None else ["does not fit"]
        found += [] if mate.first or mate.socket is None else ["the socket is taken already"]
        return f"; {', '.join(found)}" if found else ""


def signal_lines(words: TraceWords, part: Part) -> list[str]:
    """Return the way from each 3-pin plug of a part up to what drives it."""
    wiring = words.facts.wiring
    found: list[str] = []
    if part.holds_cells or part.regulates or part.across:
        return found
    for port in wiring.by_part[part.id]:
        if not port.is_plug or port.form not in {Form.THREE_PIN, Form.TWO_WIRE, Form.MOTOR}:
            continue
        chain = wiring.upstream(part.id, port.name)
        if not chain:
            found.append(f"{words.lead(port)} goes nowhere: the plan gives it no socket")
            continue
        found += [_step(words, number, mate) for number, mate in enumerate(chain, 1)]
        idle = _idle(words, part, chain)
        found += [idle] if idle else _driven(words, chain[-1])
    return found


def _idle(words: TraceWords, part: Part, chain: list[Mate]) -> str:
    """Say why a part does not do as it is told, as the wiring stands; "" where it does."""
    wiring, last = words.facts.wiring, chain[-1].socket
    lacks = {(need.part.id, need.what) for f in faults(wiring) for need in f.dead}
    unfed = {name for name, what in lacks if what != SIGNAL}
    cut = any(mate.open if part.spins else "signal" in mate.open for mate in chain)
    if cut or (part.id, SIGNAL) in lacks:
        return "so it does not run" if part.spins else "so no signal reaches it"
    if part.id in unfed:
        return "so it does not run" if part.spins else "so it obeys nothing: no supply reaches it"
    if last is not None and last.part.id in unfed:
        return f"so no signal reaches it: {last.part.named()} gets no supply"
    crossed = faults_on(wiring, chain)
    return f"so it obeys nothing before {spoken(crossed)} is mended" if crossed else ""


def _step(words: TraceWords, number: int, mate: Mate) -> str:
    socket = mate.socket
    part = socket.part if socket is not None else None
    turns = part is not None and part.turns_signal
    return f"{number}. {words.up(mate)}" + ("; it reverses the signal" if turns else "")


def _driven(words: TraceWords, mate: Mate) -> list[str]:
    """Say what the last socket of a chain gives."""
    socket, plan = mate.socket, words.facts.wiring.plan
    if socket is None:
        return ["so no signal reaches it"]
    part = socket.part
    if socket.data:
        return ["so its data reach the radio" if part.is_radio else f"so its data reach {part.id}"]
    if part.is_radio:
        channel = plan.channels.get(socket.channel)
        safe = f", failsafe {channel.failsafe}" if channel and channel.failsafe else ""
        said = f"so it obeys channel {socket.channel}"
        return [f"{said}: {channel.function}{safe}"] if channel else []
    if part.sets_outputs:
        output = part.outputs.get(socket.name, "")
        return [f"so it obeys output {socket.name}" + (f": {output}" if output else "")]
    if part.drives and mate.plug.form is Form.MOTOR:
        return ["so the ESC turns it", *(f"  {line}" for line in signal_lines(words, part))]
    return []


def output_lines(words: TraceWords, part: Part) -> list[str]:
    """Return where the plugs of a pack or regulator go."""
    if not (part.holds_cells or part.regulates):
        return []
    wiring = words.facts.wiring
    names = [name for name, _ in part.joins() if name != "supply"]
    return [words.up(mate) for name in names for mate in wiring.upstream(part.id, name)]


def supply_lines(words: TraceWords, part: Part) -> list[str]:
    """Return the way from each inside of a part to every source that feeds it."""
    if part.spins or (part.is_leg and not part.fed_at):
        return [*_lacking(words, part), *_motor_supply(words, part)]
    if part.across:
        held = words.facts.wiring.plan.parts.get(part.across)
        return [f"soldered across the battery wires of {held.named() if held else part.across}"]
    starts = _starts(words, part)
    found = list(_lacking(words, part))
    for start in starts:
        name = _SIDES.get(start.port, "") if len(starts) > 1 else ""
        ways = [w for w in ways_to(words.facts.wiring, start) if w.source.owner != part.id]
        own = part.bec if part.drives and start.port == "body" else None
        if isinstance(own, Bec):
            found.append(f"{name}from its own BEC: {format_quantity(own.volts, VOLTAGE)}")
        elif not ways:
            found.append(f"{name}no supply reaches it")
        for way in ways:
            found += _way_lines(words, way, name, {way.source.owner})
    return found


def _lacking(words: TraceWords, part: Part) -> Iterator[str]:
    """Say what is missing all the same, as one of its poles is open or a source itself is dead."""
    for fault in faults(words.facts.wiring):
        why = spoken(text for _, text in open_words(words.facts.wiring, fault.opens))
        if any(need.part.id == part.id and need.what != SIGNAL for need in fault.dead):
            yield f"no supply as it stands: {why}"
        elif any(need.part.id == part.id for need in fault.astray):
            yield f"its current goes another way: {why}"


def _starts(words: TraceWords, part: Part) -> list[Contact]:
    """Return where supply arrives: inside a device, or at the far end of a lead."""
    if part.holds_cells:
        return []
    wiring = words.facts.wiring
    if starts := entries(wiring, part):
        fed = [s for s in starts if not (part.regulates and s.port == "body")]
        return sorted(fed, key=lambda start: start.port != "battery")
    sockets = [port for port in wiring.by_part[part.id] if not port.is_plug]
    return [port.pin("positive") for port in (sockets or wiring.by_part[part.id])[:1]]


def _motor_supply(words: TraceWords, part: Part) -> list[str]:
    """Return the way of what turns a motor, or a leg that is a bare motor: its ESC or sequencer."""
    wiring = words.facts.wiring
    above = (mate.socket.part for mate in wiring.upstream(part.id) if mate.socket is not None)
    box = next((own for own in above if own.drives or own.sequences), None)
    if box is None:
        return ["no supply reaches it"]
    inside = "battery" if box.drives else box.fed_at
    ways = ways_to(wiring, Contact(box.id, inside, "positive"))
    lines = [_way_lines(words, way, f"through {box.named()} ", {way.source.owner}) for way in ways]
    return [line for found in lines for line in found] or [f"no supply reaches its {box.word}"]


def _way_lines(words: TraceWords, way: SupplyWay, name: str, seen: set[str]) -> list[str]:
    """Return one way, step by step, then the way of its source to its own pack."""
    found = [f"{name}from {_source(words, way)}"]
    found += [f"  {n}. {text}" for n, text in enumerate(_hops(words, way), 1)]
    below = feeding(words.facts.wiring, way.source)
    deeper = ways_to(words.facts.wiring, below) if below else []
    if below and not deeper:
        found.append("  which nothing feeds")
    for further in deeper:
        owner = further.source.owner
        if owner not in seen:
            lines = _way_lines(words, further, "which is fed ", {*seen, owner})
            found += [f"  {line}" for line in lines]
    if words.facts.wiring.plan.parts[way.source.owner].holds_cells:
        found += _stack(words, way, seen)
    return found


def _stack(words: TraceWords, way: SupplyWay, seen: set[str]) -> list[str]:
    """Name the packs that a pack stands on in a series join."""
    lower = [w.source.owner for w in ways_to(words.facts.wiring, way.source.a)]
    names = [f'"{owner}"' for owner in dict.fromkeys(lower) if owner not in seen]
    return [f"  which stands in series on pack {spoken(names)}"] if names else []


def _source(words: TraceWords, way: SupplyWay) -> str:
    part = words.facts.wiring.plan.parts[way.source.owner]
    volts = format_quantity(way.source.volts, VOLTAGE)
    if isinstance(part, Pack):
        return f"{part.named()}: {part.cells} cells {part.chemistry}, {volts} nominal"
    return f"{part.maker}: {volts}"


def _hops(words: TraceWords, way: SupplyWay) -> Iterator[str]:
    """Say each mated pair of a way, from the part to the source."""
    wiring = words.facts.wiring
    shared = _with_signal(words, way)
    here = None
    if shared:
        yield f"with the signal, as far as {words.socket(shared[-1])}"
    for link in way.links:
        if link.kind is LinkKind.DIODE:
            yield f"through {wiring.plan.parts[link.owner].named()}, one way only"
        if link.kind is not LinkKind.MATE:
            here = link.a.part
            continue
        mate = wiring.by_plug[link.a.part, link.a.port]
        plug_first = mate.plug.part.id == (here or mate.plug.part.id)
        if mate not in shared:
            yield words.up(mate) if plug_first else words.down(mate) + _beside(words, mate)
        here = mate.socket.part.id if plug_first and mate.socket else mate.plug.part.id


def _with_signal(words: TraceWords, way: SupplyWay) -> list[Mate]:
    """Return the joins that a way has in common with the signal of the part it starts at."""
    mates = way.mates(words.facts.wiring)
    if not mates or (mates[0].plug.part.holds_cells or mates[0].plug.part.regulates):
        return []
    chain = words.facts.wiring.upstream(*mates[0].plug.id)
    common = [one for one, other in zip(chain, mates, strict=False) if one is other]
    return common if len(common) > 1 and mates[0].plug.form is Form.THREE_PIN else []


def _beside(words: TraceWords, mate: Mate) -> str:
    """Name further leads that join the same two parts side by side."""
    wiring, socket = words.facts.wiring, mate.socket
    others = [
        words.facts.code_at(other.plug)
        for other in wiring.mates
        if other is not mate
        and other.plug.part.id == mate.plug.part.id
        and other.socket is not None
        and socket is not None
        and other.socket.part.id == socket.part.id
        and "positive" not in other.join.pulled
    ]
    return f"; side by side with {spoken(others)}" if others else ""


def passing_lines(
    words: TraceWords, part: Part, sockets: Iterable[Port] | None = None
) -> list[str]:
    """Return what each socket of a part holds, and what hangs on it."""
    wiring = words.facts.wiring
    own = [p for p in wiring.by_part[part.id] if not p.is_plug] if sockets is None else sockets
    found: list[str] = []
    for port in sorted(own, key=lambda p: natural(p.name)):
        mates = wiring.by_socket.get(port.id, [])
        if not mates and sockets is None and port.name in {"balance", "out"}:
            continue
        found += _holds(words, port, mates)
    return found


def _holds(words: TraceWords, port: Port, mates: list[Mate]) -> list[str]:
    if not mates:
        gives = words.facts.wiring.plan.gives(port) if port.part.is_radio else ""
        return [f"{port.name}: empty" + (f" (channel {gives})" if gives else "")]
    found = [f"{port.name}: {words.lead(mate.plug)}{_ends_at(words, mate)}" for mate in mates]
    flow = words.facts.flows.port(*port.id)
    if flow.live:
        unknown = missing_of(flow)
        more = f", and what is not known of {spoken(unknown)}" if unknown else ""
        found.append(f"  carries {flowing(flow)}{more}")
    return found


def flowing(flow: Flow) -> str:
    """Say a current: 2 A continuously, 3 A for seconds."""
    return f"{amps(flow.steady)} continuously, {amps(flow.burst)} for seconds"


def _ends_at(words: TraceWords, mate: Mate) -> str:
    """Name the devices behind a plug, through further leads."""
    found = [part.named() for part in devices_behind(words.facts.wiring, mate.plug)]
    return f", on to {spoken(dict.fromkeys(found))}" if found else ""
