"""Views cut down to a place, a function or a lead; and names the plan does not have."""

from __future__ import annotations

import pytest
from diagram.looking import ids, report_of, words

from harness.base.refusal import Refusal
from harness.diagram import ViewWish, draw_pages

PLAN = "saltmarsh-19"


def drawn(**wish: str) -> set[str]:
    return ids(draw_pages(report_of(PLAN), ViewWish(**wish)))  # type: ignore[arg-type]


def test_a_place_shows_its_parts_and_names_what_lies_outside() -> None:
    pictures = draw_pages(report_of(PLAN), ViewWish(place="wing-left"))
    shown = ids(pictures)
    assert {"part-aileron-left", "part-esc-left", "part-caps-left"} <= shown
    assert "part-throttle-y" not in shown
    assert "lead-esc-left.plug" in shown
    assert "Throttle y · 1" in words(pictures, "beyond-esc-left.plug")


def test_a_place_holds_the_places_in_it() -> None:
    assert {"part-steering", "part-rudder", "part-rx"} <= drawn(place="fuselage")


def test_a_function_is_shown_from_its_socket_to_the_motor_and_the_pack() -> None:
    shown = drawn(function="throttle")
    assert {"part-rx", "part-throttle-y", "part-esc-left", "part-motor-right"} <= shown
    assert {"part-main", "part-pack-y", "part-caps-left"} <= shown
    assert "part-flap-left" not in shown


def test_a_function_behind_a_sequencer_is_found() -> None:
    shown = drawn(function="gear-door")
    assert {"part-door-nose", "part-gear-box", "part-rx"} <= shown
    assert "part-leg-nose" not in shown


@pytest.mark.parametrize("name", ["AIL-L", "aileron-left", "aileron-left.plug"])
def test_a_lead_is_traced_end_to_end(name: str) -> None:
    shown = {i for i in drawn(lead=name) if i.startswith("lead-")}
    shown = {i for i in shown if "/" not in i}
    assert shown == {"lead-aileron-left.plug", "lead-aileron-left-ext.plug", "lead-aileron-y.plug"}


def test_a_power_lead_is_traced_to_the_pack_and_to_what_it_feeds() -> None:
    shown = drawn(lead="pack-y")
    assert {"part-main", "part-esc-left", "part-esc-right"} <= shown


@pytest.mark.parametrize(
    ("wish", "message"),
    [
        ({"place": "wing-lef"}, 'no place "wing-lef"; did you mean "wing-left"'),
        ({"function": "flip"}, 'no function "flip"; did you mean "flap"'),
        ({"lead": "pak-y"}, 'no lead "pak-y"; did you mean "pack-y"'),
    ],
)
def test_a_wrong_name_is_refused_with_the_nearest_right_one(
    wish: dict[str, str], message: str
) -> None:
    with pytest.raises(Refusal, match=message):
        draw_pages(report_of(PLAN), ViewWish(**wish))  # type: ignore[arg-type]


def test_file_names_say_what_is_drawn() -> None:
    (picture,) = draw_pages(report_of(PLAN), ViewWish(view="control", function="gear"))
    assert picture.name == "control-gear"
    assert "Saltmarsh 19" in picture.title


def test_the_title_block_names_aircraft_view_revision_and_page_and_no_clock() -> None:
    report = report_of(PLAN)
    said = words(draw_pages(report, ViewWish()), "title")
    assert said == f"Saltmarsh 19 run view plan {report.plan.revision} page 1 of 1"


def test_a_function_in_a_place_is_shown_with_its_lead_to_its_neighbour() -> None:
    pictures = draw_pages(report_of(PLAN), ViewWish(place="wing-left", function="flap"))
    shown = ids(pictures)
    assert {"part-flap-left", "lead-flap-left.plug"} <= shown
    assert "part-esc-left" not in shown
    assert not {i for i in shown if i.startswith("lead-esc")}
    assert "Flap y · 1" in words(pictures, "beyond-flap-left.plug")


@pytest.mark.parametrize(
    ("wish", "message"),
    [
        (ViewWish(place="wing-left", function="rudder"), "of function rudder lies in wing-left"),
        (ViewWish(view="power", place="tail"), "nothing in the power view lies in tail"),
    ],
)
def test_a_wish_for_nothing_is_refused(wish: ViewWish, message: str) -> None:
    with pytest.raises(Refusal, match=message):
        draw_pages(report_of(PLAN), wish)
