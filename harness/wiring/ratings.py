"""What a lead carries, by its plugs, its wire and the plan; and the motors on an ESC.

Sizing by common practice: continuously, 30 % of all stalls added; for seconds, the stalls of what
moves together, while the rest moves freely.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from math import sqrt

from harness.base.data import dataclass
from harness.base.units import WireSize
from harness.catalogue.tables import Catalogue
from harness.parts.contacts import Form, Port
from harness.parts.figure import Figure, from_catalogue, stated
from harness.parts.motor import Motor
from harness.parts.part import Part, of_kind
from harness.plan.plan import Plan
from harness.wiring.build import Wiring
from harness.wiring.leads import PhysicalLead

THREE_PIN = "servo-3pin"


@dataclass(frozen=True, slots=True)
class Limit:
    """One thing that limits a lead: what it is, and its amperes."""

    what: str
    figure: Figure


@dataclass(frozen=True, slots=True)
class Rating:
    """The tightest limit continuously and for seconds; None where nobody knows one."""

    steady: Limit | None
    burst: Limit | None


def connector_of(port: Port) -> str:
    """Return the catalogue class of a plug or socket, or "" when nobody said."""
    if port.connector:
        return port.connector
    return THREE_PIN if port.form is Form.THREE_PIN else ""


def mating(plan: Plan, connector: str) -> str:
    """Return the class whose plugs and sockets a class goes with: its own, or as it says."""
    other = plan.catalogue.value("plugs", connector, "mates-with")
    return other.text if other else connector


def wire_row(plan: Plan, size: WireSize | None) -> str:
    """Return the catalogue's thickest gauge that is no thicker than a wire, or ""."""
    return "" if size is None else _row_of(plan.catalogue, size.area_mm2)


@lru_cache(maxsize=256)
def _row_of(catalogue: Catalogue, most: float) -> str:
    rows = catalogue.column("wires", "size")
    thinner = {row: area for row, area in rows.items() if area <= most * (1 + 1e-9)}
    return max(thinner, key=lambda row: thinner[row], default="")


SILICONE = {"continuous": "silicone", "continuous-chart": "silicone-chart",
            "rated-temperature": "silicone-temperature"}  # fmt: skip
"""What a figure of a wire is called for one with silicone about it."""


def wire_figure(plan: Plan, size: WireSize | None, key: str, *, battery: bool) -> Figure | None:
    """Return a figure of a gauge; battery wire is taken to be of silicone where that is known."""
    row, keys = wire_row(plan, size), (SILICONE.get(key, key), key) if battery else (key,)
    found = (from_catalogue(plan.catalogue, "wires", row, word) for word in keys)
    return next(filter(None, found), None)


def split_of(part: Part) -> str:
    """Return where the wires of a lead part, as the plan says: at its plug, at its end, or ""."""
    return str(getattr(part, "split", ""))


def split_unsaid(wiring: Wiring, part: Part) -> bool:
    """Say whether the plan leaves open where the wires of a lead with several ends part."""
    return not split_of(part) and part.has_key("split") and len(branches(wiring, part)) > 1


def split_told(part: Part) -> str:
    """Return the same in words: split at its plug; "" where the plan does not say."""
    return str(getattr(part, "split_words", ""))


def branches(wiring: Wiring, part: Part) -> list[Port]:
    """Return the ends of a lead on the side where it has more of them."""
    ports = wiring.by_part[part.id]
    plugs = [port for port in ports if port.is_plug]
    sockets = [port for port in ports if not port.is_plug]
    return sockets if len(sockets) > len(plugs) else plugs or sockets


def outer_of(plan: Plan, size: WireSize) -> float:
    """Return what a wire measures over its insulation, mm; thinner than all, as the thinnest."""
    row = wire_row(plan, size) or plan.catalogue.rows("wires")[-1]
    area, outer = (plan.catalogue.number("wires", row, key) for key in ("size", "outer"))
    return outer * max(1.0, sqrt(size.area_mm2 / area))


def rating_of(plan: Plan, lead: PhysicalLead) -> Rating:
    """Return what a lead's trunk and wire carry continuously and for seconds, in A."""
    return Rating(_least(_limits(plan, lead, "continuous")), _least(_limits(plan, lead, "burst")))


def _least(limits: Iterator[Limit]) -> Limit | None:
    return min(limits, key=lambda limit: (limit.figure.number, limit.what), default=None)


def _limits(plan: Plan, lead: PhysicalLead, key: str) -> Iterator[Limit]:
    own = _stated(lead)
    if own is not None:
        yield Limit("as stated", own)
    elif lead.part.row[0] == "switches":
        yield from _row(plan, "switch", *lead.part.row, key)
    connectors = {connector_of(port) for port in lead.trunk}
    if lead.part.circuits:
        connectors.add(lead.part.connector)
    for name in sorted(connectors - {""}):
        yield from _row(plan, f"plug {name}", "plugs", name, key)
    wire, battery = lead.port.wire.size, lead.port.form is Form.POWER
    figure = wire_figure(plan, wire, key, battery=battery)
    if figure is not None and own is None:
        yield Limit(f"wire {wire_row(plan, wire)}", figure)


def _stated(lead: PhysicalLead) -> Figure | None:
    part = lead.part
    own = part.is_lead or part.hands_on(lead.port.name)
    return stated(part, "rated", getattr(part, "rated", None)) if own else None


def _row(plan: Plan, what: str, table: str, row: str, key: str) -> Iterator[Limit]:
    figure = from_catalogue(plan.catalogue, table, row, key)
    if figure is not None:
        yield Limit(what, figure)


def together(part: Part) -> str:
    """Return the group a part moves with: all flight surfaces together, the rest alone."""
    function = part.words.find(part.moves)
    return (function.group if function else "") or part.does


def motors_on(wiring: Wiring, esc: Part) -> list[Motor]:
    """Return the motors on an ESC."""
    mates = wiring.by_socket.get((esc.id, "motor"), [])
    return of_kind(Motor, (m.plug.part for m in mates if m.fits))
