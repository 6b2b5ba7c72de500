"""Crossed poles on the battery side: which of them turn a pack or a load the wrong way round."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from harness.facts.crossings import Crossing, crossings, lead_faults, leads_put_right, straightened
from harness.parts.contacts import Link, LinkKind
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.wiring.build import Wiring
from harness.wiring.fact import fact
from harness.wiring.nets import Nets, pack_nets

TINY = 0.01
"""V; less is rounding, not a difference."""


@dataclass(frozen=True, slots=True)
class Wrong:
    """What stands the wrong way round in a wiring, each with its volts.

    `loads`: parts fed backwards; `levels`: (series lead, source end) against the rest of its
    stack; `rings`: packs in parallel the wrong way round; `shorts`: packs with copper from pole
    to pole.
    """

    loads: tuple[tuple[Part, float], ...]
    levels: tuple[tuple[Part, str, float], ...]
    rings: tuple[tuple[Part, float], ...]
    shorts: tuple[tuple[Part, float], ...]

    @property
    def total(self) -> float:
        """All the wrong volts together: falls when a fault is put right."""
        several = (self.loads, self.levels, self.rings, self.shorts)
        return sum(float(found[-1]) for group in several for found in group)


@dataclass(frozen=True, slots=True)
class PoleFault:
    """One crossing that does harm, and what is wrong because of it alone."""

    crossing: Crossing
    wrong: Wrong

    @property
    def kind(self) -> str:
        """The name of the rule that reports it."""
        if self.wrong.levels:
            return "cancelling-series"
        return "reversed-pack" if self.wrong.rings else "poles-crossed"


def wrong_in(wiring: Wiring) -> Wrong:
    """Find what stands the wrong way round."""
    nets, parts = pack_nets(wiring), wiring.plan.parts
    loops = [loop for loop in nets.loops if abs(loop.surplus) > TINY]
    shorts = [loop for loop in loops if nets.same(loop.source.a, loop.source.b)]
    rings = [loop for loop in loops if loop not in shorts]
    return Wrong(
        tuple((parts[k.owner], -v) for k in wiring.links if (v := _across(nets, k)) < -TINY),
        tuple(_against(wiring, nets)),
        tuple((parts[loop.source.owner], abs(loop.surplus)) for loop in rings),
        tuple((parts[loop.source.owner], abs(loop.surplus)) for loop in shorts),
    )


def _across(nets: Nets, link: Link) -> float:
    """Volts from the minus to the plus of a load; 0 where nothing feeds it."""
    if link.kind is not LinkKind.LOAD:
        return 0.0
    return nets.volts(link.b, link.a) or 0.0


def _against(wiring: Wiring, nets: Nets) -> Iterable[tuple[Part, str, float]]:
    for lead in wiring.plan.of(PowerLead):
        if lead.kind != "series":
            continue
        for name, _ in lead.joins():
            port = wiring.ports[lead.id, name]
            volts = nets.volts(port.pin("negative"), port.pin("positive")) or 0.0
            if volts < -TINY:
                yield lead, name, -volts


@fact
def pole_faults(wiring: Wiring) -> tuple[PoleFault, ...]:
    """Return the crossings on the battery side that do harm, each judged with the others mended."""
    wiring = leads_put_right(wiring)
    causes = [c for c in crossings(wiring) if not c.three_pin and c not in lead_faults(wiring)]
    before = wrong_in(wiring).total if causes else 0.0
    if before <= TINY:
        return ()
    guilty = _fewest(wiring, causes, before)
    return tuple(_judged(wiring, guilty, cause) for cause in guilty)


def _fewest(wiring: Wiring, causes: list[Crossing], before: float) -> list[Crossing]:
    """Return few crossings whose mending leaves nothing wrong: of three in a row only one.

    Each time the one that mends most is taken, a join before an adapter. Where none helps alone,
    all are told.
    """
    guilty: list[Crossing] = []
    left, pool = before, sorted(causes, key=lambda c: c.mate is None)
    while pool:
        after = [wrong_in(straightened(wiring, [*guilty, c])).total for c in pool]
        least = min(after)
        if least >= left - TINY:
            break
        guilty.append(pool.pop(after.index(least)))
        left = least
    if not guilty and wrong_in(straightened(wiring, causes)).total < before - TINY:
        return causes
    return guilty


def _judged(wiring: Wiring, guilty: list[Crossing], cause: Crossing) -> PoleFault:
    """Leave one fault in, the others mended, and take away what is wrong without it as well."""
    alone = wrong_in(straightened(wiring, [c for c in guilty if c is not cause]))
    never = wrong_in(straightened(wiring, guilty))
    left = Wrong(
        tuple(x for x in alone.loads if x not in never.loads),
        tuple(x for x in alone.levels if x not in never.levels),
        tuple(x for x in alone.rings if x not in never.rings),
        tuple(x for x in alone.shorts if x not in never.shorts),
    )
    return PoleFault(cause, left)


@fact
def put_right(wiring: Wiring) -> Wiring:
    """Return the wiring with every fault of polarity put right, for rules on other matters."""
    return straightened(leads_put_right(wiring), [fault.crossing for fault in pole_faults(wiring)])


def stack_volts(wiring: Wiring, lead: Part) -> float:
    """Return the volts at the socket of a series lead, by its packs alone."""
    port = wiring.ports[lead.id, "1"]
    return pack_nets(wiring).volts(port.pin("negative"), port.pin("positive")) or 0.0
