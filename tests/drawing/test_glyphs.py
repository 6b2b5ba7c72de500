"""Part pictures against IEC 60617, WCAG 2, MIL-STD-130 and the palette of Okabe and Ito."""

import itertools

import pytest
from PIL import ImageFont

from harness.base.colours import OKABE_ITO, from_hex
from harness.drawing import glyphs_control as c
from harness.drawing import glyphs_power as p
from harness.drawing import look
from harness.drawing.font import font_path
from harness.drawing.glyph import Tag, flipped
from harness.drawing.layout_model import Rect
from harness.drawing.marks import Remark, flag, legend, marker_shape, title_block, zone
from harness.drawing.ribbon import CONTROL, POWER, ribbon_width, set_lanes
from harness.drawing.scene import Group, Path, Text, bounds, walk

TAG = Tag("x", "Flap right", ("17 g digital",))
SOCKETS = [c.Socket("1", "aileron"), c.Socket("2", used=False), c.Socket("3", "throttle")]
PICTURES = {
    "receiver": c.box(TAG, "receiver", right=SOCKETS),
    "sequencer": c.box(TAG, "sequencer", left=SOCKETS[:1], right=SOCKETS[1:]),
    "servo": c.servo(TAG),
    "servo-turned": flipped(c.servo(TAG, shaft="right")),
    "junction": c.junction(TAG, ways=3, where="below"),
    "joint": c.joint(TAG),
    "reverser": c.reverser(TAG),
    "sensor": c.sensor(TAG),
    "retract": c.retract(TAG, motor_only=True),
    "light": c.load(TAG, "light"),
    "load": c.load(TAG),
    "data-radio": c.load(TAG, "radio"),
    "wing-plug": p.root_plug(TAG, [("1", "1 2 3"), ("2", "4 5 6")]),
    "esc": p.esc(TAG),
    "motor": p.motor(TAG),
    "motor-below": p.motor(TAG, where="below"),
    "junction-swapped": c.junction(TAG, lanes=[(0, 1, 2), (0, 2, None)], free=[1]),
    "pack": p.pack(TAG, cells="6S", capacity="5 Ah"),
    "pack-turned": p.pack(TAG, cells="6S", capacity="5 Ah", mirror=True),
    "fuse": p.fuse(TAG),
    "switch": p.switch(TAG),
    "diode": p.diodes(TAG),
    "capacitor": p.capacitor(TAG),
    "parallel": p.shared(TAG, ["in-1"], ["1", "2"]),
    "series": p.series(TAG, ["in-1", "in-2"], ["1"]),
    "jumper": p.jumper(TAG, ["plug"]),
    "connector": p.connector(TAG),
    "arming-plug": p.arming_plug(TAG),
    "flag": flag("f", "AIL-L", side="left"),
}


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_stays_in_its_box_and_so_do_its_places(name: str) -> None:
    glyph = PICTURES[name]
    left, top, right, low = bounds([glyph.group])
    assert left >= -0.01
    assert top >= -0.01
    assert right <= glyph.width + 0.01
    assert low <= glyph.height + 0.01
    assert glyph.places
    for place in glyph.places.values():
        assert -0.01 <= place.x <= glyph.width + 0.01
        assert -0.01 <= place.y <= glyph.height + 0.01


@pytest.mark.parametrize("name", PICTURES)
def test_no_text_is_smaller_than_two_millimetres(name: str) -> None:
    """Capitals at least 2.0 mm high (MIL-STD-130 summary), measured by FreeType."""
    for item in walk([PICTURES[name].group]):
        if isinstance(item, Text):
            face = ImageFont.truetype(str(font_path(item.weight)), 1000)
            _, top, _, low = face.getbbox("H", anchor="ls")
            assert (low - top) / 1000 * item.size * 25.4 / 72 >= 2.0


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_moves_as_one(name: str) -> None:
    glyph = PICTURES[name]
    before, after = bounds([glyph.group]), bounds([glyph.at(30, 7)])
    assert after == pytest.approx([b + d for b, d in zip(before, (30, 7, 30, 7), strict=True)])


def test_battery_has_two_pairs_and_plus_at_the_long_line() -> None:
    """IEC 60617: long and short lines in turn, at most two pairs, plus beside the long one."""
    upright = []
    for item in p.battery_symbol(0, 0):
        (_, (x0, y0)), (_, (x1, y1)) = item.commands
        if x0 == x1 and abs(y1 - y0) > 5:
            upright.append((x0, abs(y1 - y0)))
    lengths = [size for _, size in sorted(upright)]
    assert len(lengths) == 4
    assert lengths[0] > lengths[1]
    assert lengths[2] > lengths[3]
    assert lengths[0] == lengths[2]
    plus = [i for i in p.battery_symbol(0, 0) if max(v[1] for _, v in i.commands) < -4]
    assert len(plus) == 2
    assert all(v[0] < min(upright)[0] for i in plus for _, v in i.commands)


def test_motor_is_an_m_in_a_circle() -> None:
    texts = [i.text for i in walk([p.motor(Tag("m", "")).group]) if isinstance(i, Text)]
    assert texts == ["M"]


def test_the_conductor_goes_through_the_fuse() -> None:
    shape, line = p.fuse(Tag("f", "")).group.items
    left, top, right, low = bounds([shape])
    x0, y0, x1, y1 = bounds([line])
    assert x0 < left < right < x1
    assert top < y0 == y1 < low


@pytest.mark.parametrize("ways", [2, 3, 5])
def test_a_junction_has_a_place_for_each_way(ways: int) -> None:
    assert set(c.junction(TAG, ways=ways).places) == {"plug", *map(str, range(1, ways + 1))}


def trunk_and_arms(split: str, ways: int = 2) -> tuple[float, list[tuple[float, float]]]:
    """How far the common wires of a Y reach from its plug, and where each arm begins."""
    drawn = c.junction(TAG, ways=ways, split=split)
    groups = {g.id: bounds(g.items) for g in walk([drawn.group]) if isinstance(g, Group)}
    trunk = groups.get("x/trunk", (0.0, 0.0, 0.0, 0.0))
    return trunk[2], [groups[f"x/way-{n}"][:2] for n in range(1, ways + 1)]


def test_a_y_lead_forks_where_it_splits() -> None:
    """At its end the common wires reach most of the way; at its plug there are none at all."""
    unsaid, end, plug = (trunk_and_arms(split) for split in ("", "end", "plug"))
    assert end[0] > unsaid[0] + 8
    assert plug[0] == 0
    for reach, arms in (unsaid, end):
        assert all(abs(x - reach) < 2 for x, _ in arms)
    for ways in (2, 3):
        _, arms = trunk_and_arms("plug", ways)
        assert all(x < 1 for x, _ in arms)


def test_as_many_sets_of_wires_come_in_as_arms_go_out() -> None:
    """A ribbon of two sets ends where the arms of the picture begin, side by side, not touching."""
    for gauge, wires in ((CONTROL, 3), (POWER, 2)):
        one, both = (ribbon_width(wires, gauge, sets) for sets in (1, 2))
        low, high = set_lanes(2, wires, gauge)
        assert high - low > one
        assert both == pytest.approx(high - low + one)


def test_a_free_socket_is_pale_and_has_no_plug() -> None:
    used, free = (
        c.box(TAG, "receiver", right=[c.Socket("1")]),
        c.box(TAG, "receiver", right=[c.Socket("1", used=False)]),
    )
    assert used.places["1"].x > free.places["1"].x
    strokes = {i.stroke for i in walk([free.group]) if isinstance(i, Path)}
    assert look.PALE in strokes
    fills = [i.fill for i in walk([free.group]) if isinstance(i, Path)]
    assert look.METAL not in fills


def test_sockets_come_one_below_the_other_in_order() -> None:
    heights = [c.box(TAG, "receiver", right=SOCKETS).places[s.id].y for s in SOCKETS]
    assert heights == sorted(heights)
    assert min(b - a for a, b in itertools.pairwise(heights)) > 12


def luminance(color: str) -> float:
    """WCAG 2.x, written out here again so that the check is its own."""
    parts = [c / 255 for c in from_hex(color)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(a: str, b: str) -> float:
    low, high = sorted((luminance(a), luminance(b)))
    return (high + 0.05) / (low + 0.05)


SEVERITIES = ("danger", "error", "warning", "note")


@pytest.mark.parametrize("severity", SEVERITIES)
def test_a_markers_number_can_be_read(severity: str) -> None:
    fill, ink = look.severity_colours(severity)
    assert contrast(fill, ink) >= 4.5  # WCAG 2.x AA, text
    assert from_hex(fill) in OKABE_ITO.values()


def test_severities_differ_in_shape_and_in_colour() -> None:
    assert len({marker_shape(s, 7.5) for s in SEVERITIES}) == 4
    assert len({look.severity_colours(s) for s in SEVERITIES}) == 4


@pytest.mark.parametrize("ground", [look.BODY, look.PAPER, look.WRAP, look.BOARD])
def test_names_and_details_can_be_read(ground: str) -> None:
    assert contrast(look.INK, ground) >= 4.5
    assert contrast(look.SOFT_INK, ground) >= 4.5


@pytest.mark.parametrize("tint", range(8))
def test_a_zones_heading_can_be_read(tint: int) -> None:
    (shape,) = zone("z", Rect(0, 0, 90, 40), "Nose", tint).items
    assert contrast(shape.fill, look.SOFT_INK) >= 4.5  # the ink of places' names


def test_legend_repeats_every_number_and_word() -> None:
    remarks = [Remark(1, "danger", "two packs meet " * 9), Remark(2, "note", "short")]
    group, height = legend("l", remarks, 180)
    texts = [i for i in walk([group]) if isinstance(i, Text)]
    words = " ".join(t.text for t in texts)
    assert words.split() == ["1", *remarks[0].text.split(), "2", "short"]
    assert max(t.left + t.width for t in texts) <= 180
    assert bounds([group])[3] <= height


def test_title_block_holds_its_words() -> None:
    group, wide, high = title_block("t", "Saltmarsh 19", "run", "5f0c2e91", "page 1 of 4")
    left, top, right, low = bounds([group])
    assert (left, top, right, low) == pytest.approx((0, 0, wide, high))


def _strokes(name: str) -> list[Path]:
    return [i for i in walk([PICTURES[name].group]) if isinstance(i, Path) and not i.fill]


def test_an_arming_plug_is_a_bar_across_two_contacts_and_no_padlock() -> None:
    """IEC 60617 (from memory): a removable link is a bar between two contacts in the line.

    A padlock is a curved shackle on a body: nothing open may be bent.
    """
    assert all(name != "C" for line in _strokes("arming-plug") for name, _ in line.commands)
    shapes = [i for i in walk([PICTURES["arming-plug"].group]) if isinstance(i, Path)]
    (bar,) = [bounds([i]) for i in shapes if i.fill == look.ARMED]
    places = PICTURES["arming-plug"].places
    contacts = [bounds([i]) for i in shapes if i.fill == look.PAPER][1:]
    assert len(contacts) == 2
    for left, top, right, low in contacts:
        assert bar[0] < left < right < bar[2]
        assert bar[3] < top
        assert (top + low) / 2 == pytest.approx(places["left"].y)
    assert places["left"].y == places["right"].y


def test_only_a_light_is_a_crossed_circle() -> None:
    # IEC 60617, lamp: a circle with a cross in it. A camera, a pump, a radio is none.
    def crosses(name: str) -> bool:
        ways = [line.commands[-1][1][-1] - line.commands[0][1][1] for line in _strokes(name)
                if len(line.commands) == 2]  # fmt: skip
        return any(a > 0 > b for a in ways for b in ways)

    assert crosses("light")
    assert not crosses("load")
    assert not crosses("data-radio")
