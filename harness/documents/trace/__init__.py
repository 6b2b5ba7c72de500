"""One part's way to its signal and its supply, socket by socket, in words; and its figures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from harness.base.near import hint, spoken
from harness.base.units import WireSize, format_quantity
from harness.documents.leads import missing_of, notes, origin
from harness.documents.trace.ways import (
    TraceWords,
    flowing,
    output_lines,
    passing_lines,
    signal_lines,
    supply_lines,
)
from harness.electrics.flow import LEAST_TOLD
from harness.facts.currents import amps
from harness.facts.mend_first import warning_words
from harness.facts.of_leads import Facts, facts_of
from harness.parts.bec import Bec
from harness.parts.figure import origin_of
from harness.parts.part import Part
from harness.reading.amounts import Amount
from harness.reading.kinds import Whole
from harness.reading.records import keys_of
from harness.wiring.build import Wiring
from harness.wiring.leads import PhysicalLead
from harness.wiring.ratings import rating_of

Section = tuple[str, list[str]]
INDENT = "  "


def trace_text(wiring: Wiring, part_id: str) -> str:
    """Return the trace of a part, or of one socket ("rx.8"). Raises ValueError with the nearest."""
    facts = facts_of(wiring)
    name, _, socket = part_id.partition(".")
    part = wiring.plan.parts.get(name) or _coded(facts, name)
    if part is None:
        what = "a place, not a part" if name in wiring.plan.places else "no part or label code"
        raise ValueError(_unknown(f'"{name}" is {what}', name, wiring.plan.parts))
    port = wiring.ports.get((part.id, socket)) if socket else None
    if socket and (port is None or port.is_plug):
        names = [p.name for p in wiring.by_part[part.id] if not p.is_plug]
        raise ValueError(_unknown(f'{part.named()} has no socket "{socket}"', socket, names))
    naming = TraceWords(facts)
    if port is not None:
        head = f"Socket {socket} of {part_head(part)}"
        sections = [("Socket", passing_lines(naming, part, (port,)))]
    else:
        head, sections = part_head(part), [*part_sections(naming, part)]
        sections.append(("Figures", figure_lines(facts, part)))
    remark = [f"{INDENT}{part.about}"] if part.about else []
    first = [f"{INDENT}{words}"] if (words := warning_words(wiring)) else []
    return "\n".join([head, *remark, *first, *_lines(sections)]) + "\n"


def _coded(facts: Facts, code: str) -> Part | None:
    """Return the part whose lead bears a label code."""
    leads = (lead for lead in facts.leads if facts.codes[lead.key] == code)
    return next((lead.part for lead in leads), None)


def _unknown(message: str, name: str, names: Iterable[str]) -> str:
    advice = hint(name, names)
    return f"{message}: {advice}" if advice else message


def part_head(part: Part) -> str:
    """Name a part with its place, what it moves, and where the plan has it."""
    words = [part.named()]
    words += [f"in {part.place}"] if part.place else []
    words += [f"moves {part.moves}"] if part.moves else []
    return ", ".join([*words, f"plan line {part.span.line}"])


def _lines(sections: Iterable[Section]) -> Iterator[str]:
    for title, lines in sections:
        if lines:
            yield f"{INDENT}{title}"
            yield from (f"{INDENT * 2}{line}" for line in lines)


def part_sections(words: TraceWords, part: Part) -> Iterator[Section]:
    """Yield what a trace says of a part but its figures, each heading that has something."""
    own = [lead for lead in words.facts.leads if lead.part.id == part.id]
    sections = (
        ("Signal", signal_lines(words, part)),
        ("Supply", supply_lines(words, part)),
        ("Output", output_lines(words, part)),
        ("Sockets", passing_lines(words, part)),
        ("Its leads", [line for lead in own for line in lead_lines(words.facts, lead)]),
    )
    return (one for one in sections if one[1])


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
    if flow.live and not lead.part.spins:  # of motor wires the load table has the plugs
        found.append(f"carries {flowing(flow)}")
    if missing := missing_of(flow):
        found.append(f"and what is not known of {', '.join(missing)}")
    bears: dict[str, list[str]] = {}
    for limit, word in ((rating.steady, "continuously"), (rating.burst, "for seconds")):
        if limit is not None:
            bears.setdefault(origin(limit), []).append(f"{amps(limit.figure.number)} {word}")
    found += [f"bears {', '.join(said)} ({where})" for where, said in bears.items()]
    return found if bears else [*found, "what it bears is not known"]


Said = tuple[str, str, str]
"""A word, the figure as text, and its origin."""

_SHOWN = {
    "servos": ("idle", "moving", "stall", "volts-min", "volts-max", "lead-wire"),
    "retracts": ("running", "stop", "travel-time"),
    "receivers": ("idle", "volts-min", "volts-max", "limit"),
}
"""The figures of a class that count, by table."""
_WORDS = {"travel-time": "travel", "lead-wire": "wire"}


def figure_lines(facts: Facts, part: Part) -> list[str]:
    """Return each number used for a part, `stall 1.8 A (plan line 12)`; then what is missing."""
    found: dict[str, str] = {}
    for word, text, where in (*_stated(part, part.at), *_of_class(facts, part)):
        found.setdefault(word, f"{word} {text} ({where})")
    return [*found.values(), *_not_known(facts, part), *_given(facts, part)]


def _stated(record: Any, at: Any) -> Iterator[Said]:
    """Yield the numbers that the plan states, a BEC's among them."""
    for key in keys_of(type(record)).values():
        value = getattr(record, key.attribute)
        if isinstance(value, Bec):
            for word, text, where in _stated(value, lambda w, b=value: b.spans.get(w, b.span)):
                yield f"BEC {word}", text, where
            continue
        text = _text(key.kind, value)
        if text:
            yield key.word, text, f"plan line {at(key.word).line}"


def _text(kind: Any, value: Any) -> str:
    if isinstance(value, WireSize):
        return value.text
    if isinstance(kind, Amount) and value is not None:
        return format_quantity(value, kind.dimension)
    whole = isinstance(kind, Whole) and isinstance(value, int)
    return str(value) if whole else ""


def _of_class(facts: Facts, part: Part) -> Iterator[Said]:
    """Yield the catalogue's figures for the part's class."""
    table, row = part.row
    words = _SHOWN.get(table, ())
    for word in words:
        value = facts.wiring.plan.catalogue.value(table, row, word) if row else None
        if value is not None:
            yield _WORDS.get(word, word), value.text, origin_of(value)


def _not_known(facts: Facts, part: Part) -> list[str]:
    draw = part.draw(facts.wiring.plan.catalogue)
    return [f"not known: {draw.missing}"] if draw is not None and draw.missing else []


def _given(facts: Facts, part: Part) -> list[str]:
    """Say what a source has to give, and to which parts."""
    flow = facts.flows.by_source.get(part.id)
    if flow is None or not flow.live:
        return []
    if flow.burst < LEAST_TOLD:
        return ["gives nothing to speak of: what flows leaks through a diode or trickles"]
    found = [f"gives {flowing(flow)} (for {spoken(flow.parts)})"]
    missing = missing_of(flow)
    return [*found, f"and what is not known of {spoken(missing)}"] if missing else found
