"""What a lead carries: the least of its plugs, its wire, and what the plan states."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from harness.base.units import WireSize
from harness.parts.contacts import Form, Port
from harness.parts.diode import Diode
from harness.parts.figure import Figure, from_catalogue, stated
from harness.parts.fuse import Fuse
from harness.parts.part import Part
from harness.parts.power_lead import PowerLead
from harness.parts.switch import Switch
from harness.plan.plan import Plan
from harness.wiring.leads import PhysicalLead

THREE_PIN = "servo-3pin"
SWITCHES = {"slide": "mechanical", "electronic": "electronic"}
"""The row of the catalogue's table switches for each kind of switch."""


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


def wire_row(plan: Plan, size: WireSize | None) -> str:
    """Return the catalogue's thickest gauge that is no thicker than a wire, or ""."""
    if size is None:
        return ""
    rows = {
        row: plan.catalogue.number("wires", row, "size") for row in plan.catalogue.rows("wires")
    }
    thinner = {row: area for row, area in rows.items() if area <= size.area_mm2 * (1 + 1e-9)}
    return max(thinner, key=lambda row: thinner[row], default="")


def rating_of(plan: Plan, lead: PhysicalLead) -> Rating:
    """Return what a lead's trunk and wire carry continuously and for seconds, in A."""
    return Rating(_least(_limits(plan, lead, "continuous")), _least(_limits(plan, lead, "burst")))


def _least(limits: Iterator[Limit]) -> Limit | None:
    return min(limits, key=lambda limit: (limit.figure.number, limit.what), default=None)


def _limits(plan: Plan, lead: PhysicalLead, key: str) -> Iterator[Limit]:
    own = _stated(lead.part)
    if own is not None:
        yield Limit("as stated", own)
    elif isinstance(lead.part, Switch):
        yield from _row(plan, "switch", "switches", SWITCHES[lead.part.kind], key)
    connectors = {connector_of(port) for port in lead.trunk}
    if lead.part.circuits:
        connectors.add(lead.part.connector)
    for name in sorted(connectors - {""}):
        yield from _row(plan, f"plug {name}", "plugs", name, key)
    row = wire_row(plan, lead.port.wire.size)
    yield from _row(plan, f"wire {row}", "wires", row, key)


def _stated(part: Part) -> Figure | None:
    rated = isinstance(part, PowerLead | Fuse | Switch | Diode)
    return stated(part, "rated", part.rated) if rated else None  # type: ignore[attr-defined]


def _row(plan: Plan, what: str, table: str, row: str, key: str) -> Iterator[Limit]:
    figure = from_catalogue(plan.catalogue, table, row, key)
    if figure is not None:
        yield Limit(what, figure)
