"""What supplies give (packs, BECs and regulators): volts on the rails, amperes asked of them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator

from harness.base.data import dataclass
from harness.base.span import Span
from harness.electrics.flow import Flow
from harness.electrics.supplies import said_of, seconds_of
from harness.facts.currents import currents, over
from harness.facts.rails import (
    FedPart,
    RailFeed,
    consumers,
    fighting,
    kept,
    meter_shift,
    name_of,
    nets_at,
    rails,
    rivals,
    source_volts,
    volts_from,
)
from harness.facts.shorts import shorts
from harness.facts.wording import volts as in_volts
from harness.parts.autopilot import Autopilot
from harness.parts.bec import Bec, supply_figure
from harness.parts.contacts import Contact
from harness.parts.figure import Figure, rule_figure, stated
from harness.parts.part import Part
from harness.parts.regulator import Regulator
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.live import TINY


@dataclass(frozen=True, slots=True)
class Beyond:
    """One part whose limit a source passes."""

    part: Part
    volts: float
    limit: Figure


def beyond(wiring: Wiring, word: str, state: str) -> Iterator[tuple[Part, tuple[Beyond, ...]]]:
    """Yield each source with the parts it feeds past their `volts-max` or under their `volts-min`.

    A part of which nobody said what it bears is passed over (`unlimited`).
    """
    found: dict[str, list[Beyond]] = defaultdict(list)
    for part, source, volts in _fed(wiring, state):
        limit = part.known(wiring.plan.catalogue, word)
        if limit is None:
            continue
        # What a meter may differ by neither makes a fault nor takes one away.
        both = (volts, volts - meter_shift(wiring, wiring.plan.parts[source]))
        most, least = limit.number + 1e-6, limit.number - 1e-6
        if min(both) > most if word == "volts-max" else max(both) < least:
            found[source].append(Beyond(part, volts, limit))
    for source, parts in found.items():
        worst = tuple(sorted(parts, key=lambda b: (b.limit.number, b.part.id)))
        yield wiring.plan.parts[source], worst


def gives(wiring: Wiring, source: Part, there: float, state: str) -> str:
    """Say what a source gives in a state, and what of it arrives behind a diode on the way."""
    own = source_volts(wiring, source, state)
    named = {"empty": " when empty", "full": " fully charged"}.get(state, "")
    full = named if source.holds_cells else ""
    if own is None or round(own.number - there, 2) <= 0:
        return f"{name_of(source)} gives {in_volts(there)}{full}"
    first = f"{name_of(source)} gives {in_volts(own.number)}{full}"
    return f"{first}, and {in_volts(there)} of it arrive behind a diode"


def unlimited(wiring: Wiring, word: str, state: str) -> Iterator[Part]:
    """Yield the parts that are fed though nobody said what they bear."""
    for part, _, _ in _fed(wiring, state):
        if part.known(wiring.plan.catalogue, word) is None:
            yield part


@dataclass(frozen=True, slots=True)
class VoltWindow:
    """What a source must give for all that it feeds: the part that needs most, that bears least.

    `needs` and `bears` are volts at the source, diodes on the way added; None: nobody says.
    """

    needs: tuple[float, Part] | None
    bears: tuple[float, Part] | None


def window(wiring: Wiring, source: Part) -> VoltWindow:
    """Return between which volts a source suits everything on it."""
    own, catalogue = source_volts(wiring, source, "nominal"), wiring.plan.catalogue
    ends: dict[str, list[tuple[float, str]]] = {"volts-min": [], "volts-max": []}
    for part, name, at in _fed(wiring, "nominal"):
        lost = own.number - at if own and name == source.id else 0.0
        for word, found in ends.items() if name == source.id else ():
            if limit := part.known(catalogue, word):
                found.append((round(limit.number + lost, 6), part.id))
    parts, (low, high) = wiring.plan.parts, ends.values()
    needs = max(low, default=None)
    bears = min(high, default=None)
    return VoltWindow(needs and (needs[0], parts[needs[1]]), bears and (bears[0], parts[bears[1]]))


def _fed(wiring: Wiring, state: str) -> Iterator[tuple[Part, str, float]]:
    """Yield every part that a source feeds, with that source and its volts."""
    shorted = {pack.id for short in shorts(wiring) for pack in short.packs}
    for consumer in consumers(wiring):
        fed = _volts(wiring, consumer, state)
        if fed is not None and fed[0] not in shorted:
            yield consumer.part, *fed


def _volts(wiring: Wiring, consumer: FedPart, state: str) -> tuple[str, float] | None:
    """Return the source with the highest volts on a part, of those that are to stay."""
    feeds = rails(wiring).feeds(consumer.positive)
    straight = [feed.source for feed in feeds if not feed.drop]
    keep = kept(wiring, straight) if straight else None
    some = [f for f in feeds if f.drop or f.source is keep]
    return max(
        _each(wiring, some, consumer.negative, state), key=lambda f: (f[1], f[0]), default=None
    )


def _each(
    wiring: Wiring, feeds: list[RailFeed], minus: Contact, state: str
) -> Iterator[tuple[str, float]]:
    for feed in feeds:
        volts = volts_from(wiring, feed, minus, state)
        if volts is not None and volts > 0:
            yield feed.source.owner, volts


def battery_volts(wiring: Wiring, part: Part, state: str) -> float | None:
    """Return the volts on a part's battery wires, or None when nothing feeds them."""
    nets = nets_at(wiring, state)
    poles = (Contact(part.id, "battery", "negative"), Contact(part.id, "battery", "positive"))
    return nets.volts(*poles)


def source_span(part: Part) -> Span:
    """Return where a source's volts stand in the plan."""
    if part.holds_cells:
        return part.at("cells")
    bec = part.makes
    return bec.spans.get("volts", part.span) if bec is not None else part.span


@dataclass(frozen=True, slots=True)
class IdleRail:
    """A rail that has a source; `idle` is what the source gives without load, V."""

    part: Part
    plus: Contact
    minus: Contact
    source: Part
    idle: float


def idle_rails(wiring: Wiring, part: Part) -> Iterator[IdleRail]:
    """Yield the rails of a part that are fed, each with its highest source."""
    minus = Contact(part.id, "rail", "negative")
    for inside in part.rails:
        plus = Contact(part.id, inside, "positive")
        there = plus in rails(wiring).wiring.nets.root
        volts = [
            (volts_from(wiring, feed, minus, "nominal"), feed.source.owner)
            for feed in (rails(wiring).feeds(plus) if there else ())
        ]
        known = [(idle, owner) for idle, owner in volts if idle is not None]
        if known:
            idle, owner = max(known)
            yield IdleRail(part, plus, minus, wiring.plan.parts[owner], idle)


@dataclass(frozen=True)
class Supply:
    """One BEC or regulator in use."""

    part: Part
    flow: Flow

    @property
    def _says(self) -> Bec | Regulator:
        bec = self.part.makes
        assert bec is not None
        return bec

    @property
    def name(self) -> str:
        """How a message names it."""
        return self.part.maker

    @property
    def key(self) -> str:
        """The key of the part that describes the supply."""
        return "bec" if self.part.drives else ""

    def word(self, key: str) -> str:
        """Return how the plan writes a key of the supply: bec: rated, or rated."""
        return f"{self.key}: {key}" if self.key else key

    def span(self, word: str) -> Span:
        """Return where the plan states a figure of the supply."""
        says = self._says
        return says.spans.get(word, says.span)

    @property
    def rated(self) -> Figure | None:
        """What it gives continuously."""
        return said_of(self.part, "rated")

    @property
    def peak_limit(self) -> Figure | None:
        """What it gives for seconds: its rating where no burst is stated."""
        return seconds_of(self.part)

    @property
    def peak_stated(self) -> bool:
        """Say whether the plan states what it gives for seconds."""
        return self._says.burst is not None

    @property
    def overloaded(self) -> bool:
        """Say whether more is asked than the plan says it gives."""
        pairs = ((self.flow.steady, self.rated), (self.flow.burst, self.peak_limit))
        return any(limit is not None and over(load, limit.number) for load, limit in pairs)


@fact
def supplies_of(wiring: Wiring) -> tuple[Supply, ...]:
    """Return the BECs and regulators that feed something.

    Of several that fight on one rail only the one that stays counts, with the whole load.
    """
    found = []
    bears = _when_mended(wiring)
    for name, own in currents(wiring).by_source.items():
        part, names = wiring.plan.parts[name], bears.get(name, (name,))
        if (part.drives or part.regulates) and names:
            flow = own if names == (name,) else currents(wiring).given_by(names)
            if flow.live:
                found.append(Supply(part, flow))
    return tuple(found)


def _when_mended(wiring: Wiring) -> dict[str, tuple[str, ...]]:
    """Return whose load each fighting source bears once the others are pulled."""
    found: dict[str, tuple[str, ...]] = {}
    for direct in rails(wiring).direct.values():
        sources = rivals(wiring, direct)
        if fighting(wiring, sources):
            stays, names = kept(wiring, sources).owner, tuple(sorted(s.owner for s in sources))
            found |= {name: names if name == stays else () for name in names}
    return found


@fact
def weak_supplies(wiring: Wiring) -> frozenset[str]:
    """Return the supplies of which more is asked than the plan says they give."""
    return frozenset(supply.part.id for supply in supplies_of(wiring) if supply.overloaded)


@dataclass(frozen=True, slots=True)
class TooFew:
    """The empty pack of a supply gives `fed` V, and it needs `over` V above its `bec`'s output."""

    bec: Bec | Regulator
    fed: float
    over: Figure


def too_few_volts(wiring: Wiring, part: Part) -> TooFew | None:
    """Return what a supply has too little of when its pack is empty; None when it has enough."""
    bec, fed = part.makes, battery_volts(wiring, part, "empty")
    if bec is None or fed is None:
        return None
    needed = supply_figure(part, wiring.plan.catalogue, "drop-out")
    if needed is None or fed >= bec.volts + needed.number - TINY:
        return None
    return TooFew(bec, fed, needed)


def logic_flow(wiring: Wiring, box: Autopilot) -> Flow:
    """Return what flows out of an autopilot's outputs."""
    return currents(wiring).out_of([(box.id, name) for name in box.channels])


@fact
def logic_overloads(wiring: Wiring) -> dict[str, Figure]:
    """Return the limits of the autopilots that feed their outputs themselves, of which these ask
    for more.
    """
    found = {}
    for box in wiring.plan.of(Autopilot):
        limit = stated(box, "limit", box.limit)
        asked = logic_flow(wiring, box).burst if box.rail == "logic" else 0.0
        if limit is not None and over(asked, limit.number):
            found[box.id] = limit
    return found


def linear_heat(pack: float, out: float, current: float) -> float:
    """Return the watts a linear supply burns: volts lost times current."""
    return (pack - out) * current


@dataclass(frozen=True, slots=True)
class Carried:
    """A rail of which `carrier` gives nearly all in every case that lasts, and `idle` nothing.

    `amps`: the most it gives, A, in `case`.
    """

    box: Part
    carrier: Part
    idle: Part
    amps: float
    case: str


@fact
def carried(wiring: Wiring) -> tuple[Carried, ...]:
    """Return the rails that one of several sources, each behind a diode, carries for good."""
    found, parts = dict[frozenset[str], Carried](), wiring.plan.parts
    for part in parts.values():
        for rail in idle_rails(wiring, part) if part.rails else ():
            feeds = rails(wiring).feeds(rail.plus)
            names = sorted({feed.source.owner for feed in feeds if feed.drop})
            alone = carrier_of(wiring, names) if 1 < len(names) >= len(feeds) else None
            if alone is not None:
                top, amps, case = alone
                rest = max((n for n in names if n != top), key=lambda n: _idle_volts(wiring, n))
                one = Carried(part, parts[top], parts[rest], amps, case)
                found.setdefault(frozenset(names), one)
    return tuple(found.values())


def carrier_of(wiring: Wiring, names: list[str]) -> tuple[str, float, str] | None:
    """Return which of some sources gives nearly all in every case that lasts, by solved currents.

    With the most that it gives, A, and in which case; None when they share it.
    """
    flows = currents(wiring)
    if flows.shorted:
        return None
    cases = [
        n
        for n, case in enumerate(flows.outcome.cases)
        if case.lasting and case.name not in flows.trouble
    ]
    given = {
        name: [float(flows.judged(flows.outcome.given(name))[n]) for n in cases] for name in names
    }
    total = [sum(one) for one in zip(*given.values(), strict=True)]
    if not any(total):
        return None
    most = max(range(len(cases)), key=lambda n: (round(total[n], 6), -n))
    top = max(names, key=lambda name: given[name][most])
    alone = rule_figure(wiring.plan.catalogue, "backup", "carries-alone").number
    if any(one <= alone * every for one, every in zip(given[top], total, strict=True)):
        return None
    return top, given[top][most], flows.outcome.cases[cases[most]].name


def _idle_volts(wiring: Wiring, name: str) -> float:
    figure = source_volts(wiring, wiring.plan.parts[name], "nominal")
    return figure.number if figure else 0.0
