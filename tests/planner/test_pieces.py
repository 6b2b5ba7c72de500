"""Which leads reach: the planner against every way to join pieces of the kit and of the shop.

The run by hand: the way along the fuselage, 10 % for its curves, 30 mm at the servo (catalogue
rules, slack); 250 mm are the servo's own.
"""

from __future__ import annotations

import random
from collections import Counter
from itertools import combinations_with_replacement

import pytest
from support import plan_of

from harness.base.finding import Severity
from harness.plan.plan import Plan
from harness.planner.propose import Proposal, propose

SHOP = (100, 150, 200, 300, 450, 600, 900, 1000)
OWN = 250
Pieces = tuple[tuple[int, bool], ...]
"""Lengths in mm, and whether bought."""


def case(seed: int) -> tuple[list[int], int, list[int], list[int]]:
    """Ways of two servos, sockets, Y-leads and extensions of the kit."""
    rng = random.Random(seed)
    ways = [rng.randrange(100, 1500, 50) for _ in range(2)]
    lengths = (150, 300, 450, 600)
    return (
        ways,
        rng.randint(1, 2),
        [rng.choice(lengths) for _ in range(rng.randint(0, 2))],
        [rng.choice(lengths) for _ in range(rng.randint(0, 3))],
    )


def text(ways: list[int], sockets: int, ys: list[int], extensions: list[int]) -> str:
    kit = [f"  - {{kind: y, length: {n} mm, wire: 22 AWG}}" for n in ys]
    kit += [f"  - {{kind: extension, length: {n} mm, wire: 22 AWG}}" for n in extensions]
    return "\n".join(
        [
            "places:",
            "  nose: {at: 0 mm}",
            *(f"  bay-{n}: {{in: nose, at: {way} mm}}" for n, way in enumerate(ways)),
            f"receivers: {{rx: {{sockets: {sockets}, place: nose}}}}",
            *(["kit:", *kit] if kit else []),
            "servos:",
            *(
                f"  flap-{n}: {{moves: flap, length: 250 mm, place: bay-{n}}}"
                for n in range(len(ways))
            ),
            "",
        ]
    )


def arms(wants: float, kit: list[int], most: int) -> list[Pieces]:
    """Every way to put up to `most` extensions behind one another that reaches."""
    pool = [(n, False) for n in sorted(set(kit))] + [(n, True) for n in SHOP]
    found: list[Pieces] = [()] if wants <= 0 else []
    for count in range(1, most + 1):
        for pieces in combinations_with_replacement(pool, count):
            if sum(n for n, _ in pieces) >= wants:
                found.append(pieces)
    return found


def in_kit(pieces: Pieces, kit: list[int]) -> bool:
    taken = Counter(n for n, bought in pieces if not bought)
    return all(count <= kit.count(n) for n, count in taken.items())


def least(
    ways: list[int], sockets: int, ys: list[int], extensions: list[int]
) -> tuple[int, int, int, int]:
    """Least (wish broken, bought, joints, mm) of all ways."""
    needs = [round(way * 1.1 + 30 - OWN, 3) for way in ways]
    found = []
    if sockets > 1:
        found += _sums(needs, extensions, 2, (0, 0, 0, 0))
    if sockets == 1:
        for length, bought in [*((n, False) for n in set(ys)), *((n, True) for n in SHOP)]:
            left = [need - length for need in needs]
            found += _sums(left, extensions, 2, (1, int(bought), 2, length))
    return min(found)


def _sums(
    needs: list[float], extensions: list[int], most: int, start: tuple[int, int, int, int]
) -> list[tuple[int, int, int, int]]:
    found = []
    one, other = (arms(need, extensions, most) for need in needs)
    for first in one:
        for second in other:
            pieces = (*first, *second)
            if in_kit(pieces, extensions):
                bought = sum(b for _, b in pieces)
                mm = sum(n for n, _ in pieces)
                found.append((start[0], start[1] + bought, start[2] + len(pieces), start[3] + mm))
    return found


@pytest.mark.parametrize("seed", range(40))
def test_leads_are_the_fewest_and_the_shortest_that_reach(seed: int) -> None:
    ways, sockets, ys, extensions = case(seed)
    answer = propose(plan_of(text(ways, sockets, ys, extensions)))
    assert isinstance(answer, Proposal)
    levels = dict(answer.costs)
    ours = (levels["bought"], levels["joints"], levels["length"] / 10)
    assert (int(not answer.wishes[0].granted), *ours) == least(ways, sockets, ys, extensions)
    assert not [f for f in answer.report.findings if f.severity >= Severity.ERROR]
    assert counted(answer.report.plan, ys + extensions) == ours


def counted(plan: Plan, kit: list[int]) -> tuple[int, int, float]:
    """The same three costs, counted in the plan as it is written."""
    leads = [part for part in plan.parts.values() if part.word == "lead"]
    plugs = [part.plug.part for part in plan.parts.values() if getattr(part, "plug", None)]
    lines = plan.source.text.splitlines()
    bought = sum("to be bought" in line for line in lines)
    assert len(leads) - bought <= len(kit)
    ids = {lead.id for lead in leads}
    return bought, sum(name in ids for name in plugs), sum(lead.length or 0 for lead in leads)
