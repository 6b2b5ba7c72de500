"""How long a run must be, and where along its way each of its plugs lies. Lengths in mm.

The length of its way, a share for its curves, and slack past the edge of each hatch and removable
joint and at a servo: the rows `slack` of the catalogue's rules, the cautious value first, the low
one as the bare minimum.

The leads on either side bound where a plug can lie: no further from the device and no further
from the host than they reach. What is left over of them lies anywhere. A duct across a joint that
comes off opens there, so that it hides no plug.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from harness.airframe.routes import Airframe, RouteLeg, RouteWay
from harness.airframe.runs import LeadRun, RunPiece, runs_of
from harness.airframe.stock import EVEN
from harness.base.data import dataclass
from harness.parts.figure import rule_figure
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.wiring.build import Mate, Wiring
from harness.wiring.fact import fact


@dataclass(frozen=True, slots=True)
class Slack:
    """One reason for slack: mm with caution, mm at the least, and where the figures come from."""

    why: str
    cautious: float
    least: float
    origin: str


@dataclass(frozen=True, slots=True)
class LengthNeed:
    """What a run needs, in mm: `needed` with caution, `least` at the bare minimum."""

    way: RouteWay
    slack: tuple[Slack, ...]

    @property
    def places(self) -> tuple[str, ...]:
        """The places on the way, from the device to the part it is plugged into."""
        return self.way.places

    @property
    def needed(self) -> float:
        """With all slack, rounded to a thousandth of a mm."""
        return round(self.way.length + sum(s.cautious for s in self.slack), 3)

    @property
    def least(self) -> float:
        """With the lower slack."""
        return round(self.way.length + sum(s.least for s in self.slack), 3)


def needed_run(
    plan: Plan, device: str, host: str, via: Sequence[str] = (), airframe: Airframe | None = None
) -> LengthNeed | None:
    """Return what a run from a part to the part with its socket needs; None: not known.

    `via`: places it passes, besides the device's own `route`. `airframe` saves making it again
    for the many runs of one plan. Raises KeyError for a part that is not in the plan.
    """
    start, end = plan.parts[device], plan.parts[host]
    frame = airframe or Airframe(plan)
    way = frame.way(start, end, (*start.route, *via))
    return None if way is None else LengthNeed(way, tuple(_slack(plan, start, way)))


def _slack(plan: Plan, device: Part, way: RouteWay) -> Iterator[Slack]:
    share, low = (rule_figure(plan.catalogue, "slack", key) for key in ("run", "run-low"))
    if way.length:
        yield Slack("run", way.length * share.number, way.length * low.number, share.origin)
    for joint in way.removable:
        yield _past(plan, f'joint of "{joint}"', "hatch")
    for hatch in way.hatches:
        yield _past(plan, f'hatch "{hatch}"', "hatch")
    if device.swings or device.is_leg:
        yield _past(plan, device.word, "servo")


def _past(plan: Plan, why: str, key: str) -> Slack:
    cautious, low = (rule_figure(plan.catalogue, "slack", word) for word in (key, f"{key}-low"))
    return Slack(why, cautious.number, low.number, cautious.origin)


@dataclass(frozen=True, slots=True)
class MeasuredRun:
    """A run with what it needs and what it has. `missing`: what of its way the plan lacks."""

    run: LeadRun
    need: LengthNeed | None
    missing: tuple[str, ...] = ()

    @property
    def have(self) -> float | None:
        """The leads of the run added up, mm; None when one of them is not known."""
        return self.run.have if self.run.plugged else None

    @property
    def spare(self) -> float | None:
        """What is left over of its leads, mm; below 0 they are short of it. None: not known."""
        if self.need is None or self.have is None:
            return None
        return round(self.have - self.need.needed, 3)

    @property
    def verdict(self) -> str:
        """short (of the bare way), tight (of the slack), enough, open, or "" for not known."""
        if self.need is None:
            return ""
        if self.have is None:
            return "open"
        if self.have < self.need.way.length - EVEN:
            return "short"
        return "tight" if self.have < self.need.needed - EVEN else "enough"

    @property
    def known(self) -> float:
        """The leads whose lengths are known, added up, mm."""
        return sum(piece.length.number for piece in self.run.pieces if piece.length)

    @property
    def unmeasured(self) -> tuple[RunPiece, ...]:
        """The leads whose lengths are not known."""
        return tuple(piece for piece in self.run.pieces if piece.length is None)


@fact
def lengths_of(wiring: Wiring) -> tuple[MeasuredRun, ...]:
    """Return every run of a plan with what it needs, by part in file order."""
    frame = Airframe(wiring.plan)
    return tuple(_measured(wiring.plan, frame, run) for run in runs_of(wiring))


def _measured(plan: Plan, frame: Airframe, run: LeadRun) -> MeasuredRun:
    if run.host is None:
        return MeasuredRun(run, None)
    need = needed_run(plan, run.device.id, run.host.id, run.via, frame)
    via = (*run.device.route, *run.via)
    return MeasuredRun(run, need, () if need else frame.missing(run.device, run.host, via))


def is_measured(plan: Plan) -> bool:
    """Say whether a plan states any position or distance at all."""
    places = any(place.spot for place in plan.places.values())
    ducts = any(duct.length is not None for duct in plan.ducts.values())
    return places or ducts or any(part.spot for part in plan.parts.values())


@dataclass(frozen=True, slots=True)
class Plug:
    """A plug in the middle of a run: from where to where it can lie, mm from the device.

    `stretch`: the places it lies in, or between which. `duct`: the one it cannot be kept out of.
    `covered`: the cover glued over the only places it can lie in. `off`: how far it stays from
    the place where the plan says it is made; below 0 the leads on the device's side are short
    of it, above 0 those on the host's side.
    """

    mate: Mate
    nearest: float
    furthest: float
    stretch: tuple[str, ...]
    duct: str = ""
    covered: str = ""
    off: float = 0.0


Sealed = Mapping[str, tuple[str, ...]]
"""The covers that are never opened again, by the places under them."""


def sealed_of(plan: Plan) -> Sealed:
    """Return the covers for good over each place, in the order of the file."""
    found: dict[str, tuple[str, ...]] = {}
    for cover in plan.covers.values():
        for place in cover.over if cover.kind == "for-good" else ():
            found[place] = (*found.get(place, ()), cover.id)
    return found


def plugs_on(plan: Plan, measured: MeasuredRun, sealed: Sealed | None = None) -> tuple[Plug, ...]:
    """Return the plugs between the leads of a run whose lengths are all known.

    None where the leads are too short for the way. `sealed` saves looking through all covers
    again for the many runs of one plan.
    """
    run, need = measured.run, measured.need
    if need is None or measured.verdict not in {"tight", "enough"}:
        return ()
    lengths = [piece.length.number for piece in run.pieces if piece.length]
    between = run.mates[: len(lengths) - 1]
    sealed = sealed_of(plan) if sealed is None and between else sealed or {}
    return tuple(
        _plug(plan, sealed, need.way, mate, (sum(lengths[: n + 1]), sum(lengths[n + 1 :])))
        for n, mate in enumerate(between)
    )


def _plug(
    plan: Plan, sealed: Sealed, way: RouteWay, mate: Mate, reach: tuple[float, float]
) -> Plug:
    """`reach`: how far from the device and from the host the leads on either side go."""
    nearest = max(0.0, way.length - reach[1])
    furthest = min(way.length, reach[0])
    stated = mate.join.made_in
    if stated in way.places:
        low, high = _bounds(way, stated)
        off = min(0.0, furthest - low) + max(0.0, nearest - high)
        off = off if abs(off) > EVEN else 0.0
        covered = _covered(sealed, (stated,))
        return Plug(mate, max(nearest, low), min(furthest, high), (stated,), "", covered, off)
    legs = list(_legs(way))
    touched = [
        leg
        for start, leg in legs
        if start <= furthest + EVEN and start + leg.length >= nearest - EVEN
    ]
    stretch = tuple(dict.fromkeys(name for leg in touched for name in (leg.one, leg.other)))
    hiding = (d for d in _ducts(plan, legs) if d[0] < nearest - EVEN and furthest + EVEN < d[1])
    duct = next(hiding, (0.0, 0.0, ""))[2]
    return Plug(mate, nearest, furthest, stretch, duct, "" if duct else _covered(sealed, stretch))


def _bounds(way: RouteWay, place: str) -> tuple[float, float]:
    """From where to where a way is in a place, mm from the device: up to its ducts."""
    low, high = way.length, 0.0
    for start, leg in _legs(way):
        end = start + leg.length
        if leg.inside and leg.one == place:
            low, high = min(low, start), max(high, end)
        elif leg.other == place:
            inner = start + leg.hidden[1] if leg.hidden else start + leg.length / 2
            low, high = min(low, inner), max(high, end)
        elif leg.one == place:
            inner = start + leg.hidden[0] if leg.hidden else start + leg.length / 2
            low, high = min(low, start), max(high, inner)
    return low, high


def _legs(way: RouteWay) -> Iterator[tuple[float, RouteLeg]]:
    """Yield each stretch with where it begins, mm from the device."""
    start = 0.0
    for leg in way.legs:
        yield start, leg
        start += leg.length


def _ducts(plan: Plan, legs: list[tuple[float, RouteLeg]]) -> Iterator[tuple[float, float, str]]:
    """Yield from where to where the ducts are that stay closed."""
    for start, leg in legs:
        crossed = plan.crosses(leg.one, leg.other)
        opens = any(plan.places[joint].joined != "for-good" for joint in crossed)
        if leg.duct and leg.hidden and not opens:
            yield start + leg.hidden[0], start + leg.hidden[1], leg.duct


def _covered(sealed: Sealed, places: tuple[str, ...]) -> str:
    """Return the cover that is never opened again over all of these places."""
    over = [sealed.get(place, ()) for place in places]
    return next((c for c in over[0] if all(c in others for others in over)), "") if over else ""
