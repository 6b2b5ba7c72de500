"""How long a run must be: the length of its way, a share for its curves, and slack by rule.

Slack past the edge of each hatch and removable joint, at a servo, and a share of the way: the
rows `slack` of the catalogue's rules, the cautious value first, the low one as the bare minimum.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from harness.airframe.routes import Airframe, RouteWay
from harness.airframe.runs import LeadRun, RunPiece, runs_of
from harness.airframe.stock import EVEN
from harness.parts.figure import rule_figure
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.wiring.build import Wiring


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
