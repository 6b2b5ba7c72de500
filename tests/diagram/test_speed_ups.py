"""What is worked out the short way must be what the long way gives."""

from random import Random

import pytest
from diagram.looking import along_spline

from harness.diagram.room import CELL, FreeRoom
from harness.diagram.routes import LaneStretch, best_order, cost
from harness.drawing.bezier import Spline, height_at, straight
from harness.drawing.layout_model import Rect


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
    other = room.copy(50)
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
