"""The airframe to scale: distances on the paper are those of the plan, 1 to the scale printed.

A point is 1/72 in, an inch 25.4 mm.
"""

from __future__ import annotations

import math
import re
from itertools import pairwise

import pytest
from diagram.looking import EXAMPLES, GOOD, groups, ids, pages_of, words
from diagram.looking import report_of as report_from_file
from drawing.audit import clipped_texts, overlapping_texts, smallest_text
from kept import drawing, path_of
from support import report_of as report_from

from harness.diagram import DrawnPage, ViewWish, draw_pages, render
from harness.diagram.from_above import Aeroplane
from harness.diagram.printing import LARGEST, MARGIN
from harness.drawing.scene import Group, Path, bounds, page_scale
from harness.wiring.codes import port_codes

POINTS = 72 / 25.4
STATED = [name for name in GOOD if "at:" in (EXAMPLES / f"{name}.yaml").read_text("utf-8")]

PLAN = """
places:
  body: {at: 400 mm, long: 300 mm, wide: 100 mm}
  tail: {in: body, at: 900 mm, long: 100 mm, wide: 60 mm}
  wing: {joins: body, side: left, at: {aft: 400 mm, out: 450 mm}, long: 200 mm, wide: 700 mm}
receivers: {rx: {sockets: 6, place: body}}
servos:
  aileron: {place: wing, at: {aft: 480 mm, out: 600 mm}, length: 250 mm, plug: ext.1}
  rudder: {place: tail, length: 900 mm, plug: rx.2}
leads:
  ext: {kind: extension, plug: rx.1, length: 600 mm}
"""


def first(text: str, **wish: str) -> DrawnPage:
    return draw_pages(report_from(text), ViewWish(view="airframe", **wish))[0]  # type: ignore[arg-type]


def scale_of(picture: DrawnPage) -> float:
    found = re.search(r"to scale 1:([0-9.]+) on A4", words([picture], "title"))
    assert found
    return float(found[1])


def box(picture: DrawnPage, ident: str) -> tuple[float, float, float, float]:
    (group,) = [g for g in groups([picture]) if g.id == ident]
    return bounds(group.items)


def middle(picture: DrawnPage, ident: str) -> tuple[float, float]:
    left, top, right, low = box(picture, ident)
    return (left + right) / 2, (top + low) / 2


def test_positions_are_to_scale() -> None:
    """Receiver at 400, rudder at 900: 500 mm straight aft. The aileron 600 left, 80 aft."""
    page = first(PLAN)
    each = POINTS / scale_of(page)
    rx, rudder, aileron = (middle(page, f"part-{n}") for n in ("rx", "rudder", "aileron"))
    assert rudder == pytest.approx((rx[0], rx[1] + 500 * each), abs=0.01)
    assert aileron == pytest.approx((rx[0] - 600 * each, rx[1] + 80 * each), abs=0.01)


@pytest.mark.parametrize(
    ("place", "wide", "long"), [("body", 100, 300), ("tail", 60, 100), ("wing", 700, 200)]
)
def test_places_have_their_true_size(place: str, wide: float, long: float) -> None:
    page = first(PLAN)
    each = POINTS / scale_of(page)
    left, top, right, low = box(page, f"place-{place}")
    assert (right - left, low - top) == pytest.approx((wide * each, long * each), abs=0.01)


def test_the_scale_bar_is_as_long_as_it_says() -> None:
    page = first(PLAN)
    found = re.search(r"([0-9]+) mm", words([page], "scale-bar"))
    assert found
    (bar,) = [g for g in groups([page]) if g.id == "scale-bar"]
    left, _, right, _ = bounds([item for item in bar.items if isinstance(item, Path)])
    assert right - left == pytest.approx(int(found[1]) * POINTS / scale_of(page), abs=0.01)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", STATED)
def test_the_paper_shows_it_at_that_scale(name: str, paper: str) -> None:
    """What is printed is neither blown up nor shrunk, on either paper."""
    page = pages_of(name, "airframe", paper)[0]
    assert page_scale(page.scene, paper, MARGIN, LARGEST) == pytest.approx(1.0)  # type: ignore[arg-type]
    assert f"on {paper}" in words([page], "title")


def test_a_run_is_as_long_as_its_way() -> None:
    """Aileron to receiver: sqrt(600^2 + 80^2) = 605.3 mm, in two leads between the signs."""
    page = first(PLAN)
    total = 0.0
    for name in ("lead-aileron.plug", "lead-ext.plug"):
        (lead,) = [g for g in groups([page]) if g.id == name]
        casing = next(item for item in lead.items if isinstance(item, Path))
        start, end = casing.commands[0][1], casing.commands[-1][1][-2:]
        total += math.dist(start, end) / POINTS * scale_of(page)
    assert 0.9 * math.hypot(600, 80) < total <= 1.02 * math.hypot(600, 80)
    assert "605 mm to RX" in words([page], "told-aileron")


def test_runs_that_share_a_stretch_lie_side_by_side() -> None:
    text = PLAN.replace("rudder: {place: tail,", "rudder: {place: tail, at: 900 mm,")
    text += "  more: {kind: extension, plug: rx.3, length: 700 mm}\n"
    text = text.replace("leads:", "  twin: {like: rudder, plug: rx.4}\nleads:")
    page = first(text)
    one, other = (middle(page, f"lead-{n}.plug") for n in ("rudder", "twin"))
    assert abs(one[0] - other[0]) > 3


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", GOOD)
def test_every_part_and_lead_is_on_the_first_page_once(name: str, paper: str) -> None:
    page, report = pages_of(name, "airframe", paper)[0], report_from_file(name)
    drawn = [g.id for g in groups([page])]
    wanted = [f"part-{part}" for part in report.plan.parts]
    wanted += [f"lead-{'.'.join(mate.plug.id)}" for mate in report.wiring.mates]
    wanted += [f"place-{place}" for place in report.plan.places]
    assert {name: drawn.count(name) for name in wanted} == dict.fromkeys(wanted, 1)


@pytest.mark.parametrize("name", STATED)
def test_words_are_clear_of_one_another_and_of_signs(name: str) -> None:
    page = pages_of(name, "airframe")[0]
    assert overlapping_texts(page.scene) == []
    assert clipped_texts(page.scene) == []
    assert smallest_text(page.scene) >= 6.6  # 16' at 500 mm, NUREG-0700
    signs = [bounds(g.items) for g in groups([page]) if g.id.startswith("part-")]
    labels = [g for g in groups([page]) if g.id.startswith("told-")]
    boxes = [bounds([i for i in g.items if not isinstance(i, Path)]) for g in labels]
    hits = [(a, b) for a in boxes for b in signs if _meet(a, b)]
    assert hits == []


def _meet(a: tuple[float, ...], b: tuple[float, ...]) -> bool:
    return a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3]


@pytest.mark.parametrize(
    "lost",
    [
        ", long: 200 mm, wide: 700 mm",  # a wing without a size
        "at: 900 mm, ",  # a tail without a position
    ],
)
def test_what_is_not_known_is_drawn_by_rule_and_said(lost: str) -> None:
    assert lost in PLAN
    pages = draw_pages(report_from(PLAN.replace(lost, "")), ViewWish(view="airframe"))
    assert "positions not stated: not to scale" in words(pages, "title")
    assert "1:" not in words(pages, "title")
    assert {"part-rx", "lead-aileron.plug", "lead-ext.plug"} <= ids(pages)


def test_pages_are_numbered_through_and_stubs_point_to_them() -> None:
    pages = pages_of("saltmarsh-19", "airframe")
    assert [page.name for page in pages] == [f"airframe-page-{n}" for n in (1, 2, 3, 4)]
    assert [page.title.rpartition(", ")[2] for page in pages] == [
        "airframe view", "left wing", "right wing", "fuselage"]  # fmt: skip
    assert "ESC left ESC-L · page 2" in words(pages[3:], "beyond-esc-left.plug")
    assert "page 4" in words(pages[1:2], "beyond-esc-left.plug")


@pytest.mark.parametrize("name", GOOD)
def test_on_every_page_each_lead_is_named(name: str) -> None:
    """By its code on it, on its stub, or, where a panel's page tells it, there."""
    report, pages = report_from_file(name), pages_of(name, "airframe")
    told = words(pages)
    for mate in report.wiring.mates:
        code = port_codes(report.wiring)[mate.plug.id]
        assert f"flag-{'.'.join(mate.plug.id)}" in ids(pages) or f"{code} · page" in told, code


@pytest.mark.parametrize("name", ["saltmarsh-19", "phalarope-14", "sandbar-5"])
def test_a_place_has_its_panel(name: str) -> None:
    (page,) = draw_pages(report_from_file(name), ViewWish(view="airframe", place="wing-left"))
    plan = report_from_file(name).plan
    inside = {f"part-{p.id}" for p in plan.parts.values() if "wing-left" in plan.holds(p.place)}
    assert {i for i in ids([page]) if i.startswith("part-")} == inside


@pytest.mark.parametrize("name", GOOD)
def test_left_and_right_are_mirror_images(name: str) -> None:
    """What stands in the wings, part by part, as far from the centre line on either side."""
    plane = plane_of(name)
    pairs = [(p, p.replace("left", "right")) for p in plane.parts
             if "left" in p and plane.region[p] == "left"]  # fmt: skip
    for one, other in pairs:
        if other in plane.parts:
            (x, y), mirrored = plane.parts[one], plane.parts[other]
            assert mirrored == pytest.approx((-x, y), abs=0.01), one


def plane_of(name: str) -> Aeroplane:
    return drawing(path_of(name), "airframe")[0].above.plane


NOMINAL = """
receivers: {rx: {sockets: 6}}
servos:
  aileron-left: {class: 9g-analogue, moves: aileron, plug: rx.1}
  aileron-right: {class: 9g-analogue, moves: aileron, plug: rx.5}
  flap-left: {class: 9g-analogue, moves: flap, plug: rx.6}
  flap-right: {class: 9g-analogue, moves: flap, plug: rx.6}
  rudder: {class: 9g-analogue, moves: rudder, plug: rx.4}
  elevator-left: {class: 9g-analogue, moves: elevator, plug: rx.2}
escs: {esc: {rated: 30 A, plug: rx.3, supply: pack}}
motors: {motor: {full-throttle: 18 A, plug: esc}}
packs: {pack: {chemistry: lipo, cells: 3}}
"""


def test_without_positions_parts_stand_where_an_aeroplane_has_them() -> None:
    """Ailerons outboard of flaps, tail behind, motor ahead: common practice, no source."""
    page = first(NOMINAL)
    at = {g.id[5:]: middle(page, g.id) for g in groups([page]) if g.id.startswith("part-")}
    axis = at["motor"][0]
    assert at["aileron-left"][0] < at["flap-left"][0] < axis
    assert at["aileron-right"][0] > at["flap-right"][0] > axis
    assert at["motor"][1] < at["aileron-left"][1] < at["rudder"][1]
    assert at["motor"][1] < at["pack"][1] < at["rudder"][1]
    assert at["elevator-left"][0] < at["rudder"][0] == pytest.approx(axis, abs=0.1)


@pytest.mark.parametrize("name", GOOD)
def test_nothing_lies_outside_the_outline(name: str) -> None:
    """Every spot of a lead is in one of the shapes of the outline, at most its edge beside it."""
    page = pages_of(name, "airframe")[0]
    (outline,) = [g for g in groups([page]) if g.id == "outline"]
    shapes = [corners(path) for path in outline.items if isinstance(path, Path)]
    for group in groups([page]):
        if not group.id.startswith("lead-"):
            continue
        casing = next(item for item in group.items if isinstance(item, Path))
        points = [xy[-2:] for name, xy in casing.commands if xy]
        for a, b in pairwise(points):
            for n in range(11):
                spot = (a[0] + (b[0] - a[0]) * n / 10, a[1] + (b[1] - a[1]) * n / 10)
                near = [(spot[0] + dx, spot[1] + dy) for dx in (-4, 0, 4) for dy in (-4, 0, 4)]
                assert any(holds(shape, p) for shape in shapes for p in near), (group.id, spot)


def corners(path: Path) -> list[tuple[float, float]]:
    return [(xy[-2], xy[-1]) for _, xy in path.commands if xy]


def holds(shape: list[tuple[float, float]], at: tuple[float, float]) -> bool:
    """Even-odd rule: a ray to the right meets the edge an odd number of times."""
    inside = False
    for (x0, y0), (x1, y1) in pairwise([*shape, shape[0]]):
        if (y0 > at[1]) != (y1 > at[1]):
            inside ^= at[0] < x0 + (at[1] - y0) * (x1 - x0) / (y1 - y0)
    return inside


ONE_PIECE = """
places: {body: {at: 400 mm, long: 600 mm, wide: 90 mm},
  wing: {joins: body, at: 420 mm, long: 200 mm, wide: 1400 mm}}
receivers: {rx: {sockets: 2, place: body}}
servos: {aileron-left: {place: wing, at: {aft: 480 mm, out: 500 mm}, plug: rx.1}}
"""


@pytest.mark.parametrize("text", [ONE_PIECE, ONE_PIECE.replace("at: 420 mm, ", "")])
def test_a_wing_in_one_piece_has_an_outline(text: str) -> None:
    page = first(text)
    assert box(page, "outline")[2] - box(page, "outline")[0] > 3 * 90 * POINTS / 10
    aileron, outline = box(page, "part-aileron-left"), box(page, "outline")
    assert outline[0] < aileron[0] < (outline[0] + outline[2]) / 2


def test_one_function_shows_only_its_leads() -> None:
    page = draw_pages(report_from_file("saltmarsh-19"), ViewWish(view="airframe", function="flap"))[
        0
    ]
    leads = {i for i in ids([page]) if i.startswith("lead-")}
    assert leads == {"lead-flap-left.plug", "lead-flap-right.plug", "lead-flap-y.plug"}


def test_currents_are_on_the_leads() -> None:
    pages = draw_pages(report_from_file("marram-26"), ViewWish(view="airframe", case="cruise"))
    assert "to scale 1:" in words(pages, "title")
    assert {"band-esc.supply", "current-esc.supply", "scale"} <= ids(pages)


def crowd(count: int) -> str:
    more = "".join(f"  s{n}: {{place: body, at: {300 + n} mm}}\n" for n in range(count))
    return PLAN.replace("servos:\n", "servos:\n" + more).replace("wide: 100 mm", "wide: 900 mm")


def test_a_crowd_is_told_on_pages_of_its_own() -> None:
    """Names of 30 parts in a row of 30 mm find no room beside one another."""
    pages = draw_pages(report_from(crowd(30)), ViewWish(view="airframe"))
    assert len(pages) > 1
    assert {f"S{n}" for n in range(30)} <= set(words(pages[1:]).split())
    for page in pages:
        assert overlapping_texts(page.scene) == []


def test_the_svg_names_its_page_and_the_ids_are_unique() -> None:
    data = render([first(PLAN)], "svg")
    (svg,) = data.values()
    found = re.findall(rb' id="([^"]+)"', svg)
    assert len(found) == len(set(found))
    assert isinstance(first(PLAN).scene.items[1], Group)


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", ["saltmarsh-19", "sandbar-5", "breakwater-12", "phalarope-14"])
def test_on_the_fuselage_page_what_goes_to_a_wing_ends_on_its_side(name: str, paper: str) -> None:
    """Spread out, but seen from above: a lead to the left wing ends left of the part it is at."""
    press, _ = drawing(path_of(name), "airframe", paper)
    sheet, laid = list(press.above.spread.values())[-1]
    region, seen = press.above.plane.region, set[str]()
    for lead in sheet.strands:
        ends = {end: sheet.pieces[end].part for end, _ in (lead.tail, lead.head)}
        for end in (e for e in ends if e.startswith("beyond-")):
            (near,) = set(ends) - {end}
            gone = laid.nodes[end].rect.center[0] - laid.nodes[near].rect.center[0]
            side = region[ends[end]]
            seen.add(side)
            assert gone * {"left": -1, "right": 1}.get(side, 0) >= 0, (lead.id, side)
    assert {"left", "right"} <= seen
