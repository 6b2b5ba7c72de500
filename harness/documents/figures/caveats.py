"""What figures rest on: what had to be assumed, what is not known, what no supply reaches."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from harness.base.near import spoken
from harness.documents.figures.solved import SolvedPlan
from harness.electrics.ohms import Assumed
from harness.paper.sheet import Note
from harness.paper.tables import noted

FLOWS = 1e-3
"""A from which on a link carries current: what it resists then counts."""


def assumed(solved: SolvedPlan) -> list[Assumed]:
    """Return what nobody stated of the links that carry current in the shown cases."""
    found: set[tuple[str, str, str]] = set()
    for number, ohms in solved.outcome.net.ohms.items():
        if ohms.assumed and _carries(solved, number):
            found |= {(one.part, one.key, one.what) for one in ohms.assumed}
    return [Assumed(part, what, key) for part, key, what in sorted(found)]


def _carries(solved: SolvedPlan, number: int) -> bool:
    amps = np.abs(solved.outcome.link(number))[list(solved.shown)]
    return bool(np.nanmax(amps, initial=0.0) > FLOWS)


def not_known(solved: SolvedPlan) -> list[tuple[str, str]]:
    """Return the parts whose draw nobody knows, and what is missing; they draw nothing here."""
    demands = solved.outcome.net.demands
    return sorted((d.part.id, d.draw.missing) for d in demands if d.draw.missing)


def notes(solved: SolvedPlan) -> Iterator[Note]:
    """Yield what a reader of the figures has to know."""
    yield from noted("Without a solution", solved.trouble)
    unfed = solved.outcome.net.unfed
    yield from noted("No supply reaches, so counted as drawing nothing", unfed)
    missing = (f"{part}: {what}" for part, what in not_known(solved))
    yield from noted("Not known, so counted as drawing nothing", missing)
    by_part: dict[str, list[Assumed]] = {}
    for one in assumed(solved):
        by_part.setdefault(one.part, []).append(one)
    told = (_assumed(part, found) for part, found in by_part.items())
    yield from noted("Assumed, because the plan does not say", told)


def _assumed(part: str, found: list[Assumed]) -> str:
    keys = spoken([one.key for one in found if one.key])
    told = f"{part}: {spoken([one.what for one in found])}"
    return f"{told}; state it as {keys}" if keys else told
