"""What changed between two plans, for people and for other programs; labels to print again too."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from harness.base.near import counted, spoken
from harness.changes.change import KINDS, Change, Changes
from harness.changes.compare import compare
from harness.changes.findings import not_reckoned
from harness.documents.labels.label import Label
from harness.documents.plan_labels import labels_for, reached
from harness.facts.mend_first import as_if_words
from harness.facts.of_leads import facts_of
from harness.paper.records import as_json
from harness.paper.text import TYPED, WIDTH, wrapped
from harness.rules.run import Report
from harness.wiring.build import Wiring
from harness.wiring.leads import LeadKey


def all_changes(old: Report, new: Report) -> Changes:
    """Return what changed, and the labels that must be printed again for it."""
    found = compare(old, new)
    labels = tuple(label_changes(old.wiring, new.wiring, found.renames))
    return replace(found, changes=(*found.changes, *labels))


def changes_text(found: Changes, width: int = WIDTH) -> str:
    """Return the changes as sentences under headings."""
    return "\n".join(_lines(found, width)).translate(TYPED) + "\n"


def _lines(found: Changes, width: int) -> Iterator[str]:
    yield f"Changes of {found.new.plan.aircraft}"
    for word, report in (("from", found.old), ("to", found.new)):
        yield f"{word:<4} {report.plan.source.file}, plan revision {report.plan.revision}"
    for of, words in said_first(found).items():
        yield from wrapped(f"{of} plan: {words}", width, "     ")
    yield ""
    if not found.changes:
        yield nothing(found)
        return
    yield f"{summary(found)}."
    for kind, heading in KINDS.items():
        if changes := found.of(kind):
            yield from ("", heading)
            for change in changes:
                yield from wrapped(f"- {change.text}", width, "  ")


def said_first(found: Changes) -> dict[str, str]:
    """Say why a plan has no figures to compare, or what they take to be whole; by old and new."""
    both = {"old": found.old.wiring, "new": found.new.wiring}
    words = {of: not_reckoned(wiring) or as_if_words(wiring) for of, wiring in both.items()}
    return {of: said for of, said in words.items() if said}


def nothing(found: Changes) -> str:
    """Say that nothing changed, and whether the files differ all the same."""
    if found.same_text:
        return "no change: both files hold the same text."
    return (
        "no change in the wiring: only the text differs (comments, order, spacing, or other "
        "ways to write the same)."
    )


def summary(found: Changes) -> str:
    """Return "2 moved, 1 new, 3 findings"."""
    counts = {kind: len(found.of(kind)) for kind in KINDS}
    return ", ".join(_counted(kind, many) for kind, many in counts.items() if many)


def _counted(kind: str, many: int) -> str:
    nouns = {"pins": "pin", "channels": "channel", "findings": "finding", "figures": "figure"}
    if kind == "labels":
        return f"{counted(many, 'lead')} to label again"
    return counted(many, nouns[kind]) if kind in nouns else f"{many} {kind}"


def changes_json(found: Changes) -> str:
    """Return the changes as one JSON document."""
    body = {
        "aircraft": found.new.plan.aircraft,
        "old": _plan(found.old),
        "new": _plan(found.new),
        "same_text": found.same_text,
        "changed": bool(found.changes),
        "renamed": found.renames,
        "said_first": said_first(found),
        "changes": [
            {
                "kind": c.kind,
                "text": c.text,
                "part": c.part,
                "spot": c.spot,
                "what": c.what,
                "old": c.old,
                "new": c.new,
            }
            for c in found.changes
        ],
    }
    return as_json(body)


def _plan(report: Report) -> dict[str, str]:
    return {"file": report.plan.source.file, "revision": report.plan.revision}


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
    ends = ((lead, end) for lead in facts_of(wiring).leads for end in reached(lead))
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
    told = [
        f"{end} ({_says(before.get(end), label)})"
        for end, label in now.items()
        if before.get(end) != label
    ]
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
