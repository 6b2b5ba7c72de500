"""The decision space of the planner, exactly.

Items
    Each plug of a servo, self-contained leg, ESC, sequencer, switched load, or lead with loads on
    it, and each lead of a wing plug's circuit in use, that the plan leaves open. What is plugged in
    already, `channels:` and the outputs of an autopilot are facts. A part that does not say what it
    moves is not placed.
Groups
    One to four items on one pulse. They are of one function (rudder and steering may meet; legs
    with legs, doors with doors), and a side in the function's name keeps it apart. A sequencer is
    alone. Without a sequencer all legs are one group (if they are at most four and none is
    plugged in). What a mix drives apart, and V-tails and elevons, have no group with both sides;
    a side nobody said counts as another side.
Hosts
    Free sockets of receivers (not of one on a bus lead) and autopilots; one group each, and of one
    channel on several receivers only one is used. Free ends of leads, wing plugs and stabilisers
    that are plugged in: as many items as there are ends, or where there is one end a tree on it.
    What a stabiliser has a free outlet for does not go past it. Behind a wing plug only what stays
    on its side of the joint, and on a circuit or outlet named after a function only that.
    With a sequencer doors and legs go to its outlets, each to those whose steps name its
    movement. A named channel takes the groups that are at home on it, and no group goes to an
    unnamed channel while a free named one of its function is left. A stick function is on one of
    the first four channels only where the radio sends it, if the plan says what that is.
Builds
    A single item: no piece, or one or two extensions; or three, where two that are bought do not
    reach, or `buy-at-most` stands. Two: a Y-lead, or an n-way lead of the stock; three and four:
    two or three Y-leads (the lower ones alike, new ones all alike), or an n-way lead; or the others
    go into free sockets of an open lead that has loads already. One extension before the splitters
    where the runs share a place beyond the box's, and at most two behind them; at most three leads
    behind one another. Each piece is at least as thick as the own leads behind it. Each run must
    reach; where the plan does not tell a distance nothing is wanted of it, and new splitters have
    no length.
Mends
    Servos on one pulse that would move the wrong way: those of one sign are programmed, else turned
    over, else get an in-line reverser.
Feed
    Where nothing feeds the rail yet, exactly one of the open regulators (on the free supply
    sockets, else on a channel socket), the BECs of the open ESCs, and packs that feed nothing
    (where every ESC and regulator says its supply); all other BECs are cut off by the red pin.
    Where all of them are dangerous nothing feeds it. An autopilot whose output rail is not joined
    to its own supply gets one of the other regulators for that. A sequencer with its own supply
    gets its red pin pulled.
Stock
    Loose leads of the plan and leads of the kit that are not in the plan; else leads are bought.
    At most `buy-at-most` of them.

Cost, the first decides: (1) nothing dangerous, by the rules; (2) wishes, each before the next; then
the feed: a regulator before a BEC before a pack, the greater rated current, the name; (3) warnings
of the rules about what is chosen (of runs with too many leads behind one another, in-line reversers
among them, one a run), then leads bought (so a chain of two from the kit goes before a lead that is
bought, and that before a third joint), then notes; (4) joints (plugs in sockets of leads), then mm
of leads added (reversers not counted), then mends (programmed 1, turned over 2, reverser 3); (5)
functions that are not where the radio expects them (first four by its order, gear on 5, flap on 6,
or without flaps an aileron elsewhere than there and on 6) and items on an outlet named for others;
(6) names. At the same cost `channels.py` deals the channels out: needed to fly first, pairs side by
side.
Warnings and notes about a supply, about what is bought or left over (a loose lead of the plan
too), and about what is not recorded are not counted; those about who shares a plug count whatever
leads are between.
Not decided: battery leads, fuses, motors, what is joined to which pack.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cached_property

from harness.base.data import dataclass, field, replace
from harness.catalogue.functions import Vocabulary
from harness.facts.homes import likeness
from harness.parts.esc import Esc
from harness.parts.part import Part, of_kind
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer
from harness.plan.plan import Plan
from harness.planner.builds import Build, Yard, builds_of
from harness.planner.feeds import FeedChoice, feeds_of
from harness.planner.groups import REVERSER, Ask, Mend, asks_of, limits_of, mends, subsets
from harness.planner.hosts import Host, at_home, expected_stick, hosts_of, takes
from harness.planner.items import Device, Runs, Unplugged, device_of, items_of
from harness.planner.stock import stock_of
from harness.wiring.build import Wiring, build

ORDER = "the radio's channel order"


@dataclass(frozen=True)
class PulseLabel:
    """What matters of a group when it looks for a channel: its functions and its side."""

    kind: str
    functions: tuple[str, ...]
    side: str
    words: Vocabulary = field(compare=False, repr=False)

    @property
    def bases(self) -> frozenset[str]:
        """The functions' own names, without side, number and place."""
        return frozenset(self.words.base(f) for f in self.functions)

    def word(self) -> str:
        """Return the function that its channel is named after."""
        return min(self.functions, key=lambda f: (self.words.base(f) == "steering", f))

    def fits(self, host: Host) -> bool:
        """Say whether a group of this kind may be on a channel of the host's name."""
        if not host.function:
            return True
        if self.kind == "door" and self.words.base(host.function) != "gear-door":
            return False
        words = self.words
        sided = [(f, words.side(f) or self.side) for f in self.functions]
        fit = all(takes(words, f, side, host.function) for f, side in sided) and self.side != "both"
        if self.side == "both":
            fit = all(takes(words, f, words.side(f), host.function) for f in self.functions)
            fit = fit and not words.side(host.function)
        return fit and any(at_home(words, f, host.function) for f in self.functions)


@dataclass(frozen=True)
class Use:
    """One group on one kind of host, wired in one way, with its mends: a column.

    `where`: the box whose plain channels it may take, or the id of a host of its own kind.
    `limits`: limits of the plan that rule it out while they stand.
    """

    items: tuple[Unplugged, ...]
    where: str
    host: Host
    label: PulseLabel
    build: Build
    mends: tuple[Mend, ...]
    limits: tuple[str, ...]
    joints: int
    astray: int = 0

    @property
    def names(self) -> tuple[str, ...]:
        """The ids of its items."""
        return tuple(item.id for item in self.items)

    @property
    def devices(self) -> tuple[Device, ...]:
        """The devices of its items."""
        return tuple(device for item in self.items for device in item.devices)

    @property
    def everything(self) -> tuple[Device, ...]:
        """Its devices, and those on its host already."""
        return (*self.devices, *self.host.already)

    @property
    def named_for(self) -> bool:
        """Say whether no outlet's name is nearer to its items than its own, which names them."""
        near = all(likeness(f"{i.id}-{i.part.place}", self.host.name) > 0 for i in self.items)
        return near and not self.astray

    @property
    def reversers(self) -> int:
        """How many in-line reversers it takes."""
        return sum(mend.how == "reverser" for mend in self.mends)

    @property
    def plan_key(self) -> tuple[object, ...]:
        """What makes two plans differ: who shares a pulse, and what is mended."""
        return (self.names, self.mends)

    @property
    def key(self) -> tuple[object, ...]:
        """The order among uses that cost the same."""
        where = self.host.order if self.where == self.host.id else (0, 0, "", self.where)
        return (len(self.items), self.names, where, self.mends, self.build.key)


@dataclass
class Space:
    """Everything that can be chosen for one plan."""

    plan: Plan
    wiring: Wiring
    items: tuple[Unplugged, ...]
    hosts: tuple[Host, ...]
    feeds: tuple[FeedChoice, ...]
    asks: tuple[Ask, ...]
    limits: tuple[Ask, ...]
    yard: Yard
    _known: dict[tuple[str, ...], list[Build]] = field(default_factory=dict)

    @cached_property
    def placed(self) -> tuple[Device, ...]:
        """The devices that are plugged in already, by id."""
        mine = {device.part.id for item in self.items for device in item.devices}
        found = (device_of(self.plan, part) for part in self.plan.parts.values())
        devices = [d for d in found if d and d.part.id not in mine and _plugged(d)]
        return tuple(sorted(devices, key=lambda d: d.part.id))

    @cached_property
    def sequenced(self) -> bool:
        """Say whether doors and legs hang on a sequencer."""
        return any(True for _ in self.plan.of(Sequencer))

    @cached_property
    def uses(self) -> tuple[Use, ...]:
        """Every column, in the order of their names."""
        allowed = (items for items in subsets(self.items) if self._allowed(items))
        found = (use for items in allowed for use in self._of(items))
        return tuple(sorted(found, key=lambda use: use.key))

    def _allowed(self, items: tuple[Unplugged, ...]) -> bool:
        """All legs are one group where no sequencer parts them."""
        if items[0].family[0] != "leg" or self.sequenced:
            return True
        legs = [i for i in self.items if i.family == items[0].family]
        fixed = any(leg.plug for leg in self.plan.of(Retract))
        return fixed or len(legs) > 4 or len(items) == len(legs)

    def _of(self, items: tuple[Unplugged, ...]) -> Iterator[Use]:
        label = label_of(items)
        devices = [device for item in items for device in item.devices]
        apart = tuple(ask.name for ask in self.limits if ask.breaks(devices))
        for where, host in self._hosts(items, label):
            if any(d.family != items[0].family for d in host.already):
                continue
            with_fixed = [*devices, *host.already]
            blocked = apart
            if host.already:
                blocked = tuple(a.name for a in self.limits if a.breaks(with_fixed))
            must = tuple(a.name for a in self.asks if a.must and a.breaks(with_fixed))
            signs = [end.sign for end in host.ends] if len(host.ends) > 1 else []
            turns = signs[: len(items)] or [host.ends[0].sign] * len(items)
            if len(turns) < len(items):
                continue
            choices = mends(self.wiring, items, host.already, turns)
            own = self._special_limits(label, host)
            for how, limits in choices:
                for made in self._builds(items, host, how):
                    every = (*blocked, *must, *limits, *own)
                    joints = self._joints(items, host, made)
                    astray = self._astray(items, host)
                    yield Use(items, where, host, label, made, how, every, joints, astray)

    def _builds(
        self, items: tuple[Unplugged, ...], host: Host, how: tuple[Mend, ...]
    ) -> Sequence[Build]:
        """Return the builds of a group; an in-line reverser is one lead more in its run."""
        turned = {mend.part for mend in how if mend.how == REVERSER}
        at = (*(item.id for item in items), host.id, *sorted(turned))
        if at not in self._known:
            whole = (replace(i, leads=i.leads + 1) if i.id in turned else i for i in items)
            self._known[at] = builds_of(self.yard, tuple(whole), host)
        return self._known[at]

    def _hosts(self, items: tuple[Unplugged, ...], label: PulseLabel) -> Iterator[tuple[str, Host]]:
        kind = items[0].family[0]
        on_box = kind in {"leg", "door"} and self.sequenced
        plain_boxes: set[str] = set()
        for host in self.hosts:
            if host.outlet != on_box or (host.role and host.role != kind):
                continue
            if host.plain and host.box in plain_boxes:
                continue
            if host.plain:
                plain_boxes.add(host.box)
                yield host.box, host
            elif label.fits(host) and self._ends_fit(items, host):
                yield host.id, host

    def _ends_fit(self, items: tuple[Unplugged, ...], host: Host) -> bool:
        """Items go to several ends in the order of their names; each must fit its own."""
        ends = host.ends if len(host.ends) > 1 else host.ends * len(items)
        return all(end.fits(self.plan, i) for i, end in zip(items, ends, strict=False))

    def _special_limits(self, label: PulseLabel, host: Host) -> tuple[str, ...]:
        """Limits against a group on a host of its own kind; plain channels have theirs apart."""
        if host.plain:
            return self._past_stabiliser(label)
        return host.blocked if host.outlet else self.channel_allowed(label, host)

    def _past_stabiliser(self, label: PulseLabel) -> tuple[str, ...]:
        """What a stabiliser has a free outlet for goes through it, or one side is not steadied."""
        found = []
        for host in self.hosts:
            box = self._owner(host.ends[0].socket)
            named = any(label.words.base(end.word) in label.bases for end in host.ends)
            if box.relays and named:
                found.append(f"{box.named()} steadies {label.word()}")
        return tuple(dict.fromkeys(found))

    def _joints(self, items: tuple[Unplugged, ...], host: Host, made: Build) -> int:
        """Plugs that sit in sockets of leads, those of the arms not counted."""
        owners = [self._owner(end.socket) for end in host.ends]
        on_lead = [owner.carries_signal or bool(owner.circuits) for owner in owners]
        if len(host.ends) > 1:
            return sum(on_lead[: len(items)])
        return len(made.pieces) + len(items) - 1 + on_lead[0]

    def _owner(self, socket: str) -> Part:
        return self.plan.parts[socket.partition(".")[0]]

    def _astray(self, items: tuple[Unplugged, ...], host: Host) -> int:
        """Count the items on an outlet whose name is nearer to others."""
        if not host.outlet:
            return 0
        names = [h.name for h in self.hosts if h.outlet and h.role == host.role]
        own = [f"{item.id}-{item.part.place}" for item in items]
        return sum(
            any(likeness(mine, name) > likeness(mine, host.name) for name in names) for mine in own
        )

    def channel_allowed(self, label: PulseLabel, host: Host) -> tuple[str, ...]:
        """Return the limits of the plan against a group on a channel."""
        limits = host.blocked
        if host.function and not label.fits(host):
            limits = (*limits, f"channel {host.channel} is {host.function}")
        if not host.function:
            for base in sorted(label.bases):
                wanted = expected_stick(self.plan, host.channel)
                if wanted and base in {"aileron", "elevator", "throttle", "rudder"}:
                    limits = limits if base == wanted else (*limits, ORDER)
        return limits


def _plugged(device: Device) -> bool:
    return bool(getattr(device.part, "plug", None))


def label_of(items: tuple[Unplugged, ...]) -> PulseLabel:
    """Return what matters of a group when it looks for a channel."""
    devices = [device for item in items for device in item.devices]
    sides = {device.side for device in devices} - {""}
    side = next(iter(sides)) if len(sides) == 1 else "both" if sides else ""
    return PulseLabel(
        items[0].family[0],
        tuple(sorted({d.function for d in devices})),
        side,
        devices[0].part.words,
    )


def space_of(plan: Plan) -> Space:
    """Return everything that can be chosen for a plan."""
    wiring = build(plan)
    items = items_of(plan, wiring)
    escs = of_kind(Esc, (d.part for i in items for d in i.devices))
    yard = Yard(plan, stock_of(plan, wiring), Runs(plan))
    hosts, feeds = hosts_of(plan, wiring), feeds_of(plan, wiring, escs)
    return Space(plan, wiring, items, hosts, feeds, asks_of(plan), limits_of(plan), yard)
