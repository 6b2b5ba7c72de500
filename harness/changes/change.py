"""One change between two plans, and all of them."""

from __future__ import annotations

from collections.abc import Mapping

from harness.base.data import dataclass
from harness.rules.run import Report

KINDS: Mapping[str, str] = {
    "moved": "Moved", "pins": "Pins", "renamed": "Renamed", "new": "New", "gone": "Gone",
    "changed": "Changed", "channels": "Channels", "findings": "Findings", "figures": "Worst case",
    "labels": "Labels to print again",
}  # fmt: skip
"""What sorts of change there are, in the order they are told, with their headings."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change as a sentence that stands alone.

    `part` is its id in the new plan, or in the old one for what is gone; "" where it is about no
    part. `spot` names the port of it that is meant, `what` the key or fact that changed; `old`
    and `new` are its values in words.
    """

    kind: str
    text: str
    part: str = ""
    what: str = ""
    old: str = ""
    new: str = ""
    spot: str = ""


@dataclass(frozen=True, slots=True)
class Changes:
    """All changes from one plan to another; `renames` maps old ids to new ones."""

    old: Report
    new: Report
    changes: tuple[Change, ...]
    renames: Mapping[str, str]

    @property
    def same_text(self) -> bool:
        """Say whether the two files hold the same text."""
        return self.old.plan.source.text == self.new.plan.source.text

    def of(self, kind: str) -> tuple[Change, ...]:
        """Return the changes of one sort."""
        return tuple(change for change in self.changes if change.kind == kind)
