"""The label stocks of a plan's own, with the place in the file when one cannot be."""

from __future__ import annotations

from harness.documents.labels import Stock, StockError, stock_from_mapping
from harness.plan.plan import Plan
from harness.reading.problems import PlanError, Problem


def own_stocks(plan: Plan) -> list[Stock]:
    """Return the stocks a plan describes. Raises PlanError when one cannot be."""
    found, problems = [], []
    for name, stock in plan.stocks.items():
        try:
            found.append(stock_from_mapping(name, stock.dimensions()))
        except StockError as error:
            problems.append(Problem(str(error), stock.span))
    if problems:
        raise PlanError(plan.source, problems)
    return found
