"""All changes from one plan to another."""

from __future__ import annotations

from harness.changes.change import KINDS, Change, Changes
from harness.changes.figure_changes import figure_changes
from harness.changes.judged import finding_changes
from harness.changes.outside_parts import head_changes
from harness.changes.parts import part_changes
from harness.changes.renames import renames
from harness.rules.run import Report
from harness.wiring.codes import natural


def compare(old: Report, new: Report) -> Changes:
    """Return what changed, by sort, then by part; nothing for what is only written otherwise."""
    names = renames(old.wiring, new.wiring)
    found = [*part_changes(old.wiring, new.wiring, names), *head_changes(old.plan, new.plan, names)]
    found.sort(key=_order)
    found += finding_changes(old, new, names)
    if found:
        found += figure_changes(old.wiring, new.wiring, names)
    found.sort(key=lambda change: list(KINDS).index(change.kind))
    return Changes(old, new, tuple(found), names)


def _order(change: Change) -> tuple[object, ...]:
    """Parts by name, and what is about none after them, as it came."""
    return (not change.part, natural(change.part))
