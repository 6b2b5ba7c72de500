"""The order of work as ticks: one for each plug, its labels, its small picture."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from functools import cache
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import HealthCheck, given, settings
from kept import report_at
from strategies import Data, as_yaml, plans
from support import plan_of, report_of

from harness.airframe.steps import is_live
from harness.base.colours import tints, to_hex
from harness.documents.cautions import CAUTIONS, armed
from harness.documents.steps import field_chapter, steps_chapter, steps_json, steps_paper
from harness.documents.steps.work import Work
from harness.drawing.scene import Group, Scene, Text, walk
from harness.drawing.scene import Path as Shape
from harness.drawing.svg import to_svg
from harness.facts.of_leads import facts_of
from harness.paper import render
from harness.paper.blocks import Chapter, Heading, Note, Say, Tick, Ticks
from harness.parts.lead import Lead
from harness.parts.regulator import Regulator
from harness.parts.retract import Retract
from harness.parts.servo import Servo
from harness.plan.load import load_plan
from harness.rules.run import Report, check

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted(p for p in (ROOT / "examples").glob("*.yaml") if "." not in p.stem)
SEVEN_CM = 70 / 25.4 * 72
"""Points."""
SMALLEST = 5.0
"""Text a builder still reads at arm's length, points: our own limit."""


@cache
def example(name: str) -> Report:
    """Return an example, checked."""
    return report_at(ROOT / "examples" / f"{name}.yaml")


def every_kind() -> Report:
    """Return the plan with every kind of part."""
    return report_of((ROOT / "tests" / "every_kind.yaml").read_text("utf-8"))


def ticks(chapter: Chapter) -> list[Tick]:
    """Return the ticks of a chapter in order."""
    return [t for block in chapter.blocks if isinstance(block, Ticks) for t in block.items]


def words(scene: Scene) -> set[str]:
    """Return the texts of a picture."""
    return {item.text for item in walk(scene.items) if isinstance(item, Text)}


def strokes(scene: Scene) -> set[str | None]:
    """Return the colours of a picture's lines."""
    return {item.stroke for item in walk(scene.items) if isinstance(item, Shape)}


REPORTS = [path.stem for path in EXAMPLES] + ["every-kind"]


def report_named(name: str) -> Report:
    """Return an example, or the plan with every kind of part."""
    return every_kind() if name == "every-kind" else example(name)


@pytest.mark.parametrize("name", REPORTS)
def test_one_tick_for_each_plug_with_its_labels_and_picture(name: str) -> None:
    report = report_named(name)
    facts = facts_of(report.wiring)
    found = {t.key: t for t in ticks(steps_chapter(report)) if t.key.startswith("steps-plug-")}
    wanted = [m for m in report.wiring.mates if m.socket is not None and m.fits and m.first]
    wanted = [m for m in wanted if not (report.first and is_live(m))]  # mend what stands first
    assert len(found) == len(wanted)
    for mate in wanted:
        assert mate.socket is not None
        tick = found[f"steps-plug-{'.'.join(mate.plug.id)}-into-{'.'.join(mate.socket.id)}"]
        code = facts.code_at(mate.plug)
        assert code in tick.codes
        assert tick.picture is not None
        assert code in words(tick.picture)
        assert mate.socket.part.named() in tick.text


@pytest.mark.parametrize("name", REPORTS)
@pytest.mark.parametrize("make", [steps_chapter, field_chapter])
def test_pictures_are_clear_at_seven_centimetres(
    name: str, make: Callable[[Report], Chapter]
) -> None:
    report = report_named(name)
    seen: set[str] = set()
    keys = [tick.key for tick in ticks(make(report))]
    assert len(keys) == len(set(keys))
    for tick in ticks(make(report)):
        if tick.picture is None:
            continue
        to_svg(tick.picture)  # refuses two groups of one id
        ids = {i.id for i in walk(tick.picture.items) if isinstance(i, Group) and i.id}
        assert not ids & seen, "ids are unique on a page of many pictures"
        seen |= ids
        scale = min(1.0, SEVEN_CM / tick.picture.width)
        sizes = [i.size for i in walk(tick.picture.items) if isinstance(i, Text)]
        assert min(sizes, default=SMALLEST) * scale >= SMALLEST, tick.key


def plugged(servo: str, plug: str = "rx.1") -> Scene:
    """Return the picture of one servo's plug."""
    report = report_of(
        f"receivers: {{rx: {{sockets: 4}}}}\nservos: {{s: {{{servo}plug: {plug}}}}}\n"
    )
    (tick,) = (t for t in ticks(steps_chapter(report)) if "-plug-" in t.key)
    assert tick.picture is not None
    return tick.picture


@pytest.mark.parametrize(
    ("scheme", "codes"),
    [("orange-red-brown", ("OG", "RD", "BN")), ("yellow-red-black", ("YE", "RD", "BK")),
     ("blue-red-black", ("BU", "RD", "BK"))],
)  # fmt: skip
def test_wires_have_their_real_colours(scheme: str, codes: tuple[str, ...]) -> None:
    """IEC 60757 codes of the insulation that the plan states."""
    drawn = strokes(plugged(f"colours: {scheme}, "))
    assert {to_hex(tints(code)[0]) for code in codes} <= drawn


def test_a_pulled_pin_shows() -> None:
    """What is left of a pulled wire at the plug is grey, and the words say which."""
    grey = to_hex(tints("GY")[0])
    assert grey not in strokes(plugged(""))
    assert grey in strokes(plugged("", "{into: rx.1, pulled: positive}"))


def test_socket_and_parts_are_named_in_the_picture() -> None:
    report = example("saltmarsh-19")
    found = {t.key: t for t in ticks(steps_chapter(report))}
    one = found["steps-plug-flap-y.plug-into-rx.6"].picture
    two = found["steps-plug-flap-right.plug-into-flap-y.2"].picture
    assert one is not None and two is not None
    assert {"6", "flap", "RX", "FLAP-Y", "Flap y"} <= words(one)
    assert {"FLAP-Y", "FLAP-R", "Flap y · 2", "Flap right"} <= words(two)


def test_stages_come_in_their_order() -> None:
    """Test, label, centre, connect, close, join, connect, supply, power, try, close."""
    body = json.loads(steps_json(example("saltmarsh-19")))
    stages = [step["stage"] for step in body["steps"]]
    assert list(dict.fromkeys(stages)) == [
        "test", "label", "centre", "panel", "close", "join", "connect", "supply", "power-up", "try",
        "hatches", "flight",
    ]  # fmt: skip


def test_every_part_that_can_be_tried_is_tried() -> None:
    report = example("saltmarsh-19")
    keys = {tick.key for tick in ticks(steps_chapter(report))}
    for part in report.plan.parts.values():
        if isinstance(part, Lead | Servo | Retract | Regulator) or part.id in {"rx", "main"}:
            assert f"steps-test-{part.id}" in keys


def test_every_lead_is_labelled_once() -> None:
    report = example("saltmarsh-19")
    found = [t for t in ticks(steps_chapter(report)) if t.key.startswith("steps-label-")]
    codes = [code for tick in found for code in tick.codes]
    assert sorted(codes) == sorted(facts_of(report.wiring).codes.values())


def test_power_comes_with_its_cautions_and_through_a_fuse() -> None:
    """The fuse's rating is read from the catalogue's file, not from the program."""
    with (ROOT / "harness" / "catalogue" / "data" / "rules.csv").open(encoding="utf-8") as file:
        rows = {(r["class"], r["key"]): r for r in csv.DictReader(file)}
    chapter = steps_chapter(example("saltmarsh-19"))
    power = [n for n, b in enumerate(chapter.blocks) if isinstance(b, Heading)
             and b.text == "First power-up"]  # fmt: skip
    assert len(power) == 1
    after = chapter.blocks[power[0] + 1 :]
    said = [block.text for block in after if isinstance(block, Say) and block.tone == "caution"]
    assert said == [armed(example("saltmarsh-19").plan), *CAUTIONS]
    steps = next(block for block in after if isinstance(block, Ticks)).items
    assert [t.key.rpartition("-")[2] for t in steps[:2]] == ["propellers", "transmitter"]
    fuse = rows["power-up", "fuse"]
    assert f"{fuse['value']} {fuse['unit']} fuse" in steps[2].details[0]
    assert "pack" in steps[2].text


def test_a_step_keeps_its_key_when_another_part_is_added() -> None:
    text = "receivers: {rx: {sockets: 4}}\nservos: {s: {plug: rx.1}}\n"
    one = {t.key for t in ticks(steps_chapter(report_of(text)))}
    more = text.replace("plug: rx.1}", "plug: rx.1}, a: {plug: rx.2}")
    two = {t.key for t in ticks(steps_chapter(report_of(more)))}
    assert one <= two
    moved = {t.key for t in ticks(steps_chapter(report_of(text.replace("rx.1", "rx.3"))))}
    assert "steps-plug-s.plug-into-rx.1" in one - moved


def test_the_same_plan_gives_the_same_bytes() -> None:
    path = str(ROOT / "examples" / "saltmarsh-19.yaml")
    one, two = (check(load_plan(path)) for _ in range(2))
    assert steps_json(one) == steps_json(two)
    assert render(steps_paper(one), "text") == render(steps_paper(two), "text")
    assert steps_chapter(one) == steps_chapter(two)


def test_the_field_has_what_crosses_a_removable_joint() -> None:
    """Places as a graph (networkx), the joints taken out: which plugs lose their other end?"""
    report = example("saltmarsh-19")
    places = nx.Graph((p.id, p.within) for p in report.plan.places.values() if p.within)
    places.add_nodes_from(report.plan.places)
    wanted = set()
    for mate in report.wiring.mates:
        assert mate.socket is not None
        one, other = mate.plug.part.place, mate.join.made_in or mate.socket.part.place
        if not nx.has_path(places, one, other):
            wanted.add(".".join(mate.plug.id))
    body = json.loads(steps_json(report, field=True))
    found = [s["plug"] for s in body["steps"] if s["stage"] == "connect"]
    assert set(found) == wanted
    assert len(found) == len(wanted) == 12
    apart = [s["key"].removeprefix("field-apart-") for s in body["steps"] if s["stage"] == "apart"]
    assert [name for name in apart if name in wanted] == found[::-1]


def test_the_field_checks_what_came_off_from_behind() -> None:
    """Aileron stick to the right rolls right: left aileron down, right one up (every textbook)."""
    found = {t.key: t.text for t in ticks(field_chapter(example("saltmarsh-19")))}
    assert "it goes down" in found["field-direction-aileron-left"]
    assert "it goes up" in found["field-direction-aileron-right"]
    assert "it goes right" in found["field-direction-rudder"]
    assert {"field-daily-failsafe", "field-daily-range"} <= set(found)


def test_a_plan_without_places_still_has_an_order() -> None:
    chapter = steps_chapter(example("dunlin-4"))
    headings = [block.text for block in chapter.blocks if isinstance(block, Heading)]
    assert "Connect" in headings
    said = [b.text for b in field_chapter(example("dunlin-4")).blocks if isinstance(b, Say)]
    assert any("no removable joint" in text for text in said)


def test_an_order_that_cannot_be_is_said_first() -> None:
    path = ROOT / "examples" / "broken" / "impossible-order.yaml"
    report = report_at(path)
    chapter = steps_chapter(report)
    first, told = (b for b in chapter.blocks if isinstance(b, Say) and b.tone == "danger")
    assert first.text == "`harness check` has 1 error: mend it first."
    assert "there is no order" in told.text
    keys = [tick.key for tick in ticks(chapter)]
    assert "steps-plug-aileron-left.plug-into-aileron-ext.1" in keys
    assert json.loads(steps_json(report))["impossible"] == [report.findings[0].message]


def test_a_plug_that_cannot_be_made_is_named_and_has_no_step() -> None:
    text = "receivers: {rx: {sockets: 2}}\nservos: {a: {plug: rx.1}, b: {plug: rx.1}}\n"
    chapter = steps_chapter(report_of(text))
    (note,) = (block for block in chapter.blocks if isinstance(block, Note))
    assert note.lines == ('servo "b" into rx.1',)
    assert sum("-plug-" in tick.key for tick in ticks(chapter)) == 1


def test_odd_names_are_fine() -> None:
    long = "x" * 80
    text = (
        f"places: {{rumpf-mitte: {{}}, flügel: {{joins: rumpf-mitte}}}}\n"
        f"covers: {{haube-ä: {{over: rumpf-mitte, kind: hatch}}}}\n"
        f"receivers: {{empfänger: {{sockets: 4, place: rumpf-mitte}}}}\n"
        f"servos: {{querruder-{long}: {{place: flügel, plug: empfänger.1}}}}\n"
    )
    report = report_of(text)
    pictures = [t.picture for t in ticks(steps_chapter(report)) if t.picture is not None]
    assert pictures
    assert max(picture.width for picture in pictures) <= SEVEN_CM * 8 / SMALLEST
    assert f"querruder-{long}" in str(render(steps_paper(report), "text"))


def test_numbers_run_through() -> None:
    blocks = [b for b in steps_chapter(example("saltmarsh-19")).blocks if isinstance(b, Ticks)]
    start = 1
    for block in blocks:
        assert block.start == start
        start += len(block.items)
    assert len(blocks) > 5


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(plans(once=True))
def test_any_plan_becomes_steps(data: Data) -> None:
    report = check(plan_of(as_yaml(data)))
    for chapter in (steps_chapter(report), field_chapter(report)):
        keys = [tick.key for tick in ticks(chapter)]
        assert len(keys) == len(set(keys))
        for tick in ticks(chapter):
            if tick.picture is not None:
                to_svg(tick.picture)
    made = [e["plug"] for e in json.loads(steps_json(report))["steps"] if e["plug"]]
    plugs = Work(report).by_name.items()
    assert sorted(made) == sorted(n for n, mate in plugs if not (report.first and is_live(mate)))


def test_plain_text_draws_no_pictures_and_says_the_same() -> None:
    """A fleet of 3,000 parts has thousands of small pictures, which a text cannot show."""
    report = example("saltmarsh-19")
    drawn, plain = steps_paper(report), steps_paper(report, drawn=False)
    assert render(drawn, "text") == render(plain, "text")
    shown = [any(t.picture for t in ticks(paper.chapters[0])) for paper in (drawn, plain)]
    assert shown == [True, False]


def test_a_pulled_pin_is_a_step_of_its_own_just_before_its_plug() -> None:
    steps = json.loads(steps_json(example("saltmarsh-19")))["steps"]
    texts = [step["text"] for step in steps]
    at = texts.index("Pull the red pin out of the plug ESC-L: RED OUT; insulate it")
    assert steps[at]["labels"] == ["ESC-L"]
    assert texts[at + 1].startswith("Plug ESC-L ")
    assert any(detail.startswith("RED OUT") for detail in steps[at + 1]["details"])
    pulled = sum("positive" in mate.join.pulled for mate in example("saltmarsh-19").wiring.mates)
    assert sum(text.startswith("Pull the red pin") for text in texts) == pulled > 0
