"""What a rule reports: plain data that every reporter and document reads."""

from __future__ import annotations

from enum import IntEnum

from harness.base.data import dataclass, field
from harness.base.span import Span

Numbers = tuple[tuple[str, str], ...]
"""The figures behind a message, each with the place it comes from."""


class Severity(IntEnum):
    """How bad a finding is; the larger, the worse."""

    NOTE = 1
    WARNING = 2
    ERROR = 3
    DANGER = 4

    @property
    def word(self) -> str:
        """The word a person reads."""
        return self.name.lower()


@dataclass(frozen=True, slots=True)
class Finding:
    """One fault, once.

    `message` stands alone: it names the parts in the builder's words and the numbers.
    `help` says what to change. `parts` are ids of parts, the first the one to mark in a
    picture; `spot` names one port of it ("plug", "2") when the fault is at a plug or socket.
    `numbers` are the figures behind the message with the place each comes from.
    """

    rule: str
    severity: Severity
    message: str
    span: Span
    parts: tuple[str, ...]
    help: str = ""
    spot: str = ""
    numbers: Numbers = ()
    also: tuple[tuple[Span, str], ...] = field(default=())


@dataclass(frozen=True, slots=True)
class Unknown:
    """Something a rule could not judge, and the fact that is missing."""

    rule: str
    part: str
    missing: str
    span: Span


@dataclass(frozen=True, slots=True)
class Accepted:
    """A finding the plan accepts, with the builder's reason."""

    finding: Finding
    because: str
