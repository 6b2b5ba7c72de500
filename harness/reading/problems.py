"""What is wrong with a plan's text: problems, what collects them, the error that carries them."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

from harness.base.data import dataclass, field
from harness.base.near import hint, spoken
from harness.base.span import Source, Span

MOST_HINTS = 40
"""Looking for the nearest of 3,000 names takes milliseconds: not for each of 3,000 faults."""
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


@dataclass(slots=True)
class Reading:
    """What one reading of a plan collects."""

    source: Source | None = None
    homes: Callable[[str], list[str]] = lambda _: []
    """The groups that have a key of that name."""
    radio: str = "rx"
    """A receiver of this plan, for examples."""
    noted: dict[Problem, None] = field(default_factory=dict)

    @property
    def problems(self) -> list[Problem]:
        """Every problem once, in the order found, however often it was made."""
        often: dict[tuple[str, str], list[Problem]] = {}
        for problem in self.noted:
            nothing = problem.message.startswith("there is no")
            key = (problem.message, "" if nothing else problem.help)
            often.setdefault(key, []).append(problem)
        return [_once(sorted(same, key=lambda p: p.span)) for same in often.values()]

    def line(self, span: Span) -> str:
        """Return a line of the text from where a span begins."""
        return self.source.line(span.line)[span.column - 1 :] if self.source else ""

    def wrong(self, message: str, span: Span, help: str = "") -> None:
        """Note a problem once."""
        self.noted[Problem(shortened(message), span, help)] = None

    def unknown(self, what: str, name: str, span: Span, pool: Iterable[str]) -> None:
        """Note a name that stands for nothing."""
        self.wrong(f'there is no {what} "{name}"', span, self.hint(name, pool))

    def hint(self, word: str, names: Iterable[str], most: int = 8) -> str:
        """Return the nearest right name, as long as the problems are few enough to be read."""
        return "" if self.many else hint(word, names, most=most)

    @property
    def many(self) -> bool:
        """Whether there are more problems than anybody reads: no nearest word is looked for."""
        return len(self.noted) >= MOST_HINTS


def _once(same: list[Problem]) -> Problem:
    """Return one problem for several with one cause, at the first; the others by their lines."""
    first, *more = same
    lines = list(dict.fromkeys(str(p.span.line) for p in more if p.span.line != first.span.line))
    if not lines:
        return first
    also = f" (also on line{'s' * (len(lines) > 1)} {spoken(lines)})"
    return Problem(first.message + also, first.span, first.help)
