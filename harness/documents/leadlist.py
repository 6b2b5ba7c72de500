"""The lead list: one row a lead, with what it meets at both ends.

An end that has several plugs or sockets gives several values, joined by "; " in the same order
in each of its columns. Unknown values are empty.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from harness.base.colours import word_of
from harness.base.units import LENGTH, format_quantity
from harness.electrics.flow import Flow
from harness.facts.currents import amps
from harness.facts.motion import turning
from harness.facts.of_leads import Facts, facts_of, insulation, pale_wire, wired_pins
from harness.paper.records import CsvRecord
from harness.parts.contacts import Form
from harness.rules.run import Report
from harness.wiring.build import Wiring
from harness.wiring.leads import FIXED, LeadEnd, PhysicalLead
from harness.wiring.ratings import Limit, connector_of, rating_of

SEVERAL = "; "
NOTHING = "nothing"

COLUMNS = (
    "label", "lead", "kind", "side",
    "A end", "A part", "A socket", "A place", "A connector", "A pulled",
    "B end", "B part", "B socket", "B place", "B connector",
    "wires", "colours", "colours from", "gauge", "gauge from", "length",
    "arrow", "crosses joint",
    "load", "load short", "load not known", "rating", "rating short", "rating from", "notes",
)  # fmt: skip
"""End A is the plug, towards receiver or pack; end B the socket, or the part itself ("fixed").
`load` and `rating` are A continuously, `short` for seconds."""


@dataclass(frozen=True, slots=True)
class LeadList:
    """The lead list of one plan as plain texts. `off`: how what turns is made safe."""

    aircraft: str
    revision: str
    columns: tuple[str, ...]
    rows: tuple[CsvRecord, ...]
    off: str


def lead_list(source: Report | Wiring) -> LeadList:
    """Return the lead list of a checked plan or of a wiring, in the order of the label codes."""
    wiring = source if isinstance(source, Wiring) else source.wiring
    facts = facts_of(wiring)
    rows = tuple(_row(facts, lead) for lead in facts.leads)
    plan = wiring.plan
    return LeadList(plan.aircraft, plan.revision, COLUMNS, rows, turning(plan).off)


def _row(facts: Facts, lead: PhysicalLead) -> CsvRecord:
    return {
        "label": facts.codes[lead.key],
        "lead": lead.part.id,
        "kind": lead.kind,
        "side": facts.wiring.plan.side(lead.part),
        **_end(facts, "A", lead.near),
        "A pulled": SEVERAL.join(", ".join(end.pulled) for end in lead.near if end.pulled),
        **_end(facts, "B", lead.far),
        **_wire(facts, lead),
        "crosses joint": SEVERAL.join(lead.joints(facts.wiring)),
        **_load(facts, lead),
        **_rating(facts, lead),
        "notes": SEVERAL.join(notes(facts, lead)),
    }


def _end(facts: Facts, name: str, ends: tuple[LeadEnd, ...]) -> CsvRecord:
    def several(texts: Iterable[str]) -> str:
        found = list(texts)
        return SEVERAL.join(found) if any(found) else ""

    return {
        f"{name} end": several(end.name for end in ends),
        f"{name} part": several(_meets(end) for end in ends),
        f"{name} socket": several(end.socket for end in ends),
        f"{name} place": several(end.place for end in ends),
        f"{name} connector": several(_connector(end) for end in ends),
    }


def _meets(end: LeadEnd) -> str:
    if end.meets is not None:
        return end.meets.id
    return end.mate.join.part if end.mate is not None else NOTHING


def _connector(end: LeadEnd) -> str:
    """Return the class and gender: the plug has pins, the socket takes them."""
    if end.port is None:
        return FIXED
    gender = "plug" if end.port.is_plug else "socket"
    form = "motor" if end.port.form is Form.MOTOR else end.port.form.value
    return f"{connector_of(end.port) or form} {gender}"


def _wire(facts: Facts, lead: PhysicalLead) -> CsvRecord:
    codes, stated = insulation(lead.port)
    far = {insulation(end.port)[0] for end in lead.far if end.port} - {codes}
    size, length = lead.port.wire.size, lead.port.wire.length
    own = any(getattr(lead.part, word, None) == size for word in ("wire", "lead_wire"))
    pale = pale_wire(lead.port)
    return {
        "wires": str(len(wired_pins(lead.port))),
        "colours": "+".join(codes) + "".join(f" / {'+'.join(other)}" for other in sorted(far)),
        "colours from": ("plan" if stated else "usual") if codes else "",
        "gauge": size.text if size else "",
        "gauge from": ("plan" if own else "class") if size else "",
        "length": format_quantity(length, LENGTH) if length is not None else "",
        "arrow": f"{pale} ({word_of(pale)})" if pale and wants_arrow(lead) else "",
    }


def wants_arrow(lead: PhysicalLead) -> bool:
    """Say whether any 3-pin end of a lead may be fitted the wrong way round."""
    return any(needs_arrow(end) for end in lead.ends)


def needs_arrow(end: LeadEnd) -> bool:
    """Say whether this end is a 3-pin plug or socket that fits either way round."""
    if end.port is None or end.port.form is not Form.THREE_PIN:
        return False
    socket = end.port if not end.port.is_plug else end.mate.socket if end.mate else None
    return socket is None or not socket.keyed


def _load(facts: Facts, lead: PhysicalLead) -> CsvRecord:
    flow = facts.load(lead)
    if lead.part.spins or not flow.live:
        return {"load": "", "load short": "", "load not known": ""}
    return {
        "load": amps(flow.steady),
        "load short": amps(flow.burst),
        "load not known": SEVERAL.join(missing_of(flow)),
    }


def missing_of(flow: Flow) -> list[str]:
    """Return the ids of the parts whose current nobody knows, so that the sum is too small."""
    return sorted({draw.part.id for draw in flow.missing})


def _rating(facts: Facts, lead: PhysicalLead) -> CsvRecord:
    rating = rating_of(facts.wiring.plan, lead)
    return {
        "rating": amps(rating.steady.figure.number) if rating.steady else "",
        "rating short": amps(rating.burst.figure.number) if rating.burst else "",
        "rating from": SEVERAL.join(dict.fromkeys(map(origin, (rating.steady, rating.burst)))),
    }


def origin(limit: Limit | None) -> str:
    """Return where the figure of what limits a lead comes from."""
    return limit.figure.origin if limit else "not known"


def notes(facts: Facts, lead: PhysicalLead) -> list[str]:
    """Return what else a builder must see: joins that cannot be made, facts found, remarks."""
    found = [f"{end.name}: {end.fault}" for end in lead.ends if end.fault]
    names = {lead.part.id} | {f"{port.part.id}.{port.name}" for port in lead.ports}
    for fact in facts.wiring.plan.as_found:
        if fact.end in names:
            found.append(f"{fact.end} was {fact.fact}" + (f", {fact.mended}" * bool(fact.mended)))
    turned = [end for end in lead.near if end.mate is not None and end.mate.join.turned]
    found += [f"{end.name} sits turned" for end in turned]
    return [*found, lead.part.about] if lead.part.about else found
