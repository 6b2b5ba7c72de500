"""The supplies made from a pack (BECs and regulators): what they give, and what they feed."""

from __future__ import annotations

from dataclasses import dataclass

from harness.base.span import Span
from harness.electrics.flow import Flow
from harness.facts.bearing import over
from harness.facts.currents import currents
from harness.facts.radio_contacts import overloaded
from harness.facts.rail_volts import battery_volts
from harness.facts.rails import rails
from harness.facts.sources import embattled, fighting, kept, rivals
from harness.parts.autopilot import Autopilot
from harness.parts.bec import Bec
from harness.parts.figure import Figure, from_catalogue, stated
from harness.parts.part import Part
from harness.parts.regulator import Regulator
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.mate import Mate

TINY = 1e-6
"""V; less is rounding."""


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

    def _stated(self, word: str) -> Figure | None:
        amount = getattr(self._says, word)
        if amount is None:
            return None
        return Figure(amount, f"plan line {self.span(word).line}")

    @property
    def rated(self) -> Figure | None:
        """What it gives continuously."""
        return self._stated("rated")

    @property
    def peak_limit(self) -> Figure | None:
        """What it gives for seconds."""
        return self._stated("burst")

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


def from_weak_supply(wiring: Wiring, mate: Mate) -> bool:
    """Say whether what comes in by a plug comes from a supply that is overloaded anyway."""
    below = wiring.downstream(mate.socket.id) if mate.socket else ()
    return not weak_supplies(wiring).isdisjoint(port.part.id for port in below)


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
    kind = bec.kind or "switching"
    needed = from_catalogue(wiring.plan.catalogue, "regulators", kind, "drop-out")
    if needed is None or fed >= bec.volts + needed.number - TINY:
        return None
    return TooFew(bec, fed, needed)


def logic_flow(wiring: Wiring, box: Autopilot) -> Flow:
    """Return what flows out of an autopilot's outputs."""
    return currents(wiring).out_of([(box.id, name) for name in box.sockets])


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


@fact
def asked_too_much(wiring: Wiring) -> frozenset[str]:
    """Return the rails whose supply plugs, and the sources that, are asked too much or fight."""
    heavy = {joint.rail for joint in overloaded(wiring)}
    return frozenset(heavy | weak_supplies(wiring) | embattled(wiring))


def linear_heat(pack: float, out: float, current: float) -> float:
    """Return the watts a linear supply burns: volts lost times current."""
    return (pack - out) * current
