"""One part's way to its signal and its supply, socket by socket, in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from harness.base.near import hint
from harness.documents.leadlist import missing_of, notes, origin
from harness.documents.trace.numbers import figure_lines
from harness.documents.trace.ways import (
    TraceWords,
    output_lines,
    passing_lines,
    signal_lines,
    supply_lines,
)
from harness.facts.currents import amps
from harness.facts.of_leads import Facts, facts_of
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.wiring.build import Wiring
from harness.wiring.leads import PhysicalLead
from harness.wiring.ratings import rating_of

Section = tuple[str, list[str]]
INDENT = "  "


def trace_text(wiring: Wiring, part_id: str) -> str:
    """Return the trace of a part, or of one socket ("rx.8"), ending in a line end.

    Raises ValueError, with the nearest name, for a part or socket that the plan does not have.
    """
    facts = facts_of(wiring)
    name, _, socket = part_id.partition(".")
    part = wiring.plan.parts.get(name)
    if part is None:
        part = _coded(facts, name)
    if part is None:
        what = (
            "is a place, not a part" if name in wiring.plan.places else "is no part or label code"
        )
        raise ValueError(_unknown(f'"{name}" {what}', name, wiring.plan.parts))
    name = part.id
    port = wiring.ports.get((name, socket)) if socket else None
    if socket and (port is None or port.is_plug):
        names = [p.name for p in wiring.by_part[name] if not p.is_plug]
        raise ValueError(_unknown(f'{part.named()} has no socket "{socket}"', socket, names))
    sections = _of_socket(facts, port) if port is not None else _of_part(facts, part)
    head = _head(facts, part) if port is None else f"Socket {socket} of {_head(facts, part)}"
    return "\n".join([head, *_lines(sections)]) + "\n"


def _coded(facts: Facts, code: str) -> Part | None:
    """Return the part whose lead bears a label code."""
    leads = (lead for lead in facts.leads if facts.codes[lead.key] == code)
    return next((lead.part for lead in leads), None)


def _unknown(message: str, name: str, names: Iterable[str]) -> str:
    advice = hint(name, names)
    return f"{message}: {advice}" if advice else message


def _head(facts: Facts, part: Part) -> str:
    words = [part.named()]
    words += [f"in {part.place}"] if part.place else []
    moves = getattr(part, "moves", "")
    words += [f"moves {moves}"] if moves else []
    words.append(f"plan line {part.span.line}")
    remark = [f"{INDENT}{part.about}"] if part.about else []
    return "\n".join([", ".join(words), *remark])


def _lines(sections: Iterable[Section]) -> Iterator[str]:
    for title, lines in sections:
        if lines:
            yield f"{INDENT}{title}"
            yield from (f"{INDENT * 2}{line}" for line in lines)


def _of_part(facts: Facts, part: Part) -> list[Section]:
    words = TraceWords(facts)
    own = [lead for lead in facts.leads if lead.part.id == part.id]
    return [
        ("Signal", signal_lines(words, part)),
        ("Supply", supply_lines(words, part)),
        ("Output", output_lines(words, part)),
        ("Sockets", passing_lines(words, part)),
        ("Its leads", [line for lead in own for line in lead_lines(facts, lead)]),
        ("Figures", figure_lines(facts, part)),
    ]


def _of_socket(facts: Facts, port: Port) -> list[Section]:
    return [("Socket", passing_lines(TraceWords(facts), port.part, (port,)))]


def lead_lines(facts: Facts, lead: PhysicalLead) -> list[str]:
    """Return one lead's code, wire, joints, pulled pins, load and rating."""
    code, size = facts.codes[lead.key], lead.port.wire.size
    first = f"{code}: {lead.kind}" + (f", {size.text}" if size else "")
    found = [first]
    if joints := lead.joints(facts.wiring):
        found.append(f"{INDENT}crosses the joint of {' and '.join(joints)}")
    found += [
        f"{INDENT}{end.name}: {', '.join(end.pulled)} pulled" for end in lead.ends if end.pulled
    ]
    found += [f"{INDENT}{note}" for note in notes(facts, lead) if note != lead.part.about]
    return found + [f"{INDENT}{line}" for line in _current(facts, lead)]


def _current(facts: Facts, lead: PhysicalLead) -> list[str]:
    flow, rating = facts.load(lead), rating_of(facts.wiring.plan, lead)
    found = []
    if flow.live:
        found.append(f"carries {amps(flow.steady)} continuously, {amps(flow.burst)} for seconds")
    if missing := missing_of(flow):
        found.append(f"and what is not known of {', '.join(missing)}")
    bears: dict[str, list[str]] = {}
    for limit, word in ((rating.steady, "continuously"), (rating.burst, "for seconds")):
        if limit is not None:
            bears.setdefault(origin(limit), []).append(f"{amps(limit.figure.number)} {word}")
    found += [f"bears {', '.join(said)} ({where})" for where, said in bears.items()]
    return found if bears else [*found, "what it bears is not known"]
