"""The changes marked on the run view of the new plan: a sign and a tint for each part and lead."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Literal

from harness.base.colours import CHANGES, to_hex
from harness.base.near import counted
from harness.changes.change import Change, Changes
from harness.diagram import DrawnPage, ViewWish, draw_pages
from harness.diagram.findings import Marks, Numbered
from harness.drawing.marks import Severity
from harness.parts.receiver import Receiver

SIGNS: Mapping[str, Severity] = {
    "moved": "moved", "pins": "changed", "renamed": "changed", "new": "new", "gone": "gone",
    "changed": "changed", "channels": "changed",
}  # fmt: skip
"""The sign of each sort of change that a picture shows; the others are only counted."""
_LATER = {"findings": "finding", "figures": "figure", "labels": "label"}
CHANNELS = "channels"
"""In place of a port: channels are marked on the receiver, which itself is as it was."""


def change_marks(found: Changes) -> Marks:
    """Return the changes as numbered marks, those of one part and sign under one number."""
    spots: dict[tuple[Severity, str, str], list[Change]] = {}
    for change in found.changes:
        if change.kind in SIGNS:
            part, port = _where(found, change)
            spots.setdefault((SIGNS[change.kind], part, port), []).append(change)
    numbered = tuple(
        Numbered(number, sign, _words(sign, same), (part,) if part else (), port)
        for number, ((sign, part, port), same) in enumerate(spots.items(), 1)
    )
    view = f"run view, what changed since plan {found.old.plan.revision}"
    return Marks(numbered, dict(_halos(found, numbered)), view, "changes", "changes", _note(found))


def changed_pages(found: Changes, page: Literal["A4", "Letter"] = "A4") -> tuple[DrawnPage, ...]:
    """Draw the new plan with the changes marked on it."""
    return draw_pages(found.new, ViewWish(page=page), change_marks(found))


def _where(found: Changes, change: Change) -> tuple[str, str]:
    """Return the part and port of the new plan that carry the mark; what is gone has none."""
    if change.kind == "gone":
        return "", change.text
    if change.kind == "channels":
        receiver = next(found.new.wiring.plan.of(Receiver), None)
        return (receiver.id, CHANNELS) if receiver else ("", CHANNELS)
    if not change.part:
        return "", change.text
    return change.part, change.spot


def _words(sign: Severity, same: list[Change]) -> str:
    told = "; ".join(change.text for change in same)
    return told if sign in ("new", "gone") else f"{sign}: {told}"


def _halos(found: Changes, marks: tuple[Numbered, ...]) -> Iterator[tuple[str, str]]:
    """Yield tints: of a lead for what is about its plug, else of the part; the worst sign last."""
    for mark in sorted(marks, key=lambda m: ("changed", "moved", "new", "gone").index(m.severity)):
        tint = to_hex(CHANGES[mark.severity])
        for part in mark.parts if mark.spot != CHANNELS else ():
            ports = [mark.spot] if mark.spot else _plugs(found, part, mark.severity)
            yield from ((f"lead-{part}.{port}", tint) for port in ports)
            if not mark.spot:
                yield f"part-{part}", tint


def _plugs(found: Changes, part: str, sign: Severity) -> list[str]:
    """Return the plugs of a part that is new: its leads are new with it."""
    if sign != "new":
        return []
    return [mate.plug.name for mate in found.new.wiring.mates if mate.plug.part.id == part]


def _note(found: Changes) -> str:
    counts = [(len(found.of(kind)), word) for kind, word in _LATER.items()]
    told = [counted(many, word) for many, word in counts if many]
    return f"changed, but not drawn: {', '.join(told)}" if told else ""
