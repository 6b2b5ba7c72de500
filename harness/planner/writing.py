"""An answer as edits of the plan: plugs, new leads, channels, pulled pins, mends."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator

from harness.base.data import dataclass, field
from harness.base.units import LENGTH, format_quantity
from harness.catalogue.functions import SIDES
from harness.parts.join import Join
from harness.parts.part import Part
from harness.parts.servo import Servo
from harness.plan.rewrite import AddPart, Edit, SetKey
from harness.planner.failsafes import ChannelSetup, edits_of, setups_of
from harness.planner.feeds import BEC, NOTHING
from harness.planner.groups import OPPOSITE, PROGRAMME, REVERSER, TURN
from harness.planner.hosts import Host
from harness.planner.items import Unplugged
from harness.planner.proposal import Answer, Chosen
from harness.planner.space import PulseLabel, Space
from harness.planner.stock import StockPiece

Slot = tuple[str, int, StockPiece]
"""A lead, its place in the build (below 0: -1 less the number of its arm), and its piece."""


@dataclass
class Writing:
    """The edits of one answer. `made`: the ids of the leads of each group, by its items.

    `slots`: the place in the group's build that each of these leads has.
    """

    space: Space
    answer: Answer
    edits: list[Edit] = field(default_factory=list)
    made: dict[tuple[str, ...], list[str]] = field(default_factory=dict)
    slots: dict[tuple[str, ...], list[Slot]] = field(default_factory=lambda: defaultdict(list))
    sockets: dict[str, str] = field(default_factory=dict)
    names: dict[str, str] = field(default_factory=dict)
    circuits: dict[str, dict[str, str]] = field(default_factory=lambda: defaultdict(dict))
    new: set[str] = field(default_factory=set)
    setups: tuple[ChannelSetup, ...] = ()

    def all(self) -> tuple[Edit, ...]:
        """Return every edit: channels, plugs, leads, the feed, mends."""
        self._channels()
        self._reversers = list(self.answer.reversers)
        for chosen in self.answer.groups:
            self._group(chosen)
        self._feed()
        for chosen in self.answer.groups:
            self._mends(chosen)
        for plug, sockets in self.circuits.items():
            there = self.space.plan.parts[plug].joins()
            every = {name.removeprefix("plug-"): _as_written(join) for name, join in there}
            every |= sockets
            told = ", ".join(f"{name}: {socket}" for name, socket in every.items())
            self.edits.append(SetKey(plug, "plugs", f"{{{told}}}"))
        return tuple(self.edits)

    def _channels(self) -> None:
        outputs: dict[str, dict[str, str]] = defaultdict(dict)
        new: dict[str, str] = {}
        split = Counter(c.use.label.bases for c in self.answer.groups if not c.use.host.outlet)
        words, channels = self.space.plan.words, self.space.plan.channels.values()
        split.update(frozenset([words.base(c.function)]) for c in channels)
        with_host = [c for c in self.answer.groups if c.host]
        for chosen in sorted(with_host, key=lambda c: host_of(c).order):
            host = host_of(chosen)
            if host.outlet or host.function:
                continue
            label = chosen.use.label  # a channel has its side in its name where sides are apart
            function = _word(label, split[label.bases] > 1)
            self.names[host.id] = function
            if self.space.plan.parts[host.box].sets_outputs:
                outputs[host.box][host.name] = function
                continue
            new[host.channel] = function
        parts = self.space.plan.parts
        motors = {
            host_of(c).channel
            for c in with_host
            if parts[host_of(c).box].is_radio
            and any(device.part.drives for device in c.use.devices)
        }
        self.setups = setups_of(self.space.wiring, new, motors)
        self.edits += edits_of(self.setups)
        for box, named in outputs.items():
            part = self.space.plan.parts[box]
            every = {**part.outputs, **named}
            told = ", ".join(f"{name}: {every[name]}" for name in part.channels if name in every)
            self.edits.append(SetKey(box, "outputs", f"{{{told}}}"))

    def _id(self, wanted: str) -> str:
        name, count = wanted, 1
        while name in self.space.plan.parts or name in self.new:
            count += 1
            name = f"{wanted}-{count}"
        self.new.add(name)
        return name

    def _lead(self, piece: StockPiece, name: str, into: str, place: str, own: list[str]) -> str:
        """Put one piece into a socket; return the id of the lead."""
        if piece.origin.startswith("lead "):
            lead = piece.origin[5:]
            self.edits.append(SetKey(lead, "plug", into))
            own.append(lead)
            return lead
        lead = self._id(name)
        ways = str(piece.ways) if piece.kind == "n-way" else ""
        length = format_quantity(piece.length, LENGTH, 6) if piece.length >= 0 else ""
        fields = (
            ("kind", piece.kind),
            ("plug", into),
            ("ways", ways),
            ("length", length),
            ("wire", piece.gauge),
            ("place", place),
        )
        stated = tuple((key, value) for key, value in fields if value)
        comment = "to be bought" if piece.bought else ""
        self.edits.append(AddPart("leads", lead, stated, comment))
        own.append(lead)
        return lead

    def _group(self, chosen: Chosen) -> None:
        use, host = chosen.use, chosen.host
        own: list[str] = []
        if host is None:
            return
        ends = [end.socket for end in host.ends]
        word = _word(use.label)
        if use.build.splitters:
            ends = self._tree(chosen, ends[0], word, own)
        if use.build.carrier >= 0:
            ends = [*use.items[use.build.carrier].free[: len(use.items) - 1]]
            ends.insert(use.build.carrier, host.ends[0].socket)
        slots = self.slots[use.names]
        slots += [(lead, n, use.build.pieces[n]) for n, lead in enumerate(own)]
        for n, (item, pieces, end) in enumerate(zip(use.items, chosen.arms, ends, strict=False)):
            socket, place = end, item.part.place if self.space.plan.places else ""
            own_id = item.id.replace(".", "-")
            for piece in pieces:
                socket = f"{self._lead(piece, f'{own_id}-ext', socket, place, own)}.1"
                slots.append((own[-1], -1 - n, piece))
            if any(m.part == item.id and m.how == REVERSER for m in use.mends):
                piece = self._reversers.pop(0)
                socket = f"{self._lead(piece, f'{own_id}-reverser', socket, place, own)}.1"
            self._plug(item, socket)
        self.made[use.names] = own

    def _tree(self, chosen: Chosen, into: str, word: str, own: list[str]) -> list[str]:
        """Build trunk and splitters; return the socket of each item in the group's order."""
        build = chosen.use.build
        home = self.space.plan.parts[chosen.use.host.box].place
        if build.trunk:
            into = f"{self._lead(build.trunk, f'{word}-ext', into, home, own)}.1"
        place = build.place or home
        leads: list[str] = []
        count = len(chosen.use.items)
        for number, piece in enumerate(build.splitters):
            lower = 2 if count == 3 else number
            socket = into if number == 0 else f"{leads[0]}.{lower}"
            leads.append(self._lead(piece, f"{word}-y", socket, place, own))
        if len(leads) == 1:
            return [f"{leads[0]}.{n + 1}" for n in range(count)]
        if count == 3:
            ends = [f"{leads[1]}.1", f"{leads[1]}.2"]
            ends.insert(build.shallow, f"{leads[0]}.1")
            return ends
        return [f"{lead}.{n}" for lead in leads[1:] for n in (1, 2)]

    def _plug(self, item: Unplugged, socket: str) -> None:
        self.sockets[item.id] = socket
        if item.circuit:
            self.circuits[item.part.id][item.circuit] = socket
            return
        self.edits.append(SetKey(item.id, "plug", self._join(item.part, socket)))
        for device in item.devices:
            part, join = device.part, dict(device.part.joins()).get("plug")
            if part is item.part or not part.drives or join is None:
                continue
            if self._pulled(part) and "positive" not in join.pulled:
                self.edits.append(SetKey(part.id, "plug", _as_written(join, "positive")))

    def _join(self, part: Part, socket: str) -> str:
        return f"{{into: {socket}, pulled: positive}}" if self._pulled(part) else socket

    def _pulled(self, part: Part) -> bool:
        """Every BEC but the one that feeds the rail, and a sequencer that has its own supply."""
        if part.sequences:
            return any(port == "supply" for port, _ in part.joins())
        return part.drives and part.makes is not None and self.answer.feed_name != part.id

    def _feed(self) -> None:
        feed = self.answer.feed
        if feed is None:
            return
        for part, socket in feed.logic:
            self.edits.append(SetKey(part, "plug", socket))
        if feed.kind in {BEC, NOTHING}:
            return
        sockets = [self.answer.feed_host.id] if self.answer.feed_host else feed.sockets
        told = sockets[0] if len(sockets) == 1 else f"[{', '.join(sockets)}]"
        self.edits.append(SetKey(feed.part, "plug", told))

    def _mends(self, chosen: Chosen) -> None:
        servos = {servo.id: servo for servo in self.space.plan.of(Servo)}
        for mend in chosen.use.mends:
            if mend.how == TURN:
                shaft = OPPOSITE[servos[mend.part].shaft]
                self.edits.append(SetKey(mend.part, "shaft", shaft))
            elif mend.how == PROGRAMME:
                servo = servos[mend.part]
                self.edits.append(SetKey(servo.id, "reversed", "no" if servo.reversed else "yes"))
                if servo.measured:
                    self.edits.append(SetKey(servo.id, "measured", OPPOSITE[servo.measured]))


def _as_written(join: Join, *more: str) -> str:
    """Return a join as the plan writes it, with more pins pulled."""
    pins = [*join.pulled, *more]
    pulled = pins[0] if len(pins) == 1 else f"[{', '.join(pins)}]"
    told = [f"pulled: {pulled}"] if pins else []
    fields = [f"into: {join.into}", *told]
    fields += ["turned: yes"] if join.turned else []
    fields += [f"in: {join.made_in}"] if join.made_in else []
    return f"{{{', '.join(fields)}}}" if len(fields) > 1 else join.into


def _word(label: PulseLabel, sided: bool = True) -> str:
    """Return what the channel and the leads of a group are named after: function and side."""
    word = label.word()
    sided = sided and label.side in SIDES and not label.words.side(word)
    return f"{word}-{label.side}" if sided else word


def shopping(answer: Answer) -> Iterator[StockPiece]:
    """Yield every piece that is used, at hand or to be bought, group by group."""
    for chosen in answer.groups:
        yield from chosen.use.build.pieces
        for arm in chosen.arms:
            yield from arm
    yield from answer.reversers


def host_of(chosen: Chosen) -> Host:
    """Return the host of a group; it has one once an answer is complete."""
    assert chosen.host is not None
    return chosen.host
