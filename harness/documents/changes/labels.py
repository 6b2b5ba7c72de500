"""Labels that say something else now: what must be printed again, and what can be taken off."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from harness.base.near import spoken
from harness.changes.change import Change
from harness.documents.labels.label import Label
from harness.documents.plan_labels import labels_for
from harness.facts.of_leads import facts_of
from harness.wiring.build import Wiring
from harness.wiring.leads import LeadKey

LabelsByEnd = dict[str, Label]


def label_changes(old: Wiring, new: Wiring, names: Mapping[str, str]) -> Iterator[Change]:
    """Yield each lead whose labels are not as they were, in the order of the label codes."""
    mine, theirs = _labels(old, names), _labels(new, {})
    for key, ends in theirs.items():
        if key not in mine:
            text = f"{_code(ends)} is new: print {_these(ends)} of {key[0]}"
            yield Change("labels", text, key[0], "label", "-", _code(ends))
        elif mine[key] != ends:
            yield _other(key, mine[key], ends)
    for key, ends in mine.items():
        if key not in theirs:
            text = f"{_code(ends)} is not used any more: take {_these(ends)} of {key[0]} off"
            yield Change("labels", text, key[0], "label", _code(ends), "-")


def _labels(wiring: Wiring, names: Mapping[str, str]) -> dict[LeadKey, LabelsByEnd]:
    """Return the labels of each lead by their ends; parts by their names in the new plan."""
    ends = ((lead, end) for lead in facts_of(wiring).leads for end in lead.ends)
    found: dict[LeadKey, LabelsByEnd] = {}
    for (lead, end), label in zip(ends, labels_for(wiring), strict=True):
        part, port = lead.key
        labels = found.setdefault((names.get(part, part), port), {})
        name, count = end.name, 2
        while name in labels:
            name, count = f"{end.name}, {count}", count + 1
        labels[name] = label
    return found


def _code(ends: LabelsByEnd) -> str:
    return next(iter(ends.values())).code


def _these(ends: LabelsByEnd) -> str:
    return {1: "the label", 2: "both labels"}.get(len(ends), f"all {len(ends)} labels")


def _other(key: LeadKey, before: LabelsByEnd, now: LabelsByEnd) -> Change:
    was, code = _code(before), _code(now)
    if was != code:
        text = f"{was} is {code} now: print {_these(now)} of {key[0]} again"
        return Change("labels", text, key[0], "label", was, code)
    told = [f"{end} ({_says(before.get(end), label)})"
            for end, label in now.items() if before.get(end) != label]  # fmt: skip
    told += [f"{end} (there is none now)" for end in before if end not in now]
    text = f"{code}: print the label again at {spoken(told)}"
    return Change("labels", text, key[0], "label", _all(before), _all(now))


def _says(before: Label | None, now: Label) -> str:
    """Say what differs on one label: its end, its purpose, its side or its arrow."""
    if before is None:
        return f"new: {_words(now)}"
    if before.end != now.end:
        return f'"{now.end}", before "{before.end}"'
    if before.text != now.text:
        return f'"{now.text}", before "{before.text}"'
    if before.side != now.side:
        return f"{now.side or 'no'} side, before {before.side or 'no side'}"
    return "with an arrow for the pale wire" if now.pale_arrow else "without the arrow"


def _words(label: Label) -> str:
    return " ".join(word for word in (label.code, label.end, label.text) if word)


def _all(ends: LabelsByEnd) -> str:
    return "; ".join(_words(label) for label in ends.values())
