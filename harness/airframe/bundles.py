"""What lies together between neighbouring places: leads, wires, thickness, bend radius.

Between its device and its host a run is one lead at any point; which one depends on where its
plugs lie. With caution they lie as near the host as the leads on the device's side reach, so that
the leads that runs share end soon; and every arm of a fork counts as a lead.

The diameter is that of a circle which wires of these thicknesses always go into: their sections
together are half of it (row `bundle,fill`). Lengths in mm.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from itertools import accumulate, pairwise
from math import sqrt

from harness.airframe.lengths import MeasuredRun
from harness.airframe.routes import Airframe, RouteLeg
from harness.airframe.runs import called
from harness.airframe.stock import EVEN
from harness.base.data import dataclass
from harness.base.units import WireSize
from harness.parts.contacts import Form, Port
from harness.parts.figure import rule_figure
from harness.plan.plan import Plan
from harness.wiring.ratings import outer_of

Stretch = tuple[str, str, str]
"""Two places, and the duct between them or ""."""


@dataclass(frozen=True, slots=True)
class BundledRun:
    """One lead in a bundle: what it is called, how many wires, over their insulation mm each."""

    key: tuple[str, str, str]
    name: str
    wires: int
    outer: float
    assumed: bool


@dataclass(frozen=True, slots=True)
class Bundle:
    """The leads on one stretch. `leads` all that touch it; the figures where most lie together."""

    one: str
    other: str
    duct: str
    length: float
    leads: tuple[BundledRun, ...]
    most_leads: int
    wires: int
    diameter: float
    least_diameter: float
    bend: float
    bend_short: float
    bore: float | None

    @property
    def fit(self) -> str:
        """Whether it goes through its duct: goes, tight, no; "" where no bore is stated."""
        if self.bore is None:
            return ""
        if self.diameter <= self.bore + EVEN:
            return "goes"
        return "tight" if self.least_diameter <= self.bore + EVEN else "no"

    @property
    def name(self) -> str:
        """The stretch in words."""
        return f"{self.one} to {self.other}" + (f' (duct "{self.duct}")' if self.duct else "")


def outer_at(plan: Plan, port: Port) -> tuple[float, bool]:
    """Return what a wire of a lead measures over its insulation, mm, and if that was assumed."""
    size, assumed = port.wire.size, port.wire.size is None
    if size is None:
        three = port.form is Form.THREE_PIN
        row, key = ("bundle", "assumed-wire") if three else ("assumed", "battery-wire")
        size = WireSize(rule_figure(plan.catalogue, row, key).number, "")
    return outer_of(plan, size), assumed


def diameter(outers: Iterable[float], fill: float) -> float:
    """Return the diameter of the circle of which round wires fill the share `fill`, mm.

    One wire alone is as thick as it is; and no bundle is thinner than its thickest wire.
    """
    wires = list(outers)
    if len(wires) < 2:
        return sum(wires)
    return max(*wires, sqrt(sum(outer * outer for outer in wires) / fill))


def bundles_of(plan: Plan, runs: Iterable[MeasuredRun]) -> tuple[Bundle, ...]:
    """Return every stretch that leads pass, by the order of places and ducts in the file."""
    spans: dict[Stretch, list[tuple[float, float, BundledRun]]] = defaultdict(list)
    legs = Airframe(plan).ways.edges
    order = {name: n for n, name in enumerate(plan.places)}
    for measured in runs:
        for stretch, span in _spans(plan, order, measured):
            spans[stretch].append(span)

    def by_file(stretch: Stretch) -> tuple[int, int, str]:
        return (order[stretch[0]], order[stretch[1]], stretch[2])

    return tuple(
        _bundle(plan, s, legs[s[:2]]["leg"].length, spans[s]) for s in sorted(spans, key=by_file)
    )


def _spans(
    plan: Plan, order: Mapping[str, int], measured: MeasuredRun
) -> Iterator[tuple[Stretch, tuple[float, float, BundledRun]]]:
    """Yield each lead of a run on each stretch: the shares of the run's way there it lies between.

    Shares, because runs that begin or end in one place are not equally long: none is missed.
    """
    if measured.need is None:
        return
    marks = _marks(measured)
    strands = list(_strands(plan, measured))
    start = 0.0
    for leg in measured.need.way.legs:
        end = start + leg.length
        for strand, (first, last) in zip(strands, pairwise(marks), strict=True):
            low, high = max(first, start), min(last, end)
            if not leg.inside and (high - low > EVEN or leg.length <= EVEN):
                stretch, turned = _stretch(order, leg)
                share = [(at - start) / (leg.length or 1.0) for at in (low, high)]
                a, b = (1 - share[1], 1 - share[0]) if turned else share
                yield stretch, (a, b, strand)
        start = end


def _marks(measured: MeasuredRun) -> list[float]:
    """Where each lead of a run begins and ends, mm from the device, plugs nearest the host."""
    assert measured.need is not None
    whole = measured.need.way.length
    reach = [p.length.number if p.length else whole for p in measured.run.pieces]
    ends = [min(total, whole) for total in accumulate(reach)]
    return [0.0, *ends[:-1], whole]


def _stretch(order: Mapping[str, int], leg: RouteLeg) -> tuple[Stretch, bool]:
    turned = order[leg.one] > order[leg.other]
    one, other = (leg.other, leg.one) if turned else (leg.one, leg.other)
    return (one, other, leg.duct), turned


def _strands(plan: Plan, measured: MeasuredRun) -> Iterator[BundledRun]:
    arm = ""
    for piece, mate in zip(measured.run.pieces, (*measured.run.mates, None), strict=False):
        outer, assumed = outer_at(plan, piece.port)
        wires = len(piece.port.order)
        yield BundledRun((*piece.lead, arm), called(piece), wires, outer, assumed)
        arm = mate.socket.name if mate and mate.socket else ""


def _bundle(
    plan: Plan, stretch: Stretch, length: float, spans: list[tuple[float, float, BundledRun]]
) -> Bundle:
    fill, most = (
        rule_figure(plan.catalogue, "bundle", key).number for key in ("fill", "fill-most")
    )
    long, short = (
        rule_figure(plan.catalogue, "bundle", key).number
        for key in ("bend-factor", "bend-factor-short")
    )
    sections = list(_sections(spans))
    outers = [[s.outer for s in section for _ in range(s.wires)] for section in sections]
    wide = max(diameter(o, fill) for o in outers)
    return Bundle(
        *stretch,
        length,
        tuple({s.key: s for _, _, s in spans}.values()),
        max(len(section) for section in sections),
        max(len(o) for o in outers),
        wide,
        max(diameter(o, most) for o in outers),
        long * wide,
        short * wide,
        plan.ducts[stretch[2]].bore if stretch[2] else None,
    )


def _sections(spans: list[tuple[float, float, BundledRun]]) -> Iterator[list[BundledRun]]:
    """Yield which leads lie together at each section where that changes."""
    edges = sorted({edge for low, high, _ in spans for edge in (low, high)})
    middles = [(one + other) / 2 for one, other in pairwise(edges)]
    found = [{s.key: s for low, high, s in spans if low <= at <= high} for at in middles]
    every = {s.key: s for _, _, s in spans}  # a stretch of no length: they lie at its ends
    yield from (list(here.values()) for here in ([h for h in found if h] or [every]))
