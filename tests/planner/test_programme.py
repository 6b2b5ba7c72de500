"""Whole-number programmes against plain enumeration of every answer."""

from __future__ import annotations

import random
from itertools import product

import pytest

from harness.planner.solver import NO_LIMIT, Programme, Result

Row = tuple[float, float, dict[int, float]]


def random_programme(seed: int) -> tuple[Programme, list[Row], dict[int, float]]:
    """Four to eight columns up to 1 or 2; covers, stock and costs as plans have, and others."""
    rng = random.Random(seed)
    programme = Programme()
    columns = [programme.column(rng.choice([1.0, 1.0, 2.0])) for _ in range(rng.randint(4, 8))]
    rows: list[Row] = []
    for _ in range(rng.randint(2, 6)):
        taken = rng.sample(columns, rng.randint(2, len(columns)))
        terms = {c: float(rng.choice([1, 1, 2, 3, -1])) for c in taken}
        least, most = rng.choice([(1.0, 1.0), (-NO_LIMIT, 2.0), (1.0, NO_LIMIT), (0.0, 3.0)])
        rows.append((least, most, terms))
        programme.row(terms, least, most)
    return programme, rows, {c: float(rng.randint(-5, 9)) for c in columns if rng.random() < 0.8}


def every(programme: Programme, rows: list[Row]) -> list[list[int]]:
    """Every answer there is."""
    ranges = [range(int(upper) + 1) for upper in programme.upper]
    return [
        list(values)
        for values in product(*ranges)
        if all(lo <= sum(f * values[c] for c, f in t.items()) <= hi for lo, hi, t in rows)
    ]


def price(costs: dict[int, float], values: list[int]) -> float:
    return sum(cost * values[c] for c, cost in costs.items())


@pytest.mark.parametrize("seed", range(150))
def test_the_least_cost_is_that_of_enumeration(seed: int) -> None:
    programme, rows, costs = random_programme(seed)
    answers = every(programme, rows)
    found = programme.solve(costs)
    assert found.found == bool(answers)
    if not answers:
        return
    assert found.proven
    assert found.values in answers
    assert found.cost == min(price(costs, values) for values in answers)
    beyond_holds(found, costs, answers)
    known = programme.solve(costs, known=random.Random(seed).choice(answers))
    assert known.cost == found.cost
    assert known.values in answers
    beyond_holds(known, costs, answers)


@pytest.mark.parametrize("seed", range(20))
def test_values_hold_as_enumerated(seed: int) -> None:
    """What was solved before is an answer still, or not."""
    programme, rows, _ = random_programme(seed)
    answers = every(programme, rows)
    tried = [list(v) for v in product(*[range(int(top) + 2) for top in programme.upper])]
    assert [v for v in tried if programme.holds(v)] == answers


def beyond_holds(found: Result, costs: dict[int, float], answers: list[list[int]]) -> None:
    """No answer as cheap has any of the columns said to be beyond."""
    cheap = [values for values in answers if price(costs, values) <= found.cost]
    assert not any(values[column] for values in cheap for column in found.beyond)


def test_columns_shut_out_come_back() -> None:
    programme = Programme()
    cheap, dear = programme.column(), programme.column()
    programme.row({cheap: 1.0, dear: 1.0}, 1.0, 1.0)
    costs = {cheap: 1.0, dear: 5.0}
    assert programme.solve(costs).beyond == [dear]
    programme.shut([cheap])
    assert programme.solve(costs).cost == 5
    programme.shut([cheap], closed=False)
    assert programme.solve(costs).cost == 1
