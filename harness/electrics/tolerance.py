"""How much the figures of a harness differ between aeroplanes built to the same plan.

Contacts, cells, set-points and currents are drawn at random between their ends, or put to the
corners of them, and the harness is solved for every draw in every operating case.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np

from harness.base.data import dataclass
from harness.electrics.cases import OperatingCase, cases_of
from harness.electrics.margins import Margin, margins_of
from harness.electrics.outcome import Outcome, outcome_of
from harness.electrics.rows import LoadRow, rows_of
from harness.electrics.sampling import CORNERS, SampledSpan, spans_of, spread_of
from harness.electrics.solver.circuit import Array
from harness.electrics.solver.newton import DENSE
from harness.wiring.build import Wiring

QUANTITIES = ("amps", "volts", "share")
"""What bands are about: A (below 0: charging), V, and share of what is borne (1 is all)."""

QUANTILES = (0.0, 0.05, 0.5, 0.95, 1.0)
CHUNK = 6_000_000
"""Numbers in the largest stack that is solved at once: 48 MB."""

WORK = 3e10
"""Most work in all, as unknowns cubed (sparse: times `DENSE` squared); a quarter of a minute."""

FEWEST = 20
"""Draws that are made however large the plan is."""


@dataclass(frozen=True, slots=True)
class ToleranceBand:
    """How far one figure of one row spreads over the draws in `case`, the worst for it.

    `row`: what it is about, as in the plan; `nominal`: with everything as in the catalogue.
    Least, 5 %, median, 95 % and most of the `draws` that have a solution; `least_draw` and
    `most_draw` say which. Worst are the largest current and share, and the lowest volts.
    """

    row: LoadRow
    quantity: str
    case: str
    nominal: float
    least: float
    low: float
    median: float
    high: float
    most: float
    least_draw: int
    most_draw: int
    draws: int


@dataclass(frozen=True, slots=True)
class Passing:
    """How often a limit is passed: `draws` in any case, `case_draws` in `case`, the most often."""

    row: LoadRow
    margin: Margin
    draws: int
    share: float
    case: str
    case_draws: int


@dataclass(frozen=True, slots=True)
class Unsolved:
    """Draws of a case that have no solution: the element that stands in the way, and why."""

    case: str
    element: str
    why: str
    draws: int


@dataclass(frozen=True, slots=True)
class Tolerance:
    """What came of the draws.

    `asked` of them, `draws` made: fewer where the plan is too large for as many. `unsolved`: what
    has no solution, `unsolved_draws` of them in any case; they are in no band and pass no limit.
    A case that has none even with everything as in the catalogue is not drawn at all. `names`:
    of the corners, by draw.
    """

    kind: str
    asked: int
    draws: int
    seed: int
    cases: tuple[OperatingCase, ...]
    names: tuple[str, ...]
    spans: tuple[SampledSpan, ...]
    bands: tuple[ToleranceBand, ...]
    limits: tuple[Passing, ...]
    unsolved: tuple[Unsolved, ...]
    unsolved_draws: int

    @property
    def passed(self) -> tuple[Passing, ...]:
        """The limits that are passed in some draw, the most often passed first."""
        some = [limit for limit in self.limits if limit.draws]
        return tuple(sorted(some, key=lambda p: (-p.draws, p.row.kind, p.row.part, p.row.port)))

    def band(self, kind: str, part: str, quantity: str, port: str = "") -> ToleranceBand:
        """Return one band. Raises KeyError where there is none."""
        for band in self.bands:
            row = band.row
            if (row.kind, row.part, row.port, band.quantity) == (kind, part, port, quantity):
                return band
        raise KeyError((kind, part, port, quantity))


def tolerance_of(
    wiring: Wiring,
    cases: Sequence[OperatingCase] | None = None,
    *,
    kind: str = "monte-carlo",
    draws: int = 1000,
    seed: int = 1,
    limited: bool = False,
) -> Tolerance:
    """Draw a harness at random or at its corners (`kind`: see `spread_of`), in its cases.

    Without `limited` BECs give what is asked of them, so that it can be laid against what they
    give; with it, they give no more than that and their volts fall. Raises NotSolved when bare
    sources are shorted, ValueError for no such draws.
    """
    chosen = tuple(cases_of(wiring.plan) if cases is None else cases)
    nominal = outcome_of(wiring, chosen, limited=limited)
    asked = len(CORNERS) if kind == "corners" else draws
    made = asked if kind == "corners" else affordable(nominal, draws)
    spread = spread_of(nominal.net, kind, made, seed)
    sound = tuple(case for case in chosen if case.name not in nominal.trouble)
    tally = _Tally(nominal, sound, made)
    step = _step(nominal, made) if sound else made
    for start in range(0, made if sound else 0, step):
        part = spread.some(start, start + step)
        tally.add(start, outcome_of(wiring, sound, limited=limited, spread=part))
    names = tuple(corner.name for corner in CORNERS) if kind == "corners" else ()
    return Tolerance(
        kind,
        asked,
        made,
        seed,
        chosen,
        names,
        spans_of(nominal.net),
        tuple(tally.bands()),
        tuple(tally.limits()),
        tuple(tally.unsolved()),
        int(tally.bad.sum()),
    )


def affordable(nominal: Outcome, draws: int) -> int:
    """Return how many draws of a plan of this size are made in reasonable time."""
    size, cases = nominal.solution.layout.size, max(len(nominal.cases), 1)
    each = max(size, 1) * min(max(size, 1), DENSE) ** 2
    return min(draws, max(FEWEST, int(WORK / (each * cases))))


def _step(nominal: Outcome, draws: int) -> int:
    """Return how many draws are solved at once, so that no stack outgrows the memory."""
    size, links = nominal.solution.layout.size, len(nominal.wiring.links)
    each = max(size**2 if size <= DENSE else 0, 2 * links, 1)
    return min(draws, max(1, CHUNK // (each * max(len(nominal.cases), 1))))


class _Tally:
    """Gathers the draws of a harness, some at a time."""

    def __init__(self, nominal: Outcome, cases: tuple[OperatingCase, ...], draws: int) -> None:
        self.draws, self.cases = draws, cases
        self.rows = rows_of(nominal)
        self.lasting = np.array([case.lasting for case in cases], dtype=bool)[:, None]
        drawn = [n for n, case in enumerate(nominal.cases) if case in cases]
        self.worst = dict(_worst_cases(self.rows, drawn))
        self.kept = {key: np.full(draws, np.nan) for key in self.worst}
        self.margins = [margins_of(nominal.plan, row) for row in self.rows]
        self.passes = [np.zeros((len(m), len(cases)), dtype=int) for m in self.margins]
        self.any = [np.zeros(len(m), dtype=int) for m in self.margins]
        self.bad = np.zeros(draws, dtype=bool)
        self.why = {(name, w.element): w.why for name, w in nominal.trouble.items()}
        self.count = Counter(dict.fromkeys(self.why, draws))
        self.bad |= bool(self.why)

    def add(self, start: int, outcome: Outcome) -> None:
        """Add the draws of an outcome, the first of which is number `start`."""
        each = outcome.net.spread.draws
        for draw, trouble in outcome.solution.trouble.items():
            key = (self.cases[draw // each].name, trouble.element)
            self.why.setdefault(key, trouble.why)
            self.count[key] += 1
            self.bad[start + draw % each] = True
        for n, row in enumerate(rows_of(outcome)):
            self._add(n, row, slice(start, start + each))

    def _add(self, n: int, row: LoadRow, where: slice) -> None:
        values = {
            quantity: found.reshape(len(self.cases), -1)
            for quantity in QUANTITIES
            if (found := _values(row, quantity)) is not None
        }
        for quantity, found in values.items():
            if (n, quantity) in self.worst:
                self.kept[n, quantity][where] = found[self.worst[n, quantity][0]]
        for k, margin in enumerate(self.margins[n]):
            if margin.quantity in values:
                beyond = margin.beyond(values[margin.quantity], self.lasting)
                self.passes[n][k] += beyond.sum(axis=1)
                self.any[n][k] += beyond.any(axis=0).sum()

    def bands(self) -> Iterator[ToleranceBand]:
        """Yield the spread of every figure, row by row."""
        for (n, quantity), (at, nominal) in self.worst.items():
            values = self.kept[n, quantity]
            solved = values[np.isfinite(values)]
            if len(solved):
                ends = int(np.nanargmin(values)), int(np.nanargmax(values))
                least, low, median, high, most = map(float, np.quantile(solved, QUANTILES))
                yield ToleranceBand(
                    self.rows[n],
                    quantity,
                    self.cases[at].name,
                    nominal,
                    least,
                    low,
                    median,
                    high,
                    most,
                    *ends,
                    len(solved),
                )

    def limits(self) -> Iterator[Passing]:
        """Yield how often each limit is passed, row by row."""
        for row, margins, passes, any_case in zip(
            self.rows, self.margins, self.passes, self.any, strict=True
        ):
            for margin, by_case, total in zip(margins, passes, any_case, strict=True):
                most = int(np.argmax(by_case)) if total else None
                yield Passing(
                    row,
                    margin,
                    int(total),
                    int(total) / self.draws,
                    "" if most is None else self.cases[most].name,
                    0 if most is None else int(by_case[most]),
                )

    def unsolved(self) -> Iterator[Unsolved]:
        """Yield what has no solution, by case and element."""
        for case, element in sorted(self.count):
            key = (case, element)
            yield Unsolved(case, element, self.why[key], self.count[key])


def _values(row: LoadRow, quantity: str) -> Array | None:
    found: Array | None = getattr(row, quantity)
    return found


def _worst_cases(
    rows: Sequence[LoadRow], drawn: list[int]
) -> Iterator[tuple[tuple[int, str], tuple[int, float]]]:
    """Yield the worst case and its value, by row and quantity, of a solution without draws.

    Worst are the largest current and share and the lowest volts.
    """
    for n, row in enumerate(rows):
        for quantity in QUANTITIES:
            found = _values(row, quantity)
            values = None if found is None else found[drawn]
            if values is not None and np.isfinite(values).any():
                low = quantity == "volts"
                at = int(np.nanargmin(values) if low else np.nanargmax(np.abs(values)))
                yield (n, quantity), (at, float(values[at]))
