"""The battery side by hand: Ohm and Millman for packs side by side, sums for stacks and ways.

Packs alone: 4 contacts of 0.25 mohm (AS150, memory) and no copper to speak of.
"""

from __future__ import annotations

from itertools import permutations

import pytest
from support import plan_of

from harness.facts.battery import (
    capacitance_at,
    capacitance_wanted,
    charged_with,
    driven_back,
    estimated,
    full_volts,
    is_armed,
    levels,
    packs_of,
    runs_of,
    standing,
)
from harness.parts.pack import Pack
from harness.parts.part import of_kind
from harness.wiring.build import Wiring, build

SHORT = "connector: AS150, wire: 8 AWG, length: 1 mm"
CELL, CONTACTS = 0.005, 2 * 0.25e-3
Cells = tuple[int, float]


def side_by_side(packs: dict[str, Cells]) -> Wiring:
    """Packs of some cells and metered volts, all on one parallel lead."""
    lines = "".join(
        f"  {name}: {{chemistry: lipo, cells: {cells}, volts: {volts} V, capacity: 4 Ah,"
        f" cell-resistance: 5 mohm, {SHORT}}}\n"
        for name, (cells, volts) in packs.items()
    )
    both = f"power-leads: {{both: {{kind: parallel, supply: [{', '.join(packs)}], {SHORT}}}}}\n"
    return build(plan_of(f"packs:\n{lines}{both}"))


def pack(wiring: Wiring, name: str) -> Pack:
    return next(p for p in wiring.plan.of(Pack) if p.id == name)


@pytest.mark.parametrize(
    "cells",
    [((4, 15.6), (4, 16.0)), ((4, 15.6), (3, 12.0)), ((6, 22.2), (5, 20.9)),
     ((4, 15.2), (4, 15.9), (4, 16.0)), ((4, 16.7), (4, 16.7)), ((3, 12.0), (4, 12.3), (3, 11.5))],
)  # fmt: skip
def test_what_charges_the_emptier_pack_by_millman(cells: tuple[Cells, ...]) -> None:
    """Open poles: V = sum(e / r) / sum(1 / r); into a pack flows (V - e) / r where that is more."""
    for order in permutations(cells):
        packs = dict(zip("abc", order, strict=False))
        wiring = side_by_side(packs)
        ohms = {name: cells * CELL + CONTACTS for name, (cells, _) in packs.items()}
        common = sum(v / ohms[n] for n, (_, v) in packs.items()) / sum(1 / r for r in ohms.values())
        into = {name: (common - volts) / ohms[name] for name, (_, volts) in packs.items()}
        for one, other in permutations(packs, 2):
            found = charged_with(wiring, pack(wiring, one), pack(wiring, other))
            expected = max(into[one], into[other], 0.0)
            assert found == pytest.approx(expected, rel=0.02, abs=1e-6), (packs, one, other)
            guess = estimated(wiring.plan, pack(wiring, one), pack(wiring, other))
            assert guess is not None
            assert guess.apart.number == pytest.approx(abs(packs[one][1] - packs[other][1]))
            assert guess.ohms.number == pytest.approx((packs[one][0] + packs[other][0]) * CELL)


def test_what_nobody_metered_is_not_solved_and_estimated_by_the_nominal_volts() -> None:
    """3.7 V a lithium cell (PX4 user guide)."""
    text = "packs:\n  a: {chemistry: lipo, cells: 4%s}\n  b: {chemistry: lipo, cells: 3}\n"
    for metered in ("", ", volts: 15.6 V"):
        wiring = build(plan_of(text % metered))
        a, b = pack(wiring, "a"), pack(wiring, "b")
        assert charged_with(wiring, a, b) is None and charged_with(wiring, b, a) is None
        guess = estimated(wiring.plan, a, b)
        assert guess is not None
        assert guess.apart.number == pytest.approx(3.7)


def test_a_full_pack_charges_an_empty_one_beside_it_and_not_the_other_way_round() -> None:
    """Full 4.2 V, empty 3.0 V a cell (PX4 user guide): 3 * 1.2 V over both and their contacts."""
    wiring = side_by_side({"a": (3, 11.4), "b": (3, 11.4)})
    a, b = pack(wiring, "a"), pack(wiring, "b")
    expected = 3 * 1.2 / (2 * (3 * CELL + CONTACTS))
    assert driven_back(wiring, a, b) == pytest.approx(expected, rel=0.02)
    assert driven_back(wiring, b, a) == pytest.approx(expected, rel=0.02)
    unlike = side_by_side({"a": (3, 11.4), "b": (2, 7.6)})
    a, b = pack(unlike, "a"), pack(unlike, "b")
    # 2 * 4.2 V are less than 3 * 3.0 V: nothing; 3 * 4.2 V against 2 * 3.0 V
    assert driven_back(unlike, a, b) == 0
    over = 5 * CELL + 2 * CONTACTS
    assert driven_back(unlike, b, a) == pytest.approx((12.6 - 6.0) / over, rel=0.02)
    # of what good cells resist: 0.25 V / (20 C x 4 Ah) = 3.1 mohm (memory), a sag by twice that
    text = f"packs:\n  a: {{chemistry: lipo, cells: 3, capacity: 4 Ah, rate: 20 C, {SHORT}}}\n"
    text += f"  b: {{like: a}}\npower-leads: {{y: {{kind: parallel, supply: [a, b], {SHORT}}}}}\n"
    rated = build(plan_of(text))
    expected = 3.6 / (6 * 0.25 / 80 + 2 * CONTACTS)
    assert driven_back(rated, pack(rated, "a"), pack(rated, "b")) == pytest.approx(
        expected, rel=0.02
    )


STACK = """
packs:
  a: {chemistry: lipo, cells: 3, capacity: 2 Ah, length: 40 mm}
  b: {like: a, capacity: 3 Ah}
  c: {like: a}
  d: {chemistry: lipo, cells: 2, length: 25 mm}
power-leads:
  low: {kind: parallel, supply: [a, b], length: 100 mm}
  tower: {kind: series, supply: [low.1, c], length: 210 mm}
  arm: {kind: arming, supply: tower, length: 60 mm}
escs:
  armed: {rated: 60 A, bec: none, supply: arm, length: 120 mm}
  other: {rated: 60 A, bec: none, supply: d, length: 320 mm}
capacitors:
  caps: {across: armed, value: 220 uF, count: 3, volts: 35 V}
  more: {across: armed, value: 100 uF, volts: 35 V}
"""


def test_a_stack_by_hand() -> None:
    """Two packs side by side with one on top: 6 cells of 4.2 V full."""
    wiring = build(plan_of(STACK))
    parts = wiring.plan.parts
    armed, other = parts["armed"], parts["other"]
    assert full_volts(wiring, armed) == pytest.approx(6 * 4.2)
    assert full_volts(wiring, other) == pytest.approx(2 * 4.2)
    assert [[p.id for p in level.packs] for level in levels(wiring)] == [["a", "b"], ["c"], ["d"]]
    assert [level.capacity for level in levels(wiring)] == [5, 2, None]
    below = [tuple(level.packs[0].id for level in pair) for pair in standing(wiring)]
    assert below == [("a", "c")]
    assert [p.id for p in packs_of(wiring, armed)] == ["a", "b", "c"]
    assert [p.id for p in packs_of(wiring, other)] == ["d"]
    assert (is_armed(wiring, armed), is_armed(wiring, other)) == (True, False)
    ways = {run.parts[-1].id: run for run in runs_of(wiring, armed)}
    assert ways["a"].length == 120 + 60 + 210 + 100 + 40
    assert ways["c"].length == 120 + 60 + 210 + 40
    assert [run.length for run in runs_of(wiring, other)] == [345]
    assert all(run.pack is run.parts[-1] and not run.unmeasured for run in ways.values())
    # (530 - 300) mm of the longest way, so three times 220 uF (common practice)
    assert capacitance_wanted(wiring, armed) == pytest.approx(660e-6)
    # a third pack beside the first two, past the arming plug
    past = STACK.replace(
        "capacitors:", "  half: {rated: 60 A, bec: none, supply: all}\ncapacitors:"
    )
    past = (
        past.replace("escs:", "  all: {kind: parallel, supply: [arm, e]}\nescs:")
        .replace("  d: {", "  e: {chemistry: lipo, cells: 6}\n  d: {")
        .replace("supply: arm,", "")
    )
    half = build(plan_of(past))
    assert not is_armed(half, half.plan.parts["half"])
    unsaid = build(plan_of(STACK.replace("b: {like: a, capacity: 3 Ah}",
                                         "b: {chemistry: lipo, cells: 3}")))  # fmt: skip
    assert levels(unsaid)[0].capacity is None
    silent = build(plan_of(STACK.replace(", length: 60 mm", "").replace(", length: 25 mm", "")))
    for name, missing in (("armed", ["arm"]), ("other", [])):
        for run in runs_of(silent, silent.plan.parts[name]):
            assert [part.id for part in run.unmeasured] == missing
    assert capacitance_at(wiring, armed) == pytest.approx(760e-6)
    assert capacitance_at(wiring, other) == 0


@pytest.mark.parametrize(("length", "steps"), [(299, 0), (300, 0), (301, 1), (400, 1), (401, 2)])
def test_220_uf_for_every_100_mm_beyond_300(length: int, steps: int) -> None:
    """Common practice: 220 uF each extra 100 mm; the pack's own 25 mm count."""
    text = STACK.replace("length: 320 mm", f"length: {length - 25} mm")
    wiring = build(plan_of(text))
    (esc,) = of_kind(type(wiring.plan.parts["other"]), [wiring.plan.parts["other"]])
    assert capacitance_wanted(wiring, esc) == pytest.approx(steps * 220e-6)
