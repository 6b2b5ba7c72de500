"""What came of the mutants: the share killed, every survivor, and those that are no faults."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from mutants.faults import Change, Mutant

Known = dict[tuple[str, str, str], str]
"""File, line and mutant of what is no fault, and why."""
EQUIVALENT = Path(__file__).with_name("equivalent.txt")


@dataclass(frozen=True, order=True)
class Tried:
    """A mutant and its fate: `killed`, `stopped` (no end in time), `survived`, `untested`;
    `unknown` where no test is known to run it, and not all tests are known.
    """

    mutant: Mutant
    change: Change
    fate: str
    shown: int
    """Tests it was shown."""

    @property
    def killed(self) -> bool:
        return self.fate in ("killed", "stopped")

    @property
    def place(self) -> str:
        """Where the fault is, and of which kind."""
        return f"{self.mutant.file}:{self.mutant.line}: {self.mutant.operator}"

    @property
    def name(self) -> tuple[str, str, str]:
        """File and lines: a line may move, and its name stays."""
        return self.mutant.file, self.change.before, self.change.after


def equivalents(text: str) -> Known:
    """The mutants that are named in `equivalent.txt`, each with the reason why it is no fault.

    A paragraph has a file, `- the line`, `+ the mutant`, `why: the reason`; `#` begins a remark.
    Raises ValueError for a paragraph that is not so.
    """
    found: Known = {}
    kept = "\n".join(line for line in text.splitlines() if not line.startswith("#"))
    for paragraph in filter(None, map(str.strip, kept.split("\n\n"))):
        lines = [line.strip() for line in paragraph.splitlines()]
        heads = [line[:2] for line in lines[1:3]] + [" ".join(lines[3:])[:4]]
        if heads != ["- ", "+ ", "why:"]:
            raise ValueError(f"equivalent.txt: file, `- line`, `+ mutant`, `why: ...`, not {lines}")
        found[lines[0], lines[1][2:], lines[2][2:]] = " ".join(lines[3:])[4:].strip()
    return found


def judged(tried: Iterable[Tried], known: Known) -> list[Tried]:
    """Those that count: neither equivalent nor unknown."""
    return [o for o in tried if o.killed or (o.name not in known and o.fate != "unknown")]


def told(tried: Iterable[Tried], known: Known) -> Iterator[str]:
    """The report, line by line."""
    every = sorted(tried)
    faults = judged(every, known)
    unknown = sum(one.fate == "unknown" for one in every)
    if not every:
        yield "none could be tried in time"
        return
    left = [one for one in faults if not one.killed]
    for one in left:
        shown = f"{one.shown} tests saw nothing" if one.shown else "no test runs it"
        yield f"{one.place}, {shown}"
        yield f"    - {one.change.before}"
        yield f"    + {one.change.after}"
        yield ""
    for room, count in sorted(Counter(_room(one) for one in faults).items()):
        dead = sum(one.killed for one in faults if _room(one) == room)
        yield f"{room}: {dead} of {count} killed"
    stopped = sum(one.fate == "stopped" for one in faults)
    yield (
        f"{len(faults) - len(left)} of {len(faults)} killed, {share(faults):.1%}"
        f" ({stopped} by time); {len(every) - len(faults) - unknown} equivalent"
    )
    if unknown:
        yield f"{unknown} more not shown to any: not all tests could be recorded in time"


def share(faults: list[Tried]) -> float:
    """Killed of those tried; 1 of none."""
    return sum(one.killed for one in faults) / len(faults) if faults else 1.0


def _room(one: Tried) -> str:
    return one.mutant.file.split("/")[1] if "/" in one.mutant.file else "."
