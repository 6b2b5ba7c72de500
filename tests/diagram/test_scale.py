"""The airframe to scale: distances on the paper are those of the plan, 1 to the scale printed.

A point is 1/72 in, an inch 25.4 mm.
"""

from __future__ import annotations

import math
import re

import pytest
from diagram.looking import EXAMPLES, GOOD, groups, ids, pages_of, words
from diagram.looking import report_of as report_from_file
from drawing.audit import clipped_texts, overlapping_texts, smallest_text
from support import report_of as report_from

from harness.diagram import DrawnPage, ViewWish, draw_pages, render
from harness.diagram.page import TitleWords
from harness.diagram.page_setting import PageSetting
from harness.diagram.printing import LARGEST, MARGIN, inner_page
from harness.diagram.scale_frame import frame_of
from harness.diagram.scale_page import has_room
from harness.diagram.stages import Extract
from harness.drawing.scene import Group, Path, bounds, page_scale

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
    rx, rudder, aileron = (middle(page, f"there-{n}") for n in ("rx", "rudder", "aileron"))
    assert rudder == pytest.approx((rx[0], rx[1] + 500 * each), abs=0.01)
    assert aileron == pytest.approx((rx[0] - 600 * each, rx[1] + 80 * each), abs=0.01)


@pytest.mark.parametrize(
    ("place", "wide", "long"), [("body", 100, 300), ("tail", 60, 100), ("wing", 700, 200)]
)
def test_places_have_their_true_size(place: str, wide: float, long: float) -> None:
    page = first(PLAN)
    each = POINTS / scale_of(page)
    left, top, right, low = box(page, f"bay-{place}")
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
    """Aileron to receiver: sqrt(600^2 + 80^2) = 605.3 mm; the lowest ribbon's ends tell."""
    page = first(PLAN)
    (lead,) = [g for g in groups([page]) if g.id == "lead-aileron.plug"]
    casing = next(item for item in lead.items if isinstance(item, Path))
    start, end = casing.commands[0][1], casing.commands[-1][1][-2:]
    drawn = math.dist(start, end) / POINTS * scale_of(page)
    assert drawn == pytest.approx(math.hypot(600, 80), abs=0.1)
    assert "605 mm to RX" in words([page], "told-aileron")


def test_runs_that_share_a_stretch_lie_side_by_side() -> None:
    text = PLAN.replace("rudder: {place: tail,", "rudder: {place: tail, at: 900 mm,")
    text += "  more: {kind: extension, plug: rx.3, length: 700 mm}\n"
    text = text.replace("leads:", "  twin: {like: rudder, plug: rx.4}\nleads:")
    page = first(text)
    one, other = (middle(page, f"lead-{n}.plug") for n in ("rudder", "twin"))
    assert abs(one[0] - other[0]) > 3


@pytest.mark.parametrize("name", STATED)
def test_every_part_and_run_of_the_examples_is_there(name: str) -> None:
    page, report = pages_of(name, "airframe")[0], report_from_file(name)
    shown = ids([page])
    devices = {m.plug.part.id for m in report.wiring.mates} - {
        part.id for part in report.plan.parts.values() if _is_lead(part)
    }
    assert {f"there-{name}" for name in devices} <= shown
    runs = {
        f"lead-{m.plug.part.id}.{m.plug.name}"
        for m in report.wiring.mates
        if not _is_lead(m.plug.part)
    }
    assert runs <= shown
    assert {f"bay-{place}" for place in report.plan.places} <= shown


def _is_lead(part: object) -> bool:
    words_ = {"lead", "wing plug", "switch", "diode", "power lead", "fuse"}
    return getattr(part, "word", "") in words_


@pytest.mark.parametrize("name", STATED)
def test_words_are_clear_of_one_another_and_of_signs(name: str) -> None:
    page = pages_of(name, "airframe")[0]
    assert overlapping_texts(page.scene) == []
    assert clipped_texts(page.scene) == []
    assert smallest_text(page.scene) >= 6.6  # 16' at 500 mm, NUREG-0700
    signs = [bounds(g.items) for g in groups([page]) if g.id.startswith("there-")]
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
def test_when_something_is_not_known_the_view_stays_as_it_was(lost: str) -> None:
    assert lost in PLAN
    pages = draw_pages(report_from(PLAN.replace(lost, "")), ViewWish(view="airframe"))
    assert [page.name for page in pages] == ["airframe"]
    assert "to scale" not in words(pages)


def test_pages_are_numbered_through_and_stubs_point_to_them() -> None:
    pages = pages_of("saltmarsh-19", "airframe")
    assert [page.name for page in pages] == [f"airframe-page-{n}" for n in (1, 2, 3, 4)]
    assert "page 3" in words(pages[1:2])
    assert "page 2" in words(pages[2:3])


def test_one_function_to_scale_shows_only_its_runs() -> None:
    page = draw_pages(report_from_file("saltmarsh-19"), ViewWish(view="airframe", function="flap"))[
        0
    ]
    leads = {i for i in ids([page]) if i.startswith("lead-")}
    assert leads == {"lead-flap-left.plug", "lead-flap-right.plug"}


def test_currents_are_on_the_other_pages_only() -> None:
    pages = draw_pages(report_from_file("marram-26"), ViewWish(view="airframe", case="cruise"))
    assert "to scale" not in words(pages)


def crowd(count: int) -> str:
    more = "".join(f"  s{n}: {{place: body, at: {300 + n} mm}}\n" for n in range(count))
    return PLAN.replace("servos:\n", "servos:\n" + more).replace("wide: 100 mm", "wide: 900 mm")


def test_a_crowd_whose_words_find_no_room_is_not_shown_to_scale() -> None:
    """60 labels of about 20 by 60 points cover more than 280 by 250 points."""
    report = report_from(crowd(60))
    setting, cut = (
        PageSetting(report),
        Extract(tuple(report.plan.parts), tuple(report.wiring.mates)),
    )
    heading = TitleWords("Test", "airframe view", "0", "page 1 of 1")
    small, page = (frame_of(setting, cut, size) for size in ((280.0, 250.0), inner_page("A4")))
    assert small is not None
    assert page is not None
    assert not has_room(setting, small, heading)
    assert has_room(setting, page, heading)


def test_hundreds_of_parts_are_not_even_tried() -> None:
    report = report_from(crowd(300))
    cut = Extract(tuple(report.plan.parts), tuple(report.wiring.mates))
    assert frame_of(PageSetting(report), cut, inner_page("A4")) is None


def test_an_aeroplane_too_large_for_the_paper_is_not_shown_to_scale() -> None:
    pages = draw_pages(report_from(PLAN.replace("900 mm, long", "900 m, long")),
                       ViewWish(view="airframe"))  # fmt: skip
    assert "to scale" not in words(pages)


def test_the_svg_names_its_page_and_the_ids_are_unique() -> None:
    data = render([first(PLAN)], "svg")
    (svg,) = data.values()
    found = re.findall(rb' id="([^"]+)"', svg)
    assert len(found) == len(set(found))
    assert isinstance(first(PLAN).scene.items[1], Group)
