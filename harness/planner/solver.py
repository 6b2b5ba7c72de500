"""Whole-number programmes through HiGHS: columns from 0 to a limit, rows, levels of cost.

The programme is first solved in fractions, from where the last one ended: most come out whole.
What remains is cut and branched by HiGHS.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from typing import Any

from harness.base.data import dataclass, field

Terms = Mapping[int, float]
"""Coefficient by column."""
NO_LIMIT = 1e9
"""Of a row. HiGHS is told that it is none: with the number it called a programme impossible."""
WHOLE = 1e-6
"""What is nearer to a whole number is one."""


@dataclass(frozen=True)
class Result:
    """What came out: whether there is an answer, whether it is proven; its values and its cost.

    `beyond`: columns of which no answer that costs as little has any.
    """

    found: bool
    proven: bool
    values: list[int] = field(default_factory=list)
    cost: int = 0
    gap: float = 0.0
    beyond: list[int] = field(default_factory=list)


@dataclass
class Programme:
    """Columns of whole numbers and rows between limits; solved for one level of cost at a time."""

    upper: list[float] = field(default_factory=list)
    rows: list[tuple[float, float, dict[int, float]]] = field(default_factory=list)
    _engine: Any = None
    _sent: int = 0
    _sums: dict[int, list[tuple[float, float, dict[int, float]]]] = field(default_factory=dict)

    def column(self, upper: float = 1.0) -> int:
        """Add a column from 0 to `upper`; return its number."""
        self.upper.append(upper)
        return len(self.upper) - 1

    def row(self, terms: Terms, least: float = -NO_LIMIT, most: float = NO_LIMIT) -> int:
        """Add a row; return its number."""
        self.rows.append((least, most, dict(terms)))
        return len(self.rows) - 1

    def limit(self, column: int, upper: float) -> None:
        """Change a column's upper limit."""
        self.upper[column] = upper
        if self._engine is not None:
            self._engine.changeColBounds(column, 0.0, upper)

    def free(self, row: int) -> None:
        """Take a row out again."""
        self.rows[row] = (-NO_LIMIT, NO_LIMIT, {})
        if self._engine is not None and row < self._sent:
            self._engine.changeRowBounds(row, -math.inf, math.inf)

    def shut(self, columns: Iterable[int], closed: bool = True) -> None:
        """Leave columns out of what is solved; or put them back, up to their limits."""
        for column in columns:
            self._open().changeColBounds(column, 0.0, 0.0 if closed else self.upper[column])

    def around(self, values: list[int], loose: Iterable[int]) -> tuple[Programme, dict[int, int]]:
        """Return what is left to choose when all other columns keep their values.

        Also the number there of each loose column.
        """
        number = {column: n for n, column in enumerate(loose)}
        small = Programme([self.upper[column] for column in number])
        for least, most, terms in self.rows:
            mine = {number[c]: f for c, f in terms.items() if c in number}
            if mine:
                fixed = sum(f * values[c] for c, f in terms.items() if c not in number)
                small.row(mine, least - fixed, most - fixed)
        return small, number

    def holds(self, values: list[int]) -> bool:
        """Say whether values keep to every row and limit."""
        sums = ((low, sum(f * values[c] for c, f in t.items()), top) for low, top, t in self.rows)
        within = all(value <= top + WHOLE for value, top in zip(values, self.upper, strict=True))
        return within and all(low - WHOLE <= at <= top + WHOLE for low, at, top in sums)

    def room(self, column: int, fixed: Mapping[int, int]) -> float:
        """Return how large a column can be at most by the rows that only add up.

        `fixed`: the values of columns that are settled.
        """
        most = self.upper[column]
        for _, top, terms in self._adding().get(column, ()):
            used = sum(f * fixed[c] for c, f in terms.items() if c in fixed)
            most = min(most, (top - used) / terms[column])
        return most

    def _adding(self) -> dict[int, list[tuple[float, float, dict[int, float]]]]:
        if not self._sums:
            for row in self.rows:
                if all(factor > 0 for factor in row[2].values()):
                    for column in row[2]:
                        self._sums.setdefault(column, []).append(row)
        return self._sums

    def _open(self) -> Any:
        import highspy
        import numpy as np

        if self._engine is None:
            engine = _engine()
            engine.setOptionValue("threads", 1)
            engine.setOptionValue("random_seed", 0)
            engine.setOptionValue("mip_rel_gap", 0.0)
            engine.setOptionValue("mip_detect_symmetry", False)
            count = len(self.upper)
            engine.addVars(count, np.zeros(count), np.array(self.upper))
            kind = np.array([highspy.HighsVarType.kInteger] * count)
            engine.changeColsIntegrality(count, np.arange(count, dtype=np.int32), kind)
            self._engine = engine
        for least, most, terms in self.rows[self._sent :]:
            index = np.array(list(terms), dtype=np.int32)
            value = np.array(list(terms.values()), dtype=float)
            low, high = (
                n if abs(n) < NO_LIMIT / 2 else math.copysign(math.inf, n) for n in (least, most)
            )
            self._engine.addRow(low, high, len(index), index, value)
        self._sent = len(self.rows)
        return self._engine

    def solve(self, costs: Terms, seconds: float = 20.0, known: list[int] | None = None) -> Result:
        """Minimise one cost; whole-number costs only. `known`: an answer, as values."""
        import highspy
        import numpy as np

        engine = self._open()
        count = len(self.upper)
        dense = np.zeros(count)
        for column, cost in costs.items():
            dense[column] = cost
        engine.changeColsCost(count, np.arange(count, dtype=np.int32), dense)
        engine.setOptionValue("time_limit", engine.getRunTime() + seconds)
        status = self._run(relaxed=True)
        if status == highspy.HighsModelStatus.kInfeasible:
            return Result(False, True)
        easy = status == highspy.HighsModelStatus.kOptimal
        bound = engine.getInfo().objective_function_value if easy else -math.inf
        relaxed = engine.getSolution()
        dual, values = np.array(relaxed.col_dual), np.array(relaxed.col_value)
        whole = easy and np.abs(values - values.round()).max(initial=0.0) < WHOLE

        def result(values: list[int], proven: bool = True) -> Result:
            cost = round(sum(cost * values[c] for c, cost in costs.items()))
            slack = WHOLE * abs(cost) + 1e-4
            gap = 0.0 if proven else abs(cost - engine.getInfo().mip_dual_bound)
            beyond = np.flatnonzero(dual > cost - bound + slack).tolist() if proven else []
            return Result(True, proven, values, cost, gap, beyond)

        if whole:
            return result([round(v) for v in values])
        if known and result(known).cost - 1 + WHOLE * abs(bound) + 1e-4 < bound:
            return result(known)
        engine.setOptionValue("mip_heuristic_run_feasibility_jump", known is None)
        engine.clearSolver()  # it would try to round the fractions first
        status = self._run()
        if status == highspy.HighsModelStatus.kInfeasible:
            return Result(False, True)
        proven = status == highspy.HighsModelStatus.kOptimal
        if not proven and engine.getInfo().primal_solution_status != 2:
            return Result(False, False)
        return result([round(v) for v in engine.getSolution().col_value], proven)

    def _run(self, relaxed: bool = False) -> Any:
        self._engine.setOptionValue("solve_relaxation", relaxed)
        # a relaxation begins where the last one ended, which presolve would forget
        self._engine.setOptionValue("presolve", "off" if relaxed else "on")
        self._engine.run()
        return self._engine.getModelStatus()


def _engine() -> Any:
    """Return a solver that prints nothing, not even its name when it is made."""
    import highspy

    class Quiet(highspy.Highs):
        def enableCallbacks(self) -> None:  # noqa: N802 - called by the constructor, and prints
            self.setOptionValue("output_flag", False)

    make: Any = Quiet
    engine = make()
    engine.setOptionValue("output_flag", False)
    return engine


def summed(pairs: Iterable[tuple[int, float]]) -> dict[int, float]:
    """Return terms with the coefficients of one column added up."""
    found: dict[int, float] = {}
    for column, factor in pairs:
        found[column] = found.get(column, 0.0) + factor
    return found
