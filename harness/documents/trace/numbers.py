"""The figures of a trace: every number a part brings, and where it comes from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from harness.base.near import spoken
from harness.base.units import WireSize, format_quantity
from harness.documents.leadlist import missing_of
from harness.facts.currents import amps
from harness.facts.of_leads import Facts
from harness.parts.bec import Bec
from harness.parts.figure import origin_of
from harness.parts.part import Part
from harness.reading.kinds import Amount, Whole
from harness.reading.records import keys_of

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
    for word, text, origin in (*_stated(part, part.at), *_of_class(facts, part)):
        found.setdefault(word, f"{word} {text} ({origin})")
    return [*found.values(), *_not_known(facts, part), *_given(facts, part)]


def _stated(record: Any, at: Any) -> Iterator[Said]:
    """Yield the numbers that the plan states, a BEC's among them."""
    for key in keys_of(type(record)).values():
        value = getattr(record, key.attribute)
        if isinstance(value, Bec):
            for word, text, origin in _stated(value, lambda w, b=value: b.spans.get(w, b.span)):
                yield f"BEC {word}", text, origin
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
    total = f"gives {amps(flow.steady)} continuously, {amps(flow.burst)} for seconds"
    found = [f"{total} (for {spoken(flow.parts)})"]
    missing = missing_of(flow)
    return [*found, f"and what is not known of {spoken(missing)}"] if missing else found
