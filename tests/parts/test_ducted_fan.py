"""A ducted fan is driven like a motor and spoken of as a fan.

That a fan in a duct is made safe by its plug, while a propeller comes off, is common practice,
without a source; the makers' instructions come first.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from support import plan_of, report_of

from harness.diagram import ViewWish, draw_pages
from harness.documents.build_book import book_paper
from harness.electrics.outcome import outcome_of
from harness.facts.motion import turning
from harness.parts.ducted_fan import DuctedFan
from harness.parts.motor import Motor
from harness.plan.load import load_plan
from harness.rules.run import Report, check
from harness.wiring.build import build

PLAN = Path(__file__).parents[2] / "examples" / "spindrift-7.yaml"
ESC = """
escs: {{esc: {{rated: {rated}, bec: none, supply: pack}}}}
{group}: {{drive: {{full-throttle: 40 A, resistance: 20 mohm, no-load: 2 A, plug: esc}}}}
packs: {{pack: {{chemistry: lipo, cells: 4, capacity: 4 Ah, rate: 40 C}}}}
"""


@pytest.fixture(scope="module")
def jet() -> Report:
    return check(load_plan(str(PLAN)))


def test_it_loads_its_esc_and_pack_as_a_motor_does() -> None:
    given = []
    for group in ("motors", "ducted-fans"):
        outcome = outcome_of(build(plan_of(ESC.format(rated="60 A", group=group))))
        given.append(list(outcome.given("pack")))
    assert given[0] == pytest.approx(given[1], nan_ok=True)
    assert max(given[1]) > 35


@pytest.mark.parametrize(("group", "word"), [("motors", "propeller"), ("ducted-fans", "fan")])
def test_a_rule_speaks_of_what_is_there(group: str, word: str) -> None:
    report = report_of(ESC.format(rated="30 A", group=group))
    (finding,) = [f for f in report.findings if f.rule == "esc-load"]
    assert f"a smaller {word}" in finding.help
    other = {"propeller": "fan", "fan": "propeller"}[word]
    assert other not in f"{finding.message} {finding.help}"


def test_no_document_of_a_fan_speaks_of_a_propeller(jet: Report) -> None:
    from harness.paper.text import as_text

    said = as_text(book_paper(jet)).lower()
    assert "propeller" not in said
    for words in ("unplug fans", "fans unplugged", "fan plugged in", "intakes clear"):
        assert words in said
    drawn = draw_pages(jet, ViewWish())
    assert "propeller" not in repr(drawn).lower()


def test_a_plan_with_both_speaks_of_both() -> None:
    both = plan_of("motors: {m: {}}\nducted-fans: {f: {}}\n")
    assert turning(both).many == "propellers and fans"
    assert turning(both).off == "propellers off, fans unplugged"
    assert turning(both).order == "take propellers off and unplug fans"
    assert turning(plan_of("motors: {m: {}}\n")).off == "propellers off"


def test_its_picture_is_no_motors(jet: Report) -> None:
    assert list(jet.plan.of(DuctedFan)) == list(jet.plan.of(Motor))
    (page,) = draw_pages(jet, ViewWish())
    assert "ducted-fan" in repr(page) and '"motor"' not in repr(page)
    assert "64 mm duct" in repr(page)
