"""Figures of the worst case that changed notably: how much is asked, and the lowest volts."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from harness.changes.change import Change
from harness.parts.figure import rule_figure
from harness.wiring.build import Wiring

OVER = 1.0
Key = tuple[str, str, str]


@dataclass(frozen=True, slots=True)
class _Worst:
    """The worst of one row of the load table; None where nobody knows."""

    name: str
    share: float | None
    volts: float | None


def figure_changes(old: Wiring, new: Wiring, names: Mapping[str, str]) -> Iterator[Change]:
    """Yield figures that differ by more than the catalogue's `compare` row, largest share first.

    Rows that only one plan has are left out: they belong to parts that are new or gone.
    """
    mine, theirs = _worst(old, names), _worst(new, {})
    if mine is None or theirs is None:
        if (mine is None) != (theirs is None):
            state = ("could be solved", "cannot be solved")
            text = f"the network {state[theirs is None]} {'now' if theirs is None else 'only now'}"
            yield Change("figures", text, "", "network", *map(_solved, (mine, theirs)))
        return
    share = rule_figure(new.plan.catalogue, "compare", "share").number
    volts = rule_figure(new.plan.catalogue, "compare", "volts").number
    found = [change for key in mine.keys() & theirs.keys()
             for change in _row(key, mine[key], theirs[key], share, volts)]  # fmt: skip
    yield from (change for _, change in sorted(found, key=lambda pair: (pair[0], pair[1].text)))


def _solved(found: object) -> str:
    return "not solved" if found is None else "solved"


def _worst(wiring: Wiring, names: Mapping[str, str]) -> dict[Key, _Worst] | None:
    """Return the worst of every row by kind, part and port; None where there is no solution."""
    import numpy as np

    from harness.electrics.outcome import outcome_of
    from harness.electrics.rows import rows_of
    from harness.electrics.solver.circuit import NotSolved

    try:
        outcome = outcome_of(wiring)
    except NotSolved:
        return None
    found: dict[Key, _Worst] = {}
    for row in rows_of(outcome):
        share, volts = row.share[row.worst], None
        if row.volts is not None and np.isfinite(row.volts).any():
            volts = float(np.nanmin(row.volts))
        known = float(share) if np.isfinite(share) else None
        found[row.kind, names.get(row.part, row.part), row.port] = _Worst(row.name, known, volts)
    return found


def _row(
    key: Key, old: _Worst, new: _Worst, share: float, volts: float
) -> Iterator[tuple[float, Change]]:
    if old.share is not None and new.share is not None:
        passes = (old.share > OVER) != (new.share > OVER)
        if passes or abs(new.share - old.share) >= share:
            before, now = (f"{round(100 * one)} %" for one in (old.share, new.share))
            text = f"{new.name}: at worst {now} of what it bears, before {before}"
            worst = -max(old.share, new.share)
            yield worst, Change("figures", text, key[1], f"{key[0]} share", before, now)
    if old.volts is not None and new.volts is not None and abs(new.volts - old.volts) >= volts:
        before, now = (f"{one:.2f} V" for one in (old.volts, new.volts))
        text = f"{new.name}: lowest {now}, before {before}"
        yield 0.0, Change("figures", text, key[1], f"{key[0]} volts", before, now)
