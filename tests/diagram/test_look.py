"""Leads look like what they are."""

from __future__ import annotations

import pytest
from diagram.looking import GOOD, groups, pages_of, report_of, words
from support import report_of as report_of_text

from harness.base.colours import INSULATION, to_hex
from harness.diagram import ViewWish, draw_pages
from harness.diagram.cuts import cut_of
from harness.diagram.lead_ribbons import Strander
from harness.diagram.part_words import Teller
from harness.drawing import look
from harness.drawing.ribbon import MOTOR, POWER
from harness.drawing.scene import Group, Path, Text, bounds, text_box, walk
from harness.rules.run import Report
from harness.wiring.codes import codes_of, port_codes


def strander(name: str) -> Strander:
    return strander_of(report_of(name))


def strander_of(report: Report) -> Strander:
    codes = port_codes(report.wiring)
    return Strander(report.wiring, Teller(report, codes), codes)


def strokes(group: Group) -> set[str]:
    return {i.stroke for i in walk(group.items) if isinstance(i, Path) and i.stroke}


def test_wires_have_their_insulation_colours() -> None:
    # Arduino servo documentation: ground black or brown, power red, signal white or orange.
    report = report_of_text(
        "receivers: {rx: {sockets: 2}}\n"
        "servos: {s: {class: 9g-analogue, colours: orange-red-brown, plug: rx.1}}\n"
    )
    (ribbon,) = [g for g in groups(draw_pages(report, ViewWish())) if g.id == "lead-s.plug"]
    assert {to_hex(INSULATION[code]) for code in ("OG", "RD", "BN")} <= strokes(ribbon)


def test_a_pulled_pin_is_pulled_at_its_plug() -> None:
    work = strander("saltmarsh-19")
    mate = work.wiring.by_plug["esc-left", "plug"]
    wires = work.strand(mate, ("a", "1"), ("b", "plug")).wires
    assert [(w.code, w.pulled) for w in wires] == [("WH", ""), ("RD", "tail"), ("BK", "")]


@pytest.mark.parametrize(
    ("fact", "cut"),
    [
        ("end: s, fact: dead", ["tail", "tail", "tail"]),
        ("end: s, wire: signal, fact: open", ["tail", "", ""]),
        ("end: rx.1, wire: negative, fact: open", ["", "", "tail"]),
        ("end: rx.1, fact: dead, mended: soldered", ["", "", ""]),
    ],
)
def test_a_wire_without_contact_is_drawn_cut(fact: str, cut: list[str]) -> None:
    report = report_of_text(
        "receivers: {rx: {sockets: 2}}\nservos: {s: {class: 9g-analogue, plug: rx.1}}\n"
        f"as-found: [{{{fact}}}]\n"
    )
    mate = report.wiring.by_plug["s", "plug"]
    wires = strander_of(report).strand(mate, ("a", "1"), ("b", "plug")).wires
    assert [(w.code, w.pulled) for w in wires] == list(zip(("WH", "RD", "BK"), cut, strict=True))


def test_battery_leads_are_thick_pairs_and_motor_leads_three() -> None:
    work = strander("saltmarsh-19")
    battery = work.strand(work.wiring.by_plug["esc-left", "supply"], ("a", "1"), ("b", "s"))
    assert [w.code for w in battery.wires] == ["RD", "BK"]
    assert battery.gauge is POWER
    motor = work.strand(work.wiring.by_plug["motor-left", "plug"], ("a", "1"), ("b", "s"))
    assert len(motor.wires) == 3
    assert motor.gauge is MOTOR


@pytest.mark.parametrize("name", GOOD)
def test_every_code_of_the_lead_list_stands_on_a_flag(name: str) -> None:
    pages = pages_of(name, "run")
    flags = words(pages, "flag-").split()
    assert set(flags) == set(codes_of(report_of(name).wiring).values())


def test_no_flag_stands_twice() -> None:
    flags = words(pages_of("saltmarsh-19", "run"), "flag-").split()
    assert len(flags) == len(set(flags))


def test_free_sockets_are_drawn_and_named() -> None:
    said = words(pages_of("dunlin-4", "run"), "part-rx").split()
    assert {"1", "2", "3", "4", "5", "6", "batt", "aileron", "rudder"} <= set(said)


def test_two_plugs_in_one_socket_are_two_leads_at_two_places() -> None:
    pictures = pages_of("broken/socket-used-twice", "run")
    ends = {}
    for group in groups(pictures):
        if group.id in {"lead-aileron-left.plug", "lead-aileron-right.plug"}:
            path = next(i for i in walk(group.items) if isinstance(i, Path))
            ends[group.id] = path.commands[0][1]
    assert len(set(ends.values())) == 2


def test_a_plug_without_a_socket_ends_at_words_that_say_so() -> None:
    said = words(pages_of("broken/no-such-socket", "run"), "nowhere-")
    assert said == "rx.7: no such socket"


SWAPPED = """
receivers: {rx: {sockets: 4}}
leads: {split: {kind: custom, ways: 3, plug: rx.1,
  ends: {plug: [WH, RD, BK], "1": [WH, RD, BK], "2": [WH, BK, RD], "3": [WH, RD, BK]}}}
servos: {a: {class: 9g-analogue, plug: split.1}, b: {class: 9g-analogue, plug: split.2}}
"""


def way(number: int) -> Group:
    pictures = draw_pages(report_of_text(SWAPPED), ViewWish())
    (found,) = [g for g in groups(pictures) if g.id == f"part-split/way-{number}"]
    return found


def order_at_the_end(group: Group) -> list[str]:
    """The colours of a ribbon's wires where it ends, from the top down."""
    wires = [i for i in walk(group.items) if isinstance(i, Path) and i.stroke in COLOURS]
    return [COLOURS[i.stroke or ""] for i in sorted(wires, key=lambda i: i.commands[-1][1][-1])]


COLOURS = {to_hex(INSULATION[code]): code for code in ("WH", "RD", "BK")}


def test_a_branch_with_swapped_wires_shows_them_swapped() -> None:
    # The plan names the insulation at each socket in pin order; the picture must repeat it.
    assert order_at_the_end(way(1)) == ["WH", "RD", "BK"]
    assert order_at_the_end(way(2)) == ["WH", "BK", "RD"]


def test_a_way_with_nothing_in_it_has_no_plug() -> None:
    def plugs(text: str) -> int:
        (part,) = [g for g in groups(draw_pages(report_of_text(text), ViewWish()))
                   if g.id == "part-split"]  # fmt: skip
        tabs = [i for i in walk(part.items) if isinstance(i, Path) and i.fill == look.SOFT_INK]
        return len(tabs)

    assert plugs(SWAPPED) == 2
    assert plugs(SWAPPED.replace(", b: {class: 9g-analogue, plug: split.2}", "")) == 1


@pytest.mark.parametrize("name", GOOD)
def test_the_power_view_shows_no_socket_that_nothing_feeds(name: str) -> None:
    """A box shows as many sockets and sleeves as leads of the view end at it."""
    report = report_of(name)
    cut = cut_of(report, ViewWish(view="power"))
    for group in groups(pages_of(name, "power")):
        part = report.plan.parts.get(group.id.removeprefix("part-"))
        if part is None or not (part.is_radio or part.regulates):
            continue
        metal = [i for i in walk(group.items) if isinstance(i, Path) and i.fill == look.METAL]
        bare = [i for i in walk(group.items) if isinstance(i, Path) and i.stroke == look.PALE
                and not i.fill and i.width == 0.7]  # fmt: skip
        into = {m.socket.id for m in cut.mates if m.socket and m.socket.part is part}
        assert not bare
        assert len(metal) <= 3 * len(into)


@pytest.mark.parametrize(
    ("name", "motor", "way"), [("breakwater-12", "motor", -1), ("sandbar-5", "pusher", 1)]
)
def test_propellers_point_to_the_nose_and_a_pushers_backwards(
    name: str, motor: str, way: int
) -> None:
    # The airframe is drawn nose up; a pusher has its propeller behind it (common practice).
    signs = [g for g in groups(pages_of(name, "airframe")) if g.id == f"part-{motor}"]
    assert signs
    for sign in signs:
        drawn = [item for item in sign.items if isinstance(item, Path)]  # on a panel in a case
        propeller, can = (bounds([item]) for item in drawn[-2:])
        assert ((propeller[1] + propeller[3]) - (can[1] + can[3])) * way > 0


@pytest.mark.parametrize("name", GOOD)
def test_every_tint_has_the_name_of_its_place_on_it(name: str) -> None:
    for picture in pages_of(name, "run"):
        places = [g for g in groups([picture]) if g.id.startswith("place-")]
        texts = [i for i in walk(picture.scene.items) if isinstance(i, Text) and i.text.isupper()]
        for place in places:
            named = [text_box(i) for i in texts if place.title.upper().startswith(i.text[:4])]
            for tint in place.items:
                left, top, right, low = bounds([tint])
                on_it = [b for b in named if left <= b[0] and b[2] <= right + 0.5
                         and top <= b[1] and b[3] <= low]  # fmt: skip
                assert on_it, (place.title, tint)
