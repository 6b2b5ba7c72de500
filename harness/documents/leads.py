"""The lead list: one row a lead, with what it meets at both ends.

An end that has several plugs or sockets gives several values, joined by "; " in the same order
in each of its columns. Unknown values are empty. In the table for people what belongs together
stands in one cell, so that it fits a terminal or a printed page; its CSV has every column.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import zip_longest

from harness.base.colours import word_of
from harness.base.data import dataclass
from harness.base.near import capital
from harness.base.units import LENGTH, format_quantity
from harness.documents.cautions import sentence
from harness.electrics.flow import Flow
from harness.facts.currents import amps
from harness.facts.mend_first import warning_words
from harness.facts.motion import turning
from harness.facts.of_leads import (
    OUT,
    Facts,
    facts_of,
    insulation,
    pale_wire,
    pulled_words,
    wired_pins,
)
from harness.paper.records import CsvRecord
from harness.paper.sheet import Cell, Figures, FigureSheet, Row, Table, table
from harness.paper.text import HARD
from harness.parts.contacts import Form
from harness.rules.run import Report
from harness.wiring.build import Wiring
from harness.wiring.leads import FIXED, LeadEnd, PhysicalLead
from harness.wiring.ratings import THREE_PIN, Limit, connector_of, rating_of, split_told

SEVERAL = "; "
NOTHING = "nothing"

COLUMNS = (
    "label", "lead", "kind", "side",
    "A end", "A part", "A socket", "A place", "A connector", "A pulled",
    "B end", "B part", "B socket", "B place", "B connector",
    "A out", "wires", "colours", "colour words", "colours from", "gauge", "gauge from", "length",
    "arrow", "crosses joint",
    "load", "load short", "load not known", "rating", "rating short", "rating from", "notes",
    "mend first",
)  # fmt: skip
"""End A is the plug, towards receiver or pack; end B the socket, or the part itself ("fixed").
`load` and `rating` are A continuously, `short` for seconds."""


@dataclass(frozen=True, slots=True)
class LeadList:
    """The lead list of one plan as plain texts. `off`: how what turns is made safe; `first`: what
    must be mended before currents mean anything, or which open places they take to be whole.
    """

    aircraft: str
    revision: str
    columns: tuple[str, ...]
    rows: tuple[CsvRecord, ...]
    off: str
    first: str = ""


def lead_list(source: Report | Wiring) -> LeadList:
    """Return the lead list of a checked plan or of a wiring, in the order of the label codes."""
    wiring = source if isinstance(source, Wiring) else source.wiring
    facts = facts_of(wiring)
    plan, first = wiring.plan, sentence(warning_words(wiring))
    rows = tuple({**_row(facts, lead), "mend first": first} for lead in facts.leads)
    return LeadList(plan.aircraft, plan.revision, COLUMNS, rows, turning(plan).off, first)


def _row(facts: Facts, lead: PhysicalLead) -> CsvRecord:
    return {
        "label": facts.codes[lead.key],
        "lead": lead.part.id,
        "kind": lead.kind,
        "side": facts.wiring.plan.side(lead.part),
        **_end(facts, "A", lead.near),
        "A pulled": SEVERAL.join(", ".join(end.pulled) for end in lead.near if end.pulled),
        "A out": SEVERAL.join(filter(None, (pulled_words(m.mate) for m in lead.near if m.mate))),
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
    far = sorted({insulation(end.port)[0] for end in lead.far if end.port} - {codes})
    size, length = lead.port.wire.size, lead.port.wire.length
    own = any(getattr(lead.part, word, None) == size for word in ("wire", "lead_wire"))
    pale = pale_wire(lead.port)
    return {
        "wires": str(len(wired_pins(lead.port))),
        "colours": " / ".join("+".join(some) for some in (codes, *far)),
        "colour words": ", joined to ".join(
            ", ".join(map(word_of, some)) for some in (codes, *far) if some
        ),
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
            found.append(fact.words() + f", {fact.mended}" * bool(fact.mended))
    found += [word for word in (split_told(lead.part), lead.port.wire.lie) if word]
    turned = [end for end in lead.near if end.mate is not None and end.mate.join.turned]
    found += [f"{end.name} sits turned" for end in turned]
    return [*found, lead.part.about] if lead.part.about else found


FIRST = "The makers' instructions and local rules come first."
TITLES = ("label", "lead", "end A", "end B", "wire", "current", "notes")
LEGEND = (
    "A is the plug, towards receiver or pack; B the socket, or the part the lead grows out of. "
    "~ is the usual insulation or gauge, where the plan states none; → is the pale wire, where "
    "a 3-pin plug fits either way round. Currents are continuous / for seconds: what flows, and "
    "of how much the lead bears."
)


def lead_document(wiring: Wiring) -> Figures:
    """Return the lead list of a wiring."""
    return lead_figures(lead_list(wiring))


def lead_figures(leads: LeadList) -> Figures:
    """Return the lead list in all its forms."""
    title = f"{leads.aircraft}: lead list"
    caution = f"{capital(leads.off)} and packs out while you wire. {FIRST}"
    points = (Cell(leads.first, "danger"),) if leads.first else ()
    sheet = FigureSheet(title, leads.revision, points, (lead_table(leads),), foot=(LEGEND, caution))
    return Figures(sheet, leads.columns, leads.rows)


def lead_table(leads: LeadList) -> Table:
    """Return one row a lead; a cell that says several things says each on a line."""
    return table("", TITLES, map(_table_row, leads.rows))


def _table_row(row: CsvRecord) -> Row:
    label, *others = cells(row)
    return (Cell(label[0], side=row["side"]), *map(_cell, others))


def _cell(lines: list[str]) -> Cell:
    pulled = any(line.endswith(OUT) for line in lines)
    return Cell("\n".join(lines), "warning" if pulled else "")


def cells(row: CsvRecord) -> list[list[str]]:
    """Return the lines of each cell of a row, in the order of `TITLES`."""
    ends = _end_lines(row, "A"), _end_lines(row, "B")
    own = [row["label"]], [row["lead"], row["kind"]]
    return [*own, *ends, _wire_lines(row), _current_lines(row), _note_lines(row)]


def _end_lines(row: CsvRecord, name: str) -> list[str]:
    """One line an end: `3-pin plug in rx 1 (fuselage)`, `3-pin socket 2: aileron-right`."""
    columns = ("end", "connector", "part", "socket", "place")
    texts = [row[f"{name} {column}"].split("; ") for column in columns]
    found = [_joined(*values) for values in zip_longest(*texts, fillvalue="")]
    return [*found, *filter(None, row["A out"].split(SEVERAL) if name == "A" else [])]


def _joined(end: str, connector: str, part: str, socket: str, place: str) -> str:
    where = f" ({place})" if place else ""
    if end == "fixed":
        return f"at {part}{where}"
    kind = connector.rpartition(" ")[0].replace(THREE_PIN, "3-pin")
    if part == "nothing":
        return f"{kind} {end}: nothing{where}"
    if end.startswith("socket"):
        return f"{kind} {end}: {part}{_named(socket, {'plug', 'main', 'in-1'})}{where}"
    return f"{kind} {end} in {part}{_named(socket, {'main', 'motor'})}{where}"


def _named(socket: str, plain: set[str]) -> str:
    return "" if socket in plain or not socket else f"{HARD}{socket}"


def _wire_lines(row: CsvRecord) -> list[str]:
    usual = "~" if row["colours from"] == "usual" else ""
    by_class = "~" if row["gauge from"] == "class" else ""
    colours = f"{usual}{row['colour words']}" if row["colours"] else f"{row['wires']} wires"
    pale = row["arrow"].partition(" (")[2].rstrip(")")
    arrow = f" →{HARD}{pale}" if pale else ""
    size = ", ".join(t for t in (f"{by_class}{row['gauge']}", row["length"]) if t)
    return [text for text in (f"{colours}{arrow}", size.replace(" ", HARD)) if text]


def _current_lines(row: CsvRecord) -> list[str]:
    found = []
    if row["load"]:
        found.append(_pair(row["load"], row["load short"]))
    if row["load not known"]:
        found.append(f"+ {row['load not known']}, not known")
    if row["rating"] or row["rating short"]:
        word = "of" if row["load"] else "bears"
        found.append(f"{word}{HARD}" + _pair(row["rating"] or "?", row["rating short"] or "?"))
    return found or ["not known"]


def _pair(good: str, short: str) -> str:
    """Two currents on one line; the unit once where they share it."""
    unit = good.rpartition(" ")[2]
    first = good.removesuffix(f" {unit}") if short.endswith(f" {unit}") else good
    return f"{first} / {short}".replace(" ", HARD)


def _note_lines(row: CsvRecord) -> list[str]:
    joint = [f"crosses joint {row['crosses joint']}"] if row["crosses joint"] else []
    return joint + ([row["notes"]] if row["notes"] else [])
