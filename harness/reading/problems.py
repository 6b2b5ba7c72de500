"""What is wrong with a plan's text: problems, and the error that carries them."""

from __future__ import annotations

import re

from harness.base.data import dataclass
from harness.base.span import Source, Span

_LONG = re.compile(r'"([^"]{40})[^"]{20,}"')


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that keeps a plan from being understood, and what would be right."""

    message: str
    span: Span
    help: str = ""


def shortened(message: str) -> str:
    """Cut what a message quotes to a length a person can read."""
    return _LONG.sub(r'"\1..."', message)


class PlanError(Exception):
    """A plan that could not be read. `problems` are in the order of the file."""

    def __init__(self, source: Source, problems: list[Problem]) -> None:
        self.source = source
        self.problems = sorted(problems, key=lambda p: (p.span, p.message))
        super().__init__("; ".join(p.message for p in self.problems))
