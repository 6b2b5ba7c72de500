"""The battery side: ways back to the packs, levels and stacks, what drives what."""

from __future__ import annotations

import math
from collections import defaultdict
from typing import TYPE_CHECKING

from harness.base.data import dataclass
from harness.electrics.packs import cell_ohms, known_rest
from harness.facts.currents import currents
from harness.facts.fed import put_right
from harness.parts.capacitor import Capacitor
from harness.parts.contacts import Contact, Form, LinkKind
from harness.parts.figure import Figure, from_catalogue, rule_figure
from harness.parts.motor import Motor
from harness.parts.pack import Pack
from harness.parts.part import Part, of_kind
from harness.plan.plan import Plan
from harness.wiring.build import Mate, Wiring
from harness.wiring.fact import fact

if TYPE_CHECKING:
    from networkx import DiGraph

    from harness.electrics.outcome import Outcome
    from harness.electrics.solver.circuit import NotSolved

BATTERY = (Form.POWER, Form.BALANCE)


@dataclass(frozen=True)
class BatteryRun:
    """One way from a part to a pack: the part first, then leads and fuses, the pack last."""

    parts: tuple[Part, ...]

    @property
    def pack(self) -> Pack | None:
        """The pack at the end, if the run gets to one."""
        last = self.parts[-1]
        return next(iter(of_kind(Pack, [last])), None)

    @property
    def length(self) -> float:
        """The lengths that are known, added up, in mm."""
        return sum(getattr(part, "length", None) or 0.0 for part in self.parts)

    @property
    def unmeasured(self) -> list[Part]:
        """The parts of the run without a length; a pack's own wires count when they are given."""
        wires = [part for part in self.parts if not part.holds_cells]
        return [part for part in wires if getattr(part, "length", None) is None]


def source_mates(wiring: Wiring, part: Part) -> list[Mate]:
    """Return the mates of a part's battery-side plugs, in the order of the plan."""
    ports = [name for name, _ in part.joins() if wiring.ports[part.id, name].form in BATTERY]
    mates = [wiring.by_plug[part.id, name] for name in ports]
    return [mate for mate in mates if mate.fits and mate.first]


@fact
def battery_sides(wiring: Wiring) -> DiGraph[str]:
    """Return the parts with a step from each to the packs, leads and fuses on its battery plugs."""
    from networkx import DiGraph

    graph: DiGraph[str] = DiGraph()
    for part in wiring.plan.parts.values():
        graph.add_node(part.id)
        for mate in () if part.holds_cells else source_mates(wiring, part):
            if mate.socket is None or mate.socket.form not in {Form.POWER, mate.plug.form}:
                continue
            above = mate.socket.part
            if above.holds_cells or above.battery_lead:
                graph.add_edge(part.id, above.id)
    return graph


def runs_of(wiring: Wiring, part: Part) -> list[BatteryRun]:
    """Return every way from a part's battery plugs to a pack."""
    from networkx import all_simple_paths, descendants

    parts, graph = wiring.plan.parts, battery_sides(wiring)
    packs = [name for name in (part.id, *descendants(graph, part.id)) if name in _packs(wiring)]
    ways = all_simple_paths(graph, part.id, packs)
    return [BatteryRun(tuple(parts[name] for name in way)) for way in ways]


@fact
def _packs(wiring: Wiring) -> frozenset[str]:
    return frozenset(pack.id for pack in wiring.plan.of(Pack))


def full_volts(wiring: Wiring, part: Part, seen: tuple[str, ...] = ()) -> float | None:
    """Return the volts a part gets from fully charged packs; None when nobody knows."""
    if part.holds_cells:
        full = pack_volts(wiring.plan, part, "full")
        return full.number if full else None
    mates = [m for m in source_mates(wiring, part) if m.socket]
    above = [m.socket.part for m in mates if m.socket and m.socket.part.id not in seen]
    series = part.battery_lead and part.kind == "series"
    once = above if series else list({other.id: other for other in above}.values())
    volts = [full_volts(wiring, other, (*seen, part.id)) for other in once]
    known = [v for v in volts if v is not None]
    if not known or len(known) < len(volts):
        return None
    return sum(known) if series else max(known)


def capacitor_rating(plan: Plan, full: float) -> Figure | None:
    """Return the usual rating of capacitors for the volts of a full pack, in lithium cells."""
    cell = plan.catalogue.number("packs", "lipo", "full")
    rows = plan.catalogue.keys("rules", "capacitor-volts")
    enough = [row for row in rows if int(row.removesuffix("S")) >= round(full / cell)]
    first = min(enough, key=lambda row: int(row.removesuffix("S")), default="")
    return rule_figure(plan.catalogue, "capacitor-volts", first) if first else None


@dataclass(frozen=True)
class MotorInUse:
    """A motor of which the current at full throttle is stated, A, its ESC, and the volts then."""

    motor: Motor
    esc: Part
    full: Figure
    volts: float

    @property
    def watts(self) -> float:
        """What it takes at full throttle."""
        return self.full.number * self.volts


def motors_in_use(wiring: Wiring) -> list[MotorInUse]:
    """Return the motors whose current at full throttle is stated; 0 V where no pack is known."""
    found = []
    for motor in wiring.plan.of(Motor):
        mate = wiring.by_plug.get((motor.id, "plug"))
        esc = mate.socket.part if mate and mate.socket else None
        full = motor.full()
        if esc is not None and esc.drives and full is not None:
            poles = (Contact(esc.id, "battery", pin) for pin in ("negative", "positive"))
            volts = abs(wiring.nets.volts(*poles) or 0.0)
            found.append(MotorInUse(motor, esc, full, motor.full_volts() or volts))
    return found


def is_armed(wiring: Wiring, esc: Part) -> bool:
    """Say whether an arming plug lies on every way from an ESC to a pack."""
    return all(any(part.arms for part in run.parts) for run in runs_of(wiring, esc))


def packs_of(wiring: Wiring, part: Part) -> list[Pack]:
    """Return the packs at the ends of a part's battery wires, by id."""
    packs = {run.pack.id: run.pack for run in runs_of(wiring, part) if run.pack}
    return [packs[name] for name in sorted(packs)]


def capacitance_at(wiring: Wiring, part: Part) -> float:
    """Return what the capacitors across a part's battery wires have together, F."""
    fitted = [c for c in wiring.plan.of(Capacitor) if c.across == part.id]
    return sum(capacitor.value * capacitor.count for capacitor in fitted)


def capacitance_wanted(wiring: Wiring, esc: Part) -> float:
    """Return what its longest battery wires ask for at an ESC, F; 0 where they are short."""
    long, step, each = (
        wiring.plan.catalogue.number("rules", "long-battery-wire", word)
        for word in ("length", "per-length", "capacitance")
    )
    longest = max((run.length for run in runs_of(wiring, esc) if run.pack), default=0.0)
    return each * max(0, math.ceil((longest - long) / step - 1e-9))


@dataclass(frozen=True, slots=True)
class PackLevel:
    """Packs with both poles in common, by id; `low` and `high` are their nets."""

    packs: tuple[Pack, ...]
    low: Contact
    high: Contact

    @property
    def capacity(self) -> float | None:
        """The sum of what the packs hold, Ah; None when one is not stated."""
        held = [pack.capacity for pack in self.packs]
        return None if None in held else sum(h for h in held if h is not None)


@fact
def levels(wiring: Wiring) -> tuple[PackLevel, ...]:
    """Return every level; a pack with nothing beside it is a level of its own."""
    wiring = put_right(wiring)
    found: dict[tuple[Contact, Contact], list[Pack]] = defaultdict(list)
    packs = {pack.id: pack for pack in wiring.plan.of(Pack)}
    for link in wiring.links:
        if link.kind is LinkKind.SOURCE and link.owner in packs:
            poles = (wiring.nets.root[link.a], wiring.nets.root[link.b])
            if poles[0] != poles[1]:
                found[poles].append(packs[link.owner])
    every = [
        PackLevel(tuple(sorted(level, key=lambda p: p.id)), *poles)
        for poles, level in found.items()
    ]
    return tuple(sorted(every, key=lambda level: level.packs[0].id))


@fact
def standing(wiring: Wiring) -> tuple[tuple[PackLevel, PackLevel], ...]:
    """Return each pair (lower level, upper level) of a stack."""
    by_low: dict[Contact, list[PackLevel]] = defaultdict(list)
    for level in levels(wiring):
        by_low[level.low].append(level)
    return tuple((low, up) for low in levels(wiring) for up in by_low.get(low.high, ()))


def pack_least(plan: Plan, pack: Pack) -> Figure:
    """Return the least a whole pack resists in ohm: what a fault and packs joined are judged by."""
    return cell_ohms(plan, pack, stiff=True) * pack.cells


def pack_volts(plan: Plan, pack: Part, state: str) -> Figure | None:
    """Return the volts of a whole pack "full", "nominal" or "empty"."""
    cell = from_catalogue(plan.catalogue, *pack.row, state)
    return cell * pack.cells if cell is not None else None


@fact
def as_joined(wiring: Wiring) -> Outcome | NotSolved:
    """Return the built-in case in which packs have just been joined, or why it has no answer."""
    from harness.electrics.cases import built_in
    from harness.electrics.outcome import outcome_of
    from harness.electrics.solver.circuit import NotSolved

    case = next(case for case in built_in(wiring.plan) if case.name == "joined")
    try:
        outcome = outcome_of(currents(wiring).wiring, [case])
    except NotSolved as why:
        return why
    return outcome.trouble.get(case.name, outcome)


def charged_with(wiring: Wiring, one: Pack, other: Pack) -> float | NotSolved | None:
    """Return what the emptier of two packs side by side is charged with as they are joined, A.

    All that flows into it comes from beside it. None where it is not stated how full both are, or
    how many volts they have; or why it could not be worked out.
    """
    if any(pack.volts is None and pack.charge is None for pack in (one, other)):
        return None
    outcome = as_joined(wiring)
    if isinstance(outcome, Exception):
        return outcome
    given = [float(outcome.given(pack.id)[0]) for pack in (one, other)]
    return None if any(math.isnan(amps) for amps in given) else max(0.0, -min(given))


@dataclass(frozen=True, slots=True)
class Apart:
    """The volts between two packs, and what both resist together."""

    apart: Figure
    ohms: Figure


def estimated(plan: Plan, one: Pack, other: Pack) -> Apart | None:
    """Return what drives and limits a current between two packs, by the volts as metered or by
    charge, else the nominal ones, and without the copper between.
    """
    at = [known_rest(plan, pack) for pack in (one, other)]
    if None in at:
        at = [pack_volts(plan, pack, "nominal") for pack in (one, other)]
    (low, high), (ohms, more) = at, [pack_least(plan, pack) for pack in (one, other)]
    if low is None or high is None:
        return None
    volts = abs(low.number - high.number)
    return Apart(Figure(volts, low.origin), Figure(ohms.number + more.number, ohms.origin))


def driven_back(wiring: Wiring, part: Part, other: Part) -> float:
    """Return the current that charges an empty pack while the other source is full, A."""
    from harness.electrics.cases import OperatingCase
    from harness.electrics.outcome import outcome_of

    charges = {part.id: 0.0, other.id: 1.0}
    case = OperatingCase(
        "back-fed", "the pack without a diode is empty", charges=charges, stiff=True
    )
    given = float(outcome_of(currents(wiring).wiring, [case], limited=True).given(part.id)[0])
    return max(0.0, -given)
