"""Names on pictures: acronyms as the trade writes them (common practice, no source)."""

import pytest

from harness.base.refusal import Refusal
from harness.base.span import Source
from harness.diagram import ViewWish, draw_pages
from harness.diagram.part_words import spoken, spoken_id
from harness.drawing.ribbon import CORE
from harness.drawing.scene import Group, Path, Text, walk
from harness.plan.load import parse_plan
from harness.rules.run import check

PLAN = """
plan: 1
aircraft: Words
channels: {1: throttle}
receivers: {rx: {sockets: 4}}
escs: {esc-left: {rated: 40 A, plug: rx.1, supply: main}}
packs: {main: {chemistry: lipo, cells: 3, capacity: 3 Ah, rate: 35 C}}
"""


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("esc-left", "ESC left"),
        ("rx", "RX"),
        ("gps_mast", "GPS mast"),
        ("esc2", "ESC2"),
        ("nose-led", "Nose LED"),
        ("rescue", "Rescue"),
        ("aileron-left", "Aileron left"),
    ],
)
def test_acronyms_stand_in_capitals(name: str, shown: str) -> None:
    assert spoken_id(name) == shown


def test_inside_a_sentence_only_acronyms_have_capitals() -> None:
    assert spoken("wing-left") == "wing left"
    assert spoken("esc-bay") == "ESC bay"


def test_the_picture_shows_names_and_its_tooltips_the_ids_of_the_plan() -> None:
    report = check(parse_plan(Source("plan.yaml", PLAN)))
    (page,) = draw_pages(report, ViewWish())
    items = list(walk(page.scene.items))
    shown = [item.text for item in items if isinstance(item, Text)]
    titles = [item.title for item in items if isinstance(item, Group)]
    assert {"ESC left", "RX"} <= set(shown)
    assert any('"esc-left"' in title for title in titles)
    # what the rules could not judge is counted where every reader looks
    facts = {(unknown.part, unknown.missing) for unknown in report.unknown}
    assert facts
    assert [text for text in shown if text.startswith(f"{len(facts)} fact")]


# Unicode: U+7FFC is the ideograph "wing"; DejaVu Sans covers no ideographs (its own status.txt).
@pytest.mark.parametrize("view", ["run", "airframe"])
def test_a_letter_that_the_font_lacks_is_refused_by_number_and_part(view: str) -> None:
    text = PLAN.replace("esc-left", "esc-\u7ffc")
    report = check(parse_plan(Source("plan.yaml", text)))
    with pytest.raises(Refusal, match=r'U\+7FFC .* of part "esc-\u7ffc"'):
        draw_pages(report, ViewWish(view=view))  # type: ignore[arg-type]


@pytest.mark.parametrize(("split", "sets"), [("", 1), (", split: end", 1), (", split: plug", 2)])
def test_a_lead_split_at_its_plug_is_drawn_with_a_set_of_wires_for_each_end(
    split: str, sets: int
) -> None:
    """Three wires are six strokes, a dark and a coloured one each; red has a core."""
    leads = f"leads: {{y: {{kind: y, plug: rx.2, length: 300 mm{split}}}}}\n"
    power = f"power-leads: {{s: {{kind: parallel, ways: 2, supply: main{split}}}}}\n"
    text = PLAN.replace("supply: main", "supply: s.1") + leads + power
    report = check(parse_plan(Source("plan.yaml", text)))
    y, power_y = ("lead-y.plug", 3), ("lead-s.in-1", 2)
    for view, (lead, wires) in (("run", y), ("airframe", y), ("control", y), ("power", power_y)):
        (page,) = draw_pages(report, ViewWish(view=view))  # type: ignore[arg-type]
        (group,) = [i for i in walk(page.scene.items) if isinstance(i, Group) and i.id == lead]
        strokes = [i for i in group.items if isinstance(i, Path) and i.opacity == 1]
        cores = [i for i in strokes if i.stroke == CORE]
        assert (len(strokes) - len(cores), len(cores)) == (2 * wires * sets, sets), view
        assert ("split at its" in group.title) is bool(split)


def test_packs_side_by_side_come_by_one_set_of_wires_each() -> None:
    """The single end of such a lead is its socket: what splits there are its own plugs' wires."""
    packs = "packs: {a: {chemistry: lipo, cells: 3}, b: {chemistry: lipo, cells: 3}}\n"
    lead = "power-leads: {s: {kind: parallel, ways: 1, supply: [a, b], split: plug}}\n"
    text = "plan: 1\naircraft: Words\n" + packs + lead
    (page,) = draw_pages(check(parse_plan(Source("plan.yaml", text))), ViewWish(view="power"))
    for plug in ("lead-s.in-1", "lead-s.in-2"):
        (group,) = [i for i in walk(page.scene.items) if isinstance(i, Group) and i.id == plug]
        strokes = [i for i in group.items if isinstance(i, Path) and i.opacity == 1]
        assert len([i for i in strokes if i.stroke != CORE]) == 2 * 2
        assert "split at its socket" in group.title
