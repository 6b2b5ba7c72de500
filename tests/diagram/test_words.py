"""Names on pictures: acronyms as the trade writes them (common practice, no source)."""

import pytest

from harness.base.refusal import Refusal
from harness.base.span import Source
from harness.diagram import ViewWish, draw_pages
from harness.diagram.part_words import spoken, spoken_id
from harness.drawing.scene import Group, Text, walk
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
