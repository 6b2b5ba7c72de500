"""Which leads reach: the planner against every way to join pieces of the kit and of the shop.

At most two leads behind one another: common practice, no source (rule too-many-joints). More are a
last resort, before which a lead is bought. The run by hand: the way along the fuselage, 10 % for
its curves, 30 mm at the servo (catalogue rules, slack); 250 mm are the servo's own.
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
    ways = ways[:1] * 2 if seed % 3 == 0 else ways
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
    kit += ["  - {kind: extension, length: 600 mm, wire: 26 AWG}"]  # too thin for every servo
    return "\n".join(
        [
            "places:",
            "  nose: {at: 0 mm}",
            *(
                f"  bay-{ways.index(way)}: {{in: nose, at: {way} mm}}"
                for way in dict.fromkeys(ways)
            ),
            f"receivers: {{rx: {{sockets: {sockets}, place: nose}}}}",
            *(["kit:", *kit] if kit else []),
            "servos:",
            *(
                f"  flap-{n}: {{moves: flap, length: 250 mm, wire: 22 AWG, place: bay-{bay}}}"
                for n, bay in enumerate(map(ways.index, ways))
            ),
            "",
        ]
    )


def arms(wants: float, kit: list[int], most: int) -> list[Pieces]:
    """Every way to put up to `most` extensions behind one another that reaches."""
    found: list[Pieces] = [()] if wants <= 0 else []
    for count in range(1, most + 1):
        for pieces in combinations_with_replacement(_pool(kit), count):
            if sum(n for n, _ in pieces) >= wants:
                found.append(pieces)
    return found


def in_kit(pieces: Pieces, kit: list[int]) -> bool:
    taken = Counter(n for n, bought in pieces if not bought)
    return all(count <= kit.count(n) for n, count in taken.items())


def least(ways: list[int], sockets: int, ys: list[int], extensions: list[int]) -> tuple[int, ...]:
    """Least (wish broken, runs of more than two leads, bought, joints, mm) of all ways."""
    needs = [round(way * 1.1 + 30 - OWN, 3) for way in ways]
    found = []
    if sockets > 1:
        found += _sums(needs, extensions, 3, (0, 0, 0, 0))
    if sockets == 1:
        for length, bought in [*((n, False) for n in set(ys)), *((n, True) for n in SHOP)]:
            for trunk in [(), *(((n, b),) for n, b in _pool(extensions))] if shared(ways) else [()]:
                before = min(sum(n for n, _ in trunk), shared(ways))
                left = [need - length - before for need in needs]
                start = (1, int(bought), 2, length)
                found += _sums(left, extensions, 2 - len(trunk), start, trunk)
    return min(found)


def shared(ways: list[int]) -> int:
    """How far the runs go together: to the bay, where it is the same one."""
    return ways[0] if len(set(ways)) == 1 else 0


def _pool(kit: list[int]) -> Pieces:
    return (*((n, False) for n in sorted(set(kit))), *((n, True) for n in SHOP))


def _sums(
    needs: list[float], extensions: list[int], most: int, start: tuple[int, int, int, int],
    trunk: Pieces = (),
) -> list[tuple[int, ...]]:  # fmt: skip
    found = []
    one, other = (arms(need, extensions, most) for need in needs)
    for first in one:
        for second in other:
            pieces = (*trunk, *first, *second)
            if in_kit(pieces, extensions):
                leads = [start[0] + len(trunk) + len(arm) for arm in (first, second)]
                bought = start[1] + sum(b for _, b in pieces)
                mm = start[3] + sum(n for n, _ in pieces)
                runs = sum(count > 2 for count in leads)
                found.append((start[0], runs, bought, start[2] + len(pieces), mm))
    return found


@pytest.mark.parametrize("seed", range(60))
def test_leads_are_the_fewest_and_the_shortest_that_reach(seed: int) -> None:
    ways, sockets, ys, extensions = case(seed)
    answer = propose(plan_of(text(ways, sockets, ys, extensions)))
    assert isinstance(answer, Proposal)
    levels = dict(answer.costs)
    ours = (levels["bought"], levels["joints"], levels["length"] / 10)
    asked = (int(not answer.wishes[0].granted), levels["warnings"])
    assert (*asked, *ours) == least(ways, sockets, ys, extensions)
    assert not [f for f in answer.report.findings if f.severity >= Severity.ERROR]
    long = [f for f in answer.report.findings if f.rule == "too-many-joints"]
    assert bool(long) == bool(levels["warnings"])
    assert not [f for f in answer.report.findings if f.rule == "thin-lead"]
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


@pytest.mark.parametrize(
    ("way", "kit", "buy", "chain"),
    [
        (600, [150, 150, 150], None, [450]),  # 440 mm wanted: a third joint is not worth a lead
        (600, [150, 150, 150], 0, [150, 150, 150]),  # unless nothing can be bought
        (600, [300, 150], None, [150, 300]),  # two are fine
        (2200, [], None, [1000, 1000, 200]),  # 2200 mm wanted: two of the shop do not reach
    ],
)
def test_a_third_joint_is_the_last_resort(
    way: int, kit: list[int], buy: int | None, chain: list[int]
) -> None:
    limit = [] if buy is None else [f"buy-at-most: {buy}"]
    plan = text([way], 1, [], kit) + "\n".join([*limit, ""])
    answer = propose(plan_of(plan))
    assert isinstance(answer, Proposal)
    lengths = [part.length for part in answer.report.plan.parts.values() if part.word == "lead"]
    assert sorted(lengths) == sorted(chain)
    told = [f for f in answer.report.findings if f.rule == "too-many-joints"]
    assert len(told) == (len(chain) > 2)
