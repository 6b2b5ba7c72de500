"""What was reached in every run view is kept: crossings, bends, text on paper, one page.

The figures are ratchets: a picture may become better, not worse. The first are the aims the views
were drawn anew for; 7.4 points are capitals of 1.9 mm, 18 minutes of arc at 350 mm (NUREG-0700).
"""

from __future__ import annotations

import pytest
from diagram.looking import GOOD, pages_of
from diagram.measured import bends, crossings, detour, is_hairpin, measured, nearer
from kept import drawing, path_of

from harness.diagram.printing import GOOD as LEAST
from harness.drawing.bezier import straight

MOST = {
    "breakwater-12": 3, "dunlin-4": 1, "marram-26": 6, "phalarope-14": 9, "saltmarsh-19": 7,
    "sandbar-5": 32, "spindrift-7": 1, "turnstone-4": 2, "twite-2": 2,
}  # fmt: skip
"""Crossings of leads in the run view on A4."""


@pytest.mark.parametrize("name", GOOD)
def test_a_run_has_few_crossings_and_text_that_is_read_with_ease(name: str) -> None:
    found = measured(*drawing(path_of(name)))
    assert found.crossings <= MOST[name]
    assert found.small >= LEAST
    assert (found.pages, found.overlaps, found.hairpins, found.detours) == (1, 0, 0, 0)
    assert found.near == 0


@pytest.mark.parametrize("view", ["power", "control"])
@pytest.mark.parametrize("name", GOOD)
def test_a_part_of_the_wiring_hardly_crosses_itself(name: str, view: str) -> None:
    found = measured(*drawing(path_of(name), view))
    assert found.crossings <= 4
    assert found.small >= LEAST
    assert found.pages == 1


MOST_FROM_ABOVE = {
    "breakwater-12": 12, "dunlin-4": 0, "marram-26": 0, "phalarope-14": 13, "saltmarsh-19": 43,
    "sandbar-5": 21, "spindrift-7": 0, "turnstone-4": 0, "twite-2": 0,
}  # fmt: skip
"""Crossings of leads on all airframe pages on A4: 317 together before they were drawn anew."""


@pytest.mark.parametrize("name", GOOD)
def test_seen_from_above_leads_go_straight(name: str) -> None:
    found = measured(*drawing(path_of(name), "airframe"))
    assert found.crossings <= MOST_FROM_ABOVE[name]
    assert (found.hairpins, found.detours, found.overlaps) == (0, 0, 0)
    assert found.small >= LEAST
    assert found.pages <= 4


def test_seen_from_above_a_third_of_the_crossings_is_left() -> None:
    assert sum(MOST_FROM_ABOVE.values()) <= 317 / 3


def test_the_headline_has_one_letter_page() -> None:
    assert len(pages_of("saltmarsh-19", "run", "Letter")) == 1


def test_the_measures_measure() -> None:
    level, upright = [(0.0, 0.0), (100.0, 0.0)], [(50.0, -50.0), (50.0, 50.0)]
    assert crossings(level, upright) == 1
    assert crossings(level, [(0.0, 5.0), (100.0, 5.0)]) == 0
    assert nearer(level, [(20.0, 4.0), (100.0, 4.0)], 5.0) == 100.0
    assert nearer(level, upright, 5.0) == 0.0
    corners = [(0.0, 0.0), (50.0, 0.0), (50.0, 90.0), (90.0, 90.0)]
    assert bends(straight(corners)) == 2
    assert detour(corners) == pytest.approx(1.0)
    assert is_hairpin([(0.0, 0.0), (200.0, 0.0), (200.0, 20.0), (20.0, 20.0)])
    assert not is_hairpin(corners)
