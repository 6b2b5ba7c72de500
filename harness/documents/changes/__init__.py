"""What changed between two plans, for people and for other programs."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import PurePath

from harness.base.near import counted
from harness.changes.change import KINDS, Changes
from harness.changes.compare import compare
from harness.documents.changes.labels import label_changes
from harness.paper.lines import TYPED, WIDTH, wrapped
from harness.paper.records import as_json
from harness.rules.run import Report


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
        yield f"{word:<4} {file_name(report)}, plan revision {report.plan.revision}"
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


def nothing(found: Changes) -> str:
    """Say that nothing changed, and whether the files differ all the same."""
    if found.same_text:
        return "no change: both files hold the same text."
    return ("no change in the wiring: only the text differs (comments, order, spacing, or other "
            "ways to write the same).")  # fmt: skip


def summary(found: Changes) -> str:
    """Return "2 moved, 1 new, 3 findings"."""
    counts = {kind: len(found.of(kind)) for kind in KINDS}
    return ", ".join(_counted(kind, many) for kind, many in counts.items() if many)


def _counted(kind: str, many: int) -> str:
    nouns = {"pins": "pin", "channels": "channel", "findings": "finding", "figures": "figure"}
    if kind == "labels":
        return f"{counted(many, 'lead')} to label again"
    return counted(many, nouns[kind]) if kind in nouns else f"{many} {kind}"


def file_name(report: Report) -> str:
    """Return a plan's file without its folder, so that the bytes do not depend on it."""
    name = report.plan.source.name
    return name if name.startswith("<") else PurePath(name).name


def changes_json(found: Changes) -> str:
    """Return the changes as one JSON document."""
    body = {
        "aircraft": found.new.plan.aircraft,
        "old": _plan(found.old),
        "new": _plan(found.new),
        "same-text": found.same_text,
        "changed": bool(found.changes),
        "renamed": found.renames,
        "changes": [
            {"kind": c.kind, "text": c.text, "part": c.part, "spot": c.spot, "what": c.what,
             "old": c.old, "new": c.new} for c in found.changes
        ],
    }  # fmt: skip
    return as_json(body)


def _plan(report: Report) -> dict[str, str]:
    return {"file": file_name(report), "revision": report.plan.revision}
