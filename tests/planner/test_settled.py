"""What a proposal leaves behind: nothing open, nothing refused, and the kit's own shopping list.

The shopping list comes from `harness.airframe.kit`, which matches the finished plan with the kit
and knows nothing of the planner.
"""

from __future__ import annotations

import random
from collections import Counter

import pytest
from support import plan_of

from harness.airframe.kit import kit_of
from harness.airframe.kit.shopping import shopping
from harness.base.finding import Severity
from harness.base.span import Source
from harness.plan.load import parse_plan
from harness.plan.plan import Plan
from harness.planner.propose import NoPlan, Proposal, propose

PLACES = (
    "places: {fuselage: {at: 450 mm}, tail: {in: fuselage, at: 1200 mm},\n"
    "  wing-left: {joins: fuselage, side: left, at: {aft: 480 mm, out: 400 mm}},\n"
    "  wing-right: {joins: fuselage, side: right, at: {aft: 480 mm, out: 400 mm}}}\n"
)
PARTS = [
    ("aileron-left", "aileron", "wing-left"), ("aileron-right", "aileron", "wing-right"),
    ("flap-left", "flap", "wing-left"), ("flap-right", "flap", "wing-right"),
    ("elevator-left", "elevator", "tail"), ("elevator-right", "elevator", "tail"),
    ("rudder", "rudder", "tail"), ("steering", "steering", "fuselage"),
    ("flap-mid-left", "flap", "wing-left"),
]  # fmt: skip
BUILT = {"y": (137, 150, 300, 437, 600), "extension": (100, 200, 450, 508, 600)}


def random_plan(seed: int, loose: bool) -> str:
    """Four to eight servos and a kit of odd leads; positions known or not; loose leads or none.

    No four servos of a kind: the planner takes two lower Y-leads that are alike, the kit need not.
    """
    rng = random.Random(seed)
    known = rng.random() < 0.6
    lines = [PLACES] if known else []
    lines.append(f"receivers: {{rx: {{sockets: {rng.randint(3, 8)}{_at(known, 'fuselage')}}}}}\n")
    lines.append("kit:\n")
    for kind, lengths in BUILT.items():
        for _ in range(rng.randint(1, 3)):
            stated = known or rng.random() < 0.8  # of a piece nobody measured no run is made
            length = f", length: {rng.choice(lengths)} mm" if stated else ""
            wire = f", wire: {rng.choice((20, 22, 26))} AWG" if rng.random() < 0.8 else ""
            count = rng.randint(1, 2)
            lines.append(f"  - {{kind: {kind}, count: {count}{length}{wire}}}\n")
    lines.append("  - {kind: reverser}\n")
    if rng.random() < 0.3:
        lines.append("  - {kind: n-way, ways: 3, length: 200 mm, wire: 22 AWG}\n")
    lines.append("servos:\n")
    for name, moves, place in sorted(rng.sample(PARTS, rng.randint(4, 8))):
        facts = f"class: 9g-analogue, shaft: {rng.choice(('left', 'right'))}, length: 250 mm"
        facts += ", programmable: yes" if rng.random() < 0.3 else ""
        lines.append(f"  {name}: {{moves: {moves}, {facts}{_at(known, place)}}}\n")
    lines.append("regulators: {reg: {kind: switching, volts: 5 V, rated: 10 A, supply: pack}}\n")
    if loose:
        lines.append("leads: {old: {kind: y, length: 300 mm, wire: 22 AWG}, older: {kind: y}}\n")
    return "".join([*lines, "packs: {pack: {chemistry: lipo, cells: 3, capacity: 2 Ah}}\n"])


def _at(known: bool, place: str) -> str:
    return f", place: {place}" if known else ""


def listed(plan: Plan) -> Counter[tuple[str, float | None, str]]:
    """The 3-pin leads that the kit lacks, by its own reckoning."""
    found: Counter[tuple[str, float | None, str]] = Counter()
    for item in shopping(kit_of(plan)):
        if item.group == "3-pin leads":
            found[item.kind, item.length, item.wire.removesuffix(" as usual")] += item.count
    return found


def kinds(leads: Counter[tuple[str, float | None, str]]) -> Counter[str]:
    found: Counter[str] = Counter()
    for (kind, _, _), count in leads.items():
        found[kind] += count
    return found


@pytest.mark.parametrize("loose", [False, True])
@pytest.mark.parametrize("seed", range(100))
def test_a_written_proposal_is_settled(seed: int, loose: bool) -> None:
    """A loose lead of the plan that the kit lacks is on the list before and after."""
    before = plan_of(random_plan(seed, loose))
    answer = propose(before)
    if isinstance(answer, NoPlan):
        assert answer.ways or answer.stuck
        return
    plan = parse_plan(Source("plan.yaml", answer.text))
    again = propose(plan)
    assert isinstance(again, Proposal)
    assert not again.edits
    assert not [f for f in answer.report.findings if f.severity >= Severity.ERROR]
    bought = Counter({(w.kind, w.length, w.gauge): w.count for w in answer.bought})
    if loose:  # which of two leads is lacking may be a matter of choice there
        assert kinds(listed(plan)) == kinds(listed(before)) + kinds(bought)
    else:
        assert listed(plan) == bought
