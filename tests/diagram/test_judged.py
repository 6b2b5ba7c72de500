"""What someone who did not draw the pictures frowned at, kept from coming back."""

from __future__ import annotations

import pytest
from diagram.looking import GOOD, groups, ids, pages_of, report_of, words
from support import report_of as report_of_text

from harness.diagram import ViewWish, draw_pages
from harness.diagram.draw import Press
from harness.diagram.heights import HeightRange, straightened
from harness.diagram.lead_codes import ASIDE, CodeWriter
from harness.drawing.bezier import curves, point_at
from harness.drawing.scene import Group, Path, Text, bounds, text_box, walk


@pytest.mark.parametrize("name", GOOD)
def test_the_control_view_shows_no_part_all_of_whose_leads_are_elsewhere(name: str) -> None:
    shown, wiring = ids(pages_of(name, "control")), report_of(name).wiring
    ends: dict[str, list[str]] = {}
    for mate in wiring.mates:
        for end in filter(None, (mate.plug, mate.socket)):
            ends.setdefault(end.part.id, []).append(f"lead-{'.'.join(mate.plug.id)}")
    for part, leads in ends.items():
        assert f"part-{part}" not in shown or shown & set(leads), part


def test_the_control_view_shows_free_sockets_but_no_plug_without_its_lead() -> None:
    told = words(pages_of("saltmarsh-19", "control"), "part-rx").split()
    assert "8" in told
    assert not {"batt-1", "batt-2"} & set(told)


@pytest.mark.parametrize("order", ["plug: rx.6, second-plug: tail.batt",
                                   "plug: tail.batt, second-plug: rx.6"])  # fmt: skip
def test_a_lead_with_two_plugs_runs_from_what_gives_to_what_is_fed(order: str) -> None:
    report = report_of_text(
        "receivers: {rx: {sockets: 6, supply-sockets: 1}, tail: {sockets: 2, supply-sockets: 1}}\n"
        f"leads: {{to-tail: {{kind: two-plug, {order}, wire: 22 AWG, length: 300 mm}}}}\n"
    )
    press = Press(report, ViewWish())
    press.pages()
    ((_, laid),) = press.drawn.values()
    rx, lead, tail = (laid.nodes[f"part-{n}"].rect.center[0] for n in ("rx", "to-tail", "tail"))
    assert rx < lead < tail


@pytest.mark.parametrize("view", ["run", "control", "power"])
@pytest.mark.parametrize("name", GOOD)
def test_no_splinter_of_a_lead_shows_between_its_code_and_one_that_crosses(
    name: str, view: str
) -> None:
    press = Press(report_of(name), ViewWish(view))  # type: ignore[arg-type]
    press.pages()
    for sheet, laid in press.drawn.values():
        for code in CodeWriter(sheet, laid).codes():
            for left, top, right, low in (bounds([i]) for i in code.items if isinstance(i, Path)):
                wide = (ASIDE - 1, 0) if right - left > low - top else (0, ASIDE - 1)
                for other in (s for s in sheet.strands if s.id[5:] != code.id[5:]):
                    half = other.breadth / 2
                    for curve in curves(laid.edges[other.id]):
                        for x, y in (point_at(curve, k / 20) for k in range(21)):
                            out = max(left - wide[0] - x, x - right - wide[0],
                                      top - wide[1] - y, y - low - wide[1])  # fmt: skip
                            assert out > half - 0.5, (code.id, other.id)


def test_a_pulled_pin_is_told_in_words_also_where_its_socket_is_on_another_page() -> None:
    pages = draw_pages(report_of("saltmarsh-19"), ViewWish(place="wing-left"))
    assert "RED OUT" in words(pages, "beyond-esc-left.plug")


def test_a_small_step_goes_by_pushing_a_neighbour_aside() -> None:
    # the second wants to be 5 higher, the first has room above and nothing to lose
    spans = [HeightRange(0.0, 99.0, [], [(1, 20.0)]), HeightRange(0.0, 99.0, [(0, 20.0)], []),
             HeightRange(35.0, 35.0, [], [])]  # fmt: skip
    links = [[], [(2, 0.0)], [(1, 0.0)]]
    assert straightened([20.0, 40.0, 35.0], spans, links) == [15.0, 35.0, 35.0]
    tight = [HeightRange(20.0, 99.0, [], [(1, 20.0)]), *spans[1:]]
    assert straightened([20.0, 40.0, 35.0], tight, links) == [20.0, 40.0, 35.0]


@pytest.mark.parametrize("name", GOOD)
def test_the_lead_of_a_pack_is_seen_beside_its_label_with_a_plug_at_its_end(name: str) -> None:
    drawn = {g.id: g for g in groups(pages_of(name, "run"))}
    wiring = report_of(name).wiring
    for mate in wiring.mates:
        if mate.socket and mate.socket.part.holds_cells:
            lead = drawn[f"lead-{'.'.join(mate.plug.id)}"]
            label = drawn.get(f"flag-{'.'.join(mate.socket.id)}")
            if label:
                assert bounds([lead])[2] > bounds([label])[2] + 10.0
                assert bounds([lead])[0] > bounds([label])[2] + 5.0  # the plug stands between


@pytest.mark.parametrize("name", GOOD)
def test_the_name_of_a_place_does_not_go_on_a_line_of_words(name: str) -> None:
    for page in draw_pages(report_of(name), ViewWish(case="worst")):
        every = [i for i in walk(page.scene.items) if isinstance(i, Text) and i.text.strip()]
        places = {i for g in walk(page.scene.items) if isinstance(g, Group)
                  and "place-name" in g.classes for i in g.items}  # fmt: skip
        for place in places:
            left, top, _, low = text_box(place)  # type: ignore[arg-type]
            for other in set(every) - places:
                _, above, right, under = text_box(other)
                level = min(low, under) - max(top, above) > 0.5 * (low - top)
                assert not (level and -1.0 < left - right < 8.0), (place, other)
