"""What was reached in every run view is kept: crossings, bends, text on paper, one page.

The figures are ratchets: a picture may become better, not worse. The first are the aims the views
were drawn anew for; 7.4 points are capitals of 1.9 mm, 18 minutes of arc at 350 mm (NUREG-0700).
"""

from __future__ import annotations

import pytest
from diagram.looking import GOOD, pages_of
from diagram.measured import Measures, bends, count, crossings, detour, is_hairpin, measured, nearer
from kept import drawing, path_of

from harness.diagram.printing import GOOD as LEAST
from harness.drawing.bezier import straight
from harness.drawing.look import SMALL

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


FROM_ABOVE = {
    "breakwater-12": ((6, 3), (14, 3)), "dunlin-4": ((0, 0), (0, 0)),
    "marram-26": ((0, 2), (0, 0)), "phalarope-14": ((8, 3), (11, 0)),
    "saltmarsh-19": ((24, 9), (19, 5)), "sandbar-5": ((11, 5), (11, 5)),
    "spindrift-7": ((0, 0), (0, 0)), "turnstone-4": ((0, 0), (0, 0)), "twite-2": ((0, 0), (0, 0)),
}  # fmt: skip
"""Crossings of leads, and pairs of them too near, on all airframe pages on A4 and on Letter.

On A4 317 crossings and then 89 before they were drawn anew; 64 pairs too near.
"""


@pytest.mark.parametrize("page", ["A4", "Letter"])
@pytest.mark.parametrize("name", GOOD)
def test_seen_from_above_leads_are_followed(name: str, page: str) -> None:
    found = measured(*drawing(path_of(name), "airframe", page))
    crossed, near = FROM_ABOVE[name][page == "Letter"]
    assert found.crossings <= crossed
    assert found.near <= near
    assert (found.hairpins, found.overlaps) == (0, 0)
    assert found.detours <= (page == "Letter" and name == "saltmarsh-19")  # round one part, short
    assert found.small >= LEAST
    assert found.pages <= 4


@pytest.mark.parametrize("page", ["A4", "Letter"])
@pytest.mark.parametrize("name", GOOD)
def test_on_a_panel_leads_run_in_lanes(name: str, page: str) -> None:
    """None nearer than 3 points to another, hardly any across another, no text small."""
    press, _ = drawing(path_of(name), "airframe", page)
    for sheet, laid in press.above.spread.values():
        found = Measures()
        scale = LEAST / SMALL
        count(found, sheet.strands, laid.edges, scale)
        assert found.near == 0
        assert found.crossings <= 6


def test_seen_from_above_a_sixth_of_the_crossings_is_left() -> None:
    assert sum(crossed for (crossed, _), _ in FROM_ABOVE.values()) <= 317 / 6


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
