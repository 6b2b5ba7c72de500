"""The solved cases of a plan with their rows: which of them are asked for, and what is worst."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

import numpy as np

from harness.base.data import dataclass
from harness.base.near import hint
from harness.base.refusal import Refusal
from harness.electrics.cases import OperatingCase
from harness.electrics.margins import HIGHEST, LOWEST, margins_of
from harness.electrics.network import blamed
from harness.electrics.outcome import Outcome
from harness.electrics.rows import LoadRow
from harness.electrics.solver.circuit import Array

SHOWN = (
    "amps", "volts", "drop_volts", "loss_watts", "share_continuous", "share_seconds",
    "temperature_celsius",
)  # fmt: skip
"""What a table for people has of a row; shares are parts of 1."""
QUANTITIES = (*SHOWN, "faa_temperature_celsius")
"""What is known of a row in a case."""
WORST = {"volts": "lowest", "amps": "largest"}


@dataclass(frozen=True)
class SolvedPlan:
    """A solved plan, its rows, the cases shown, by number. Raises Refusal when there is none."""

    outcome: Outcome
    rows: tuple[LoadRow, ...]
    case: str = ""

    def __post_init__(self) -> None:
        names = [case.name for case in self.outcome.cases]
        if self.case and self.case not in names:
            near = hint(self.case, names, most=99)
            raise Refusal(f'there is no case "{self.case}" in this plan; {near}'.rstrip("; "))
        if not self.shown:
            said = "; ".join(self.trouble)
            raise Refusal(f"nothing is computed: {said}")

    @cached_property
    def shown(self) -> tuple[int, ...]:
        """The numbers of the cases asked for that have a solution."""
        return tuple(
            number
            for number, case in enumerate(self.outcome.cases)
            if case.name not in self.outcome.trouble and self.case in {"", case.name}
        )

    @property
    def cases(self) -> list[tuple[int, OperatingCase]]:
        """The cases that are shown, with their numbers."""
        return [(number, self.outcome.cases[number]) for number in self.shown]

    @property
    def trouble(self) -> list[str]:
        """What is said of each case asked for that has no solution."""
        return [
            f"case {name} has no solution: {blamed(self.outcome.plan, why)}"
            for name, why in self.outcome.trouble.items()
            if self.case in {"", name}
        ]

    def figures(self, row: LoadRow) -> dict[str, Array]:
        """Return each of `QUANTITIES` of a row, one value a case; not a number where unknown."""
        none, good = np.full(len(self.outcome.cases), np.nan), self.outcome.lasting > 0
        warm = none if row.temperature is None else row.temperature
        faa = none if row.faa_temperature is None else row.faa_temperature
        found = (
            row.amps,
            none if row.volts is None else row.volts,
            none if row.drop is None else row.drop,
            none if row.loss is None else row.loss,
            *row.shares,
            np.where(good, warm, np.nan),
            np.where(good, faa, np.nan),
        )
        return dict(zip(QUANTITIES, found, strict=True))

    def worst(self, quantity: str, values: Array) -> int | None:
        """Return the number of the shown case that is worst; for volts where they are lowest."""
        score = -values if quantity == "volts" else np.abs(values)
        known = [n for n in self.shown if np.isfinite(score[n])]
        return max(known, key=lambda n: (float(f"{score[n]:.9g}"), -n), default=None)

    def volts_limit(self, row: LoadRow, what: str) -> float:
        """Return the lowest or highest volts that a part may have, not a number where unknown."""
        margins = margins_of(self.outcome.plan, row) if row.kind == "part" else ()
        found = (m.limit.figure.number for m in margins if m.what == what)
        return next(found, float("nan"))

    def beyond(self, row: LoadRow) -> list[tuple[str, int, float]]:
        """Return where volts are too low or too high at most: (which of the two, case, limit)."""
        volts = row.volts
        if volts is None:
            return []
        found = []
        low = self.worst_volts(row)
        if low is not None and row.low[low] and row.least is not None:
            found.append((LOWEST, low, float(row.least[low])))
        known = [n for n in self.shown if np.isfinite(volts[n])]
        at = max(known, key=lambda n: (float(f"{volts[n]:.9g}"), -n), default=None)
        if at is not None and self.is_high(row, float(volts[at])):
            found.append((HIGHEST, at, self.volts_limit(row, HIGHEST)))
        return found

    def worst_volts(self, row: LoadRow) -> int | None:
        """Return the shown case in which a row lacks most of what it needs, else has the least.

        One that lasts goes before one of seconds, as in what `check` says.
        """
        low = [n for n in self.shown if row.low[n]]
        if not low or row.volts is None or row.least is None:
            return self.worst("volts", self.figures(row)["volts"])
        lacks = row.least - row.volts
        return max(low, key=lambda n: (row.lasting[n], float(f"{lacks[n]:.9g}"), -n))

    def is_high(self, row: LoadRow, volts: float) -> bool:
        """Say whether volts are too high."""
        margins = margins_of(self.outcome.plan, row) if row.kind == "part" else ()
        once = np.array([volts])
        return any(bool(m.beyond(once, once > 0)[0]) for m in margins if m.what == HIGHEST)

    def share(self, row: LoadRow) -> float:
        """Return the largest share of what a row bears in the shown cases, not a number if none."""
        found = self.figures(row)
        both = np.array([found["share_continuous"], found["share_seconds"]])[:, list(self.shown)]
        return (
            float(np.max(both[np.isfinite(both)], initial=-1.0))
            if np.isfinite(both).any()
            else float("nan")
        )

    def ranked(self, rows: Iterable[LoadRow]) -> list[LoadRow]:
        """Return rows by what they bear, most loaded first, then by current."""

        def rank(row: LoadRow) -> tuple[float, float, str]:
            share = self.share(row)
            at = self.worst("amps", row.amps)
            amps = 0.0 if at is None else abs(float(row.amps[at]))
            loaded = float(f"{share:.6g}") if np.isfinite(share) else -1.0
            return (-loaded, -float(f"{amps:.6g}"), row.name)

        return sorted(rows, key=rank)
