"""What is worked out the short way must be what the long way gives."""

from pathlib import Path
from random import Random

import pytest
from diagram.looking import along_spline

from harness.diagram.cuts import cut_of
from harness.diagram.lead_points import height_at
from harness.diagram.page_setting import PageSetting
from harness.diagram.printing import inner_page
from harness.diagram.room import CELL, FreeRoom
from harness.diagram.routes import LaneStretch, best_order, cost
from harness.diagram.rows import HEADROOM
from harness.diagram.run_layout import Attempt, first_readable, smallest
from harness.diagram.sheets import sheet_of
from harness.diagram.stages import ViewWish
from harness.drawing.bezier import Spline, straight
from harness.drawing.layout_model import Rect
from harness.plan.load import load_plan
from harness.rules.run import check

EXAMPLES = Path(__file__).parents[2] / "examples"


def splines() -> list[Spline]:
    """Leads that go right, left, upright and back, from a fixed seed."""
    dice = Random(7)
    found = [straight([(0, 0), (90, 0), (90, 50), (20, 50)]), straight([(80, 9), (3, 9)])]
    for count in (4, 7, 10) * 12:
        points = [(dice.uniform(0, 200), dice.uniform(0, 100)) for _ in range(count)]
        found += [tuple(points), tuple(sorted(points)), tuple(sorted(points, reverse=True))]
    return found


@pytest.mark.parametrize("x", [-10.0, 0.0, 40.5, 90.0, 133.3, 250.0])
def test_the_height_of_a_lead_is_that_of_its_nearest_look(x: float) -> None:
    for spline in splines():
        looked = min(along_spline(spline), key=lambda point: abs(point[0] - x))
        assert height_at(spline, x) == looked[1]


def test_no_look_at_a_lead_lies_on_free_room() -> None:
    for spline in splines():
        room = FreeRoom(200, 100)
        room.cover_lines([spline], 5.0)
        for x, y in along_spline(spline):
            spot = Rect(x - CELL, y - CELL, 2 * CELL, 2 * CELL)
            inside = 0 <= spot.x <= 200 - 2 * CELL and 0 <= spot.y <= 100 - 2 * CELL
            assert not (inside and room.is_free(spot))


def test_a_level_lead_leaves_the_room_beside_it_free() -> None:
    room = FreeRoom(200, 100)
    room.cover_lines([straight([(20, 50), (180, 50)])], 5.0)
    assert room.is_free(Rect(20, 0, 160, 44))
    assert room.is_free(Rect(20, 56, 160, 40))
    assert not room.is_free(Rect(100, 40, 10, 10))


def test_a_copy_of_a_room_is_covered_on_its_own() -> None:
    room = FreeRoom(50, 50)
    other = room.copy()
    other.cover([Rect(0, 0, 20, 20)])
    assert room.is_free(Rect(0, 0, 20, 20))
    assert not other.is_free(Rect(0, 0, 20, 20))


def test_no_move_of_one_climb_saves_anything() -> None:
    """The whole cost is counted afresh for every move."""
    dice = Random(3)

    def whole(order: list[LaneStretch]) -> int:
        return sum(cost(a, b) for i, a in enumerate(order) for b in order[i + 1 :])

    for _ in range(20):
        made = [
            LaneStretch(str(i), (dice.uniform(0, 90),), (dice.uniform(0, 90),)) for i in range(7)
        ]
        order = best_order(made)
        for one in order:
            rest = [other for other in order if other is not one]
            for place in range(len(order)):
                assert whole(order) <= whole([*rest[:place], one, *rest[place:]])


def attempts(name: str) -> list[Attempt]:
    """Return the attempts at an example's run view."""
    from harness.diagram import run_layout as module

    report = check(load_plan(EXAMPLES / f"{name}.yaml"))
    sheet = sheet_of(PageSetting(report), cut_of(report, ViewWish()))
    orders = module._orders(report.plan, module.graph_of(report.plan, sheet))
    page = inner_page("A4")
    return [
        Attempt(lambda h, g=g, d=d: module._rows(sheet, g, d, h), module._tightened, page)  # type: ignore[misc]
        for g, d in orders
    ]


@pytest.mark.parametrize("name", ["saltmarsh-19", "sandbar-5", "marram-26"])
def test_no_layout_is_smaller_than_said_beforehand(name: str) -> None:
    for attempt in attempts(name):
        for headroom in (0.0, HEADROOM):
            done = attempt.finish(attempt.rows(headroom).untangled(), attempt.page)
            assert attempt.least <= done.height / attempt.page[1] + 1e-9


def test_hopeless_attempts_do_not_change_the_choice() -> None:
    made = attempts("saltmarsh-19")
    assert len(made) > 1
    assert smallest(made).excess == min(attempt.excess for attempt in made)
    assert first_readable(made).excess <= made[0].excess
