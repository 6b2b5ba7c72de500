"""A short label code for every lead: the same for the same plan, unlike every other.

A code is made of what the part itself is (`code_words`), so that another part does not change
it; only parts that would get the same code are numbered, in the order of their ids. The kind
of a separate lead follows: X extension, Y, W n-way, V reverser, C custom, S series, A adapter.
The power side of a part with two leads ends in -P. The plan's own `code:` goes before.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterator

from harness.base.code_words import lead_stem, looks
from harness.parts.contacts import Port
from harness.parts.part import Part
from harness.wiring.build import PortId, Wiring
from harness.wiring.fact import fact
from harness.wiring.graph import runs
from harness.wiring.leads import LeadKey, PhysicalLead, leads_of

KINDS = {"extension": "X", "y": "Y", "n-way": "W", "reverser": "V", "custom": "C", "two-plug": "P"}
POWER_KINDS = {
    "parallel": ("PWR", "Y"),
    "series": ("PWR", "S"),
    "extension": ("PWR", "X"),
    "adapter": ("PWR", "A"),
    "balance-adapter": ("PWR", "B"),
    "jumper": ("JMP", ""),
    "arming": ("ARM", ""),
}


@fact
def codes_of(wiring: Wiring) -> dict[LeadKey, str]:
    """Return the label code of every lead, by lead."""
    by_part: dict[str, list[PhysicalLead]] = defaultdict(list)
    for lead in leads_of(wiring):
        by_part[lead.part.id].append(lead)
    found: dict[LeadKey, str] = {}
    taken: set[str] = set()
    counts: dict[str, int] = {}
    for part in sorted((wiring.plan.parts[p] for p in by_part), key=_turn):
        suffixes = _suffixes(by_part[part.id])
        bases = iter((own,)) if (own := own_code(part)) else _bases(wiring, part, counts)
        for base in bases:
            codes = [base + suffix for suffix in suffixes]
            keys = frozenset[str]().union(*map(looks, codes))
            if own or not keys & taken:
                break
        taken |= keys
        found.update((lead.key, code) for lead, code in zip(by_part[part.id], codes, strict=True))
    return found


@fact
def port_codes(wiring: Wiring) -> dict[PortId, str]:
    """Return the label code by each port that sits on a lead, for pictures."""
    codes = codes_of(wiring)
    return {port.id: codes[lead.key] for lead in leads_of(wiring) for port in lead.ports}


@fact
def codes_by_part(wiring: Wiring) -> dict[str, list[str]]:
    """Return the label codes of the leads of each part that has any."""
    found: dict[str, list[str]] = {}
    for (part, _), code in codes_of(wiring).items():
        found.setdefault(part, []).append(code)
    return found


def codes_given(wiring: Wiring) -> list[tuple[Part, list[str]]]:
    """Return the parts with a code of the plan's own and the codes of their leads, in order."""
    parts = [part for part in wiring.plan.parts.values() if own_code(part)]
    if not parts:
        return []
    codes = codes_by_part(wiring)
    found = [(part, codes[part.id]) for part in parts if part.id in codes]
    return sorted(found, key=lambda given: given[0].at("code"))


def own_code(part: Part) -> str:
    """Return the code that the plan gives, or "" when it gives none."""
    return " ".join(part.code.split())


def natural(name: str) -> tuple[tuple[int, str], ...]:
    """Return a key that sorts 2 before 10 in ids and codes."""
    pieces = re.findall(r"[0-9]+|[^0-9]+", name)
    return tuple((int(p), "") if p.isascii() and p.isdigit() else (-1, p) for p in pieces)


def _turn(part: Part) -> tuple[bool, bool, tuple[tuple[int, str], ...], str]:
    """Codes of the plan first, then ids with a number of their own, then the rest by id."""
    return not own_code(part), not part.id[-1:].isdecimal(), natural(part.id), part.id


def _suffixes(leads: list[PhysicalLead]) -> list[str]:
    """Tell the several leads of one part apart; a second one that reads alike gets a number."""
    found: list[str] = []
    taken: set[str] = set()
    for lead in leads:
        suffix = first = _suffix(lead, leads)
        count = 1
        while taken & looks("X" + suffix):
            count += 1
            suffix = f"{first}{count}"
        taken |= looks("X" + suffix)
        found.append(suffix)
    return found


def _suffix(lead: PhysicalLead, siblings: list[PhysicalLead]) -> str:
    name = lead.port.name
    if name.startswith("plug-") and not lead.part.makes:
        words = lead.part.words
        stem, mark = words.stem_and_mark(name.removeprefix("plug-"))
        return "-" + words.abbreviate(stem, "X") + mark
    if len(siblings) == 1 or (lead.part.holds_cells and name == "main"):
        return ""
    if name == "balance":
        return "-BL"
    inputs = {"supply", "in-1", "out"}
    outputs = [s.port.name for s in siblings if s.port.name not in inputs]
    if name in inputs:
        return "-P" if outputs else ""
    return f"-{'ABCDEFGH'[outputs.index(name) % 8]}" if len(outputs) > 1 else ""


def _bases(wiring: Wiring, part: Part, counts: dict[str, int]) -> Iterator[str]:
    """Yield a part's code, then the same with 2, 3, and so on."""
    topic, mark, kind = _spelling(wiring, part)
    base = "-".join(piece for piece in (topic, mark, kind) if piece)
    first = part.holds_cells and not mark
    if base not in counts and not first:
        counts[base] = 1
        yield base
    gap = "" if kind or mark[-1:].isalpha() else "-"
    while True:
        counts[base] = counts.get(base, 0) + 1
        yield f"{base}{gap}{counts[base]}"


def _spelling(wiring: Wiring, part: Part) -> tuple[str, str, str]:
    """Return function or kind of part, position and number, kind of lead."""
    side = wiring.plan.side(part)
    split = wiring.plan.words.stem_and_mark
    _, mark = split(part.id, side)
    if part.carries_signal:
        return _of_lead(wiring, part)
    if part.kind in POWER_KINDS and part.battery_lead:
        topic, kind = POWER_KINDS[part.kind]
        number = re.sub(r"\D", "", mark)
        return topic, mark.removesuffix(number), kind + number
    return part.code_letters(), mark or split(part.moves)[1], ""


def _of_lead(wiring: Wiring, part: Part) -> tuple[str, str, str]:
    """Spell a lead by what hangs on it; by its channel or its own id when that is mixed."""
    split = wiring.plan.words.stem_and_mark
    number = re.sub(r"\D", "", split(part.id)[1])
    kind = KINDS[part.kind] + number
    devices = fed_by(wiring, part)
    topics = {"THR" if d.drives else d.code_letters() for d in devices}
    side = wiring.plan.side(part)
    if len(topics) != 1:
        return _channel(wiring, part), split("x", side)[1], kind
    marks = {split(d.id, wiring.plan.side(d))[1] for d in devices}
    sides = {wiring.plan.side(d) for d in devices}
    mark = marks.pop() if len(marks) == 1 else ""
    return topics.pop(), mark or split("x", sides.pop() if len(sides) == 1 else "")[1], kind


def _channel(wiring: Wiring, part: Part) -> str:
    gives = wiring.plan.gives(wiring.driver(part.id))
    return wiring.plan.words.abbreviate(gives or lead_stem(part.id))


def fed_by(wiring: Wiring, part: Part) -> list[Part]:
    """Return the devices whose plugs go into a lead, through further leads, by id."""
    sockets = [port for port in wiring.by_part[part.id] if not port.is_plug]
    found = {device.id: device for port in sockets for device in devices_behind(wiring, port)}
    return [found[name] for name in sorted(found)]


def devices_behind(wiring: Wiring, port: Port) -> list[Part]:
    """Return the devices that leads hand a socket or plug on to, the nearest first."""
    from networkx import generic_bfs_edges

    graph = runs(wiring)

    def handed_on(here: PortId) -> Iterator[PortId]:
        there = wiring.ports[here]
        lead = not there.is_plug or there.part.hands_on(there.name)
        return iter(graph[here] if lead else ())

    ports = (wiring.ports[there] for _, there in generic_bfs_edges(graph, port.id, handed_on))
    plugs = (port for port in ports if port.is_plug)
    return [plug.part for plug in plugs if not plug.part.hands_on(plug.name)]
