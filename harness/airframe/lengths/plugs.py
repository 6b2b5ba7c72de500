"""Where along its way each plug of a run lies, and whether anybody gets at it there.

The leads on either side bound where a plug can lie: no further from the device and no further
from the host than they reach. What is left over of them lies anywhere. A duct across a joint that
comes off opens there, so that it hides no plug. Lengths in mm.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from harness.airframe.lengths import MeasuredRun
from harness.airframe.routes import RouteLeg, RouteWay
from harness.airframe.stock import EVEN
from harness.plan.plan import Plan
from harness.wiring.mate import Mate


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
