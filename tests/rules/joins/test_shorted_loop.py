"""Loops of copper with volts: Kirchhoff's voltage law; every loop is tried as a check."""

from __future__ import annotations

import itertools
import random
from collections import defaultdict
from collections.abc import Iterator

import pytest
from support import plan_of, report_of, rules_of

from harness.facts.shorts import shortest_loop
from harness.parts.contacts import COPPER, Contact, Link, LinkKind
from harness.parts.pack import Pack
from harness.wiring.build import Wiring, build

from .packs_plan import lead, packs

SPLIT = "power-leads:\n" + lead("split", "parallel", "a", ways=3)
PLANS = {
    "both ends of a series lead on one pack": packs("a")
    + SPLIT
    + lead("stack", "series", "split.1", "split.2"),
    "the same through an extension": packs("a")
    + SPLIT
    + lead("long", "extension", "split.1")
    + lead("stack", "series", "long.1", "split.2"),
    "a stack whose middle is its own end": packs("a", "b")
    + SPLIT
    + lead("stack", "series", "split.1", "b", "split.2"),
    "two ways to go wrong": packs("a")
    + SPLIT
    + lead("long", "extension", "split.1")
    + lead("far", "extension", "long.1")
    + lead("stack", "series", "far.1", "split.2", "split.3"),
}


def least_by_trying_all(wiring: Wiring, links: list[Link]) -> int:
    """Return the least number of links of any simple loop whose volts do not cancel, else 0."""
    rises: dict[Contact, dict[Contact, float]] = defaultdict(dict)
    for link in links:
        pack = isinstance(wiring.plan.parts[link.owner], Pack)
        if link.kind in COPPER or (link.kind is LinkKind.SOURCE and pack):
            rises[link.a][link.b], rises[link.b][link.a] = link.volts, -link.volts
    return min((n for start in rises for n in _loops(rises, [start], 0.0)), default=0)


def _loops(
    rises: dict[Contact, dict[Contact, float]], way: list[Contact], volts: float
) -> Iterator[int]:
    """Yield the lengths of the loops with volts that a way from their least contact can close."""
    for there, rise in rises[way[-1]].items():
        if there == way[0] and len(way) > 2 and abs(volts + rise) > 0.01:
            yield len(way)
        elif there > way[0] and there not in way:
            yield from _loops(rises, [*way, there], volts + rise)


@pytest.mark.parametrize("seed", range(60))
def test_random_networks_by_trying_every_loop(seed: int) -> None:
    """Nine contacts, two or three packs of like volts, some copper: every loop is tried."""
    dice = random.Random(seed)
    wiring = build(plan_of(packs("a")))
    pins = [Contact("a", "pin", str(n)) for n in range(9)]
    pairs = dice.sample(list(itertools.combinations(pins, 2)), 14)
    links = [
        Link(low, high, LinkKind.SOURCE, "a", volts=14.8)
        if n < 3
        else Link(low, high, LinkKind.WIRE, "a")
        for n, (low, high) in enumerate(pairs)
    ]
    steps = shortest_loop(wiring, links)
    assert len(steps) == least_by_trying_all(wiring, links)


@pytest.mark.parametrize("text", PLANS.values(), ids=PLANS)
def test_the_shortest_loop_is_as_short_as_any(text: str) -> None:
    wiring = build(plan_of(text))
    steps = shortest_loop(wiring, wiring.links)
    assert len(steps) == least_by_trying_all(wiring, wiring.links)
    assert abs(sum(step.rise for step in steps)) > 0.01
    ends = [(s.start, s.link.b if s.start == s.link.a else s.link.a) for s in steps]
    assert all(end == start for (_, end), (start, _) in zip(ends, ends[1:] + ends[:1], strict=True))


def test_the_plugs_of_the_loop_are_listed() -> None:
    text = PLANS["both ends of a series lead on one pack"]
    (found,) = [f for f in report_of(text).findings if f.rule == "shorted-loop"]
    for words in ("split into a", "stack into split.1", "stack.in-2 into split.2"):
        assert words in found.message
    assert "14.8 V" in found.message  # 4 x 3.7 V nominal: PX4 user guide


@pytest.mark.parametrize(
    "text",
    [
        packs("a") + SPLIT + lead("long", "extension", "split.1"),
        packs("a", "b") + "power-leads:\n" + lead("stack", "series", "a", "b"),
        packs("a", "b") + "power-leads:\n" + lead("both", "parallel", "a", "b"),
        # two by two: each level side by side, then end to end
        packs("a", "b", "c", "d")
        + "power-leads:\n"
        + lead("low", "parallel", "a", "b")
        + lead("high", "parallel", "c", "d")
        + lead("stack", "series", "low.1", "high.1"),
    ],
)
def test_good_joins_have_no_loop(text: str) -> None:
    assert rules_of(text) == []
