"""Wires that carry more than they bear, and what mends wires and packs: all solved again.

Less resistance lets more through: a gauge or a pack is named only where what then flows is borne,
by it and by whatever else that makes too thin, which is named with it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence

from harness.base.data import dataclass, replace
from harness.base.units import WireSize, parse_wire
from harness.electrics.flow import Flow
from harness.electrics.packs import cell_ohms
from harness.facts.battery import standing
from harness.facts.cures import changed, takes, wire_word
from harness.facts.currents import Bears, alike, currents, derated, stated_wire, thinned, wire_bears
from harness.facts.hot_wires import hot_wires, lasting
from harness.parts.contacts import Form, Port
from harness.parts.pack import Pack
from harness.parts.part import Part
from harness.plan.plan import Plan
from harness.wiring.build import PortId, Wiring, with_parts
from harness.wiring.fact import fact
from harness.wiring.ratings import branches, split_of

Mended = Callable[[Wiring], bool]
"""Whether a fault is gone in a wiring with changes."""

TIMES = (1.0, 1.25, 1.5, 2.0, 3.0, 4.0, 6.0, 8.0)
"""By how much packs are tried larger; at first only as stiff as their class, not as stated."""

SHARES = (0.9, 0.8, 0.7, 0.6, 0.5, 0.4, 0.3, 0.2, 0.1)
"""By how much wires are tried shorter."""


@fact
def loaded_wires(wiring: Wiring) -> tuple[tuple[Port, Flow, Bears | None], ...]:
    """Return the wires that carry current and whose gauge the plan states, and what they bear."""
    found = list[tuple[Port, Flow, Bears | None]]()
    for port in (port for port in wiring.ports.values() if port.form is not Form.MOTOR):
        size = port.wire.size
        if size is not None and stated_wire(port) and (flow := _flow(wiring, port)).live:
            found.append((port, flow, _bears(wiring, port, size)))
    return tuple(found)


def _flow(wiring: Wiring, port: Port) -> Flow:
    """Where the plan says that each end has wires of its own, none carries what all take."""
    ends = branches(wiring, port.part) if split_of(port.part) == "plug" else [port]
    flows = [currents(wiring).port(*end.id) for end in ends]
    return max(flows, key=lambda flow: (flow.steady, flow.burst))


def _bears(wiring: Wiring, port: Port, size: WireSize) -> Bears | None:
    bears = wire_bears(wiring.plan, size, battery=port.form is Form.POWER)
    return thinned(bears, derated(wiring.plan, port.part)) if bears is not None else None


@fact
def too_thin(wiring: Wiring) -> frozenset[PortId]:
    """Return the plugs and sockets whose wires carry more than they bear, or get too hot."""
    heavy = {
        port.id
        for port, flow, bears in loaded_wires(wiring)
        if bears is not None and bears.exceeded(flow)
    }
    return frozenset(heavy | set(hot_wires(wiring)))


@dataclass(frozen=True)
class Thickened:
    """A gauge by its row in the catalogue, the wires that are to have it, and the wiring then."""

    row: str
    ports: tuple[Port, ...]
    wiring: Wiring

    @property
    def size(self) -> WireSize:
        """Its cross-section."""
        return parse_wire(self.row)

    @property
    def parts(self) -> list[Part]:
        """Whose wires they are, each once."""
        return list({port.part.id: port.part for port in self.ports}.values())


def gauge_for(
    wiring: Wiring, ports: Iterable[Port], mended: Mended, *, any_plug: bool = False
) -> Thickened | None:
    """Return the thinnest gauge for some wires with which a fault is gone and no wire is too thin.

    One that their plugs take; `any_plug`: or would, if they were others.
    """
    ports = tuple(ports)
    for row in reversed(wiring.plan.catalogue.rows("wires")):
        if all(_may_bear(wiring, port, parse_wire(row)) for port in ports):
            found = _tried(wiring, Thickened(row, ports, wiring), mended, any_plug)
            if found is not None:
                return found
    return None


@fact
def _gauges(wiring: Wiring) -> dict[tuple[str, str], Thickened | None]:
    """The gauges that were looked for so far, by the part and its key."""
    return {}


def gauge_wanted(wiring: Wiring, port: Port) -> Thickened | None:
    """Return the gauge for a wire that is too thin, of other plugs where its own take none.

    All wires that are too thin for the same current get it at once: each lets more through.
    """

    def key(of: Port) -> tuple[str, str]:
        return of.part.id, wire_word(of.part, of.name, "wire")

    def mended(after: Wiring) -> bool:
        return not {one.id for one in group.values()} & too_thin(after)

    found, thin = _gauges(wiring), [wiring.ports[name] for name in sorted(too_thin(wiring))]
    if key(port) not in found:
        like = (
            p for p in thin if p.form is port.form and alike(_flow(wiring, p), _flow(wiring, port))
        )
        group = {key(port): port} | {key(p): p for p in like if key(p)[1] and key(p) != key(port)}
        plain = gauge_for(wiring, group.values(), mended)
        gauge = plain or gauge_for(wiring, group.values(), mended, any_plug=True)
        found |= dict.fromkeys(group, gauge)
    return found[key(port)]


def _may_bear(wiring: Wiring, port: Port, size: WireSize) -> bool:
    """What flows now is the least that a thicker wire has to bear."""
    bears, hot = _bears(wiring, port, size), hot_wires(wiring).get(port.id)
    cool = hot is None or lasting(wiring, hot, size) >= hot.amps
    return cool and bears is not None and not bears.exceeded(_flow(wiring, port))


def _tried(wiring: Wiring, gauge: Thickened, mended: Mended, any_plug: bool) -> Thickened | None:
    """Lay a gauge on some wires, and on those that are then too thin themselves."""
    while (after := _laid(wiring, gauge, any_plug)) is not None:
        new = too_thin(after) - (too_thin(wiring) - {port.id for port in gauge.ports})
        if not new:
            return replace(gauge, wiring=after) if mended(after) else None
        more = [wiring.ports[name] for name in sorted(new)]
        if any(port in gauge.ports for port in more):
            return None
        gauge = replace(gauge, ports=(*gauge.ports, *more))
    return None


def _laid(wiring: Wiring, gauge: Thickened, any_plug: bool) -> Wiring | None:
    """Return the wiring with a gauge; None where a wire cannot have it, or none gets thicker."""
    parts = dict[str, Part]()
    for port in gauge.ports:
        old, word = port.wire.size, wire_word(port.part, port.name, "wire")
        fits = any_plug or takes(wiring, port, gauge.size)
        if not word or not fits or old is None:
            return None
        if gauge.size.area_mm2 > old.area_mm2 * (1 + 1e-9):
            part = parts.get(port.part.id, port.part)
            parts[part.id] = changed(part, **{word: gauge.size})
    return with_parts(wiring, parts.values()) if parts else None


def shorter(wiring: Wiring, port: Port, mended: Mended, *, thicker: bool) -> str:
    """Say how long a wire may be for a fault to go, `thicker`: of which gauge; "" if none does."""
    word, name = wire_word(port.part, port.name, "length"), port.part.named()
    shares = SHARES[2::2] if thicker else SHARES
    for share in shares if word and port.wire.length else ():
        most = math.floor((port.wire.length or 0.0) * share / 10) * 10.0
        after = with_parts(wiring, [changed(port.part, **{word: most})])
        thick = gauge_for(after, [after.ports[port.id]], mended) if thicker and most else None
        if thick is not None and len(thick.parts) == 1:
            return f"make the wires of {name} {most:g} mm at most, of {thick.row} or thicker"
        sound = too_thin(after) <= too_thin(wiring) - {port.id}
        if not thicker and most and sound and mended(after):
            return f"make the wires of {name} {most:g} mm at most"
    return ""


def packs_for(wiring: Wiring, packs: Sequence[Pack], mended: Mended) -> str:
    """Say how much larger some packs must be, or how stiff, for a fault to go; "" if none helps.

    The packs of a stack stay alike.
    """
    every, ids = list(packs), {pack.id for pack in packs}
    for level in (level for pair in standing(wiring) for level in pair):
        if any(
            pack.id in ids
            for pair in standing(wiring)
            if level in pair
            for other in pair
            for pack in other.packs
        ):
            every += [p for p in level.packs if p.id not in {one.id for one in every}]
    packs = every
    for times in TIMES if any(pack.cell_resistance for pack in packs) else TIMES[1:]:
        bigger = {p.id: _bigger(p, times) for p in packs}
        after = with_parts(wiring, bigger.values())
        if too_thin(after) <= too_thin(wiring) and mended(after):
            return _words(wiring.plan, packs, bigger, times)
    return ""


def _bigger(pack: Pack, times: float) -> Pack:
    held = math.ceil(pack.capacity * times * 10 - 1e-9) / 10 if pack.capacity is not None else None
    return replace(pack, capacity=held, cell_resistance=None)


def _words(plan: Plan, packs: Sequence[Pack], bigger: dict[str, Pack], times: float) -> str:
    held = [pack.capacity for pack in bigger.values() if pack.capacity is not None]
    ohms = [cell_ohms(plan, bigger[p.id]).number for p in packs if p.cell_resistance is not None]
    what = f"of {max(held):g} Ah or more" if held else f"{times:g} times as large"
    stiff = f" with {min(ohms) * 1000:.2g} mohm a cell or less" if ohms else ""
    return (
        f"packs {what}{stiff}, all of a stack alike" if len(packs) > 1 else f"a pack {what}{stiff}"
    )
