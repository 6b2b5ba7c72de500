"""Nothing may be missing from a picture (design: what must never happen)."""

from __future__ import annotations

import re

import pytest
from diagram.big_plan import big_plan
from diagram.looking import BROKEN, GOOD, VIEWS, ids, pages_of, report_of, words
from drawing.audit import clipped_texts, overlapping_texts, texts
from support import report_of as report_of_text

from harness.diagram import ViewWish, draw_pages
from harness.diagram.page import guard
from harness.diagram.stages import Extract, PartsSheet
from harness.drawing.layout_model import LostEdges
from harness.drawing.scene import Group, Item, Scene


def lead_ids(name: str) -> set[str]:
    return {f"lead-{m.plug.part.id}.{m.plug.name}" for m in report_of(name).wiring.mates}


@pytest.mark.parametrize("view", ["run", "airframe"])
@pytest.mark.parametrize("name", [*GOOD, *BROKEN])
def test_every_mate_and_part_is_drawn(name: str, view: str) -> None:
    drawn = ids(pages_of(name, view))
    assert lead_ids(name) <= drawn
    assert {f"part-{part}" for part in report_of(name).plan.parts} <= drawn


@pytest.mark.parametrize("name", GOOD)
def test_power_and_control_together_show_every_mate(name: str) -> None:
    both = ids(pages_of(name, "power")) | ids(pages_of(name, "control"))
    assert lead_ids(name) <= both


def test_the_control_view_leaves_the_battery_side_out() -> None:
    drawn = ids(pages_of("saltmarsh-19", "control"))
    assert "lead-esc-left.supply" not in drawn
    assert "part-main" not in drawn
    assert "lead-esc-left.plug" in drawn


def test_the_power_view_ends_at_the_rails() -> None:
    drawn = ids(pages_of("saltmarsh-19", "power"))
    assert {"lead-radio-supply.plug-1", "lead-esc-left.supply", "lead-motor-left.plug"} <= drawn
    assert not any(name.startswith("lead-aileron") for name in drawn)


def test_a_bec_in_use_is_a_supply_lead() -> None:
    # dunlin-4: the ESC's signal lead is all that feeds the receiver.
    assert "lead-esc.plug" in ids(pages_of("dunlin-4", "power"))


@pytest.mark.parametrize("view", VIEWS)
@pytest.mark.parametrize("name", [*GOOD, *BROKEN])
def test_no_text_lies_on_text_or_is_cut_off(name: str, view: str) -> None:
    for picture in pages_of(name, view):
        assert overlapping_texts(picture.scene) == []
        assert clipped_texts(picture.scene) == []


@pytest.mark.parametrize("view", ["run", "airframe"])
@pytest.mark.parametrize("name", BROKEN)
def test_every_finding_has_its_marker_and_its_words(name: str, view: str) -> None:
    report, pictures = report_of(name), pages_of(name, view)
    drawn, legend = ids(pictures), flat(words(pictures, "legend"))
    for number, finding in enumerate(report.findings, 1):
        if finding.parts:
            assert f"finding-{number}" in drawn, finding.message
        assert flat(finding.message) in legend
        assert flat(finding.help) in legend


ACCEPTED = """
receivers: {rx: {sockets: 4}}
servos: {loose: {class: 9g-analogue}, elevator: {class: 9g-analogue, plug: rx.1}}
accepted: [{rule: plug-not-placed, part: loose, because: spare kept in the hatch}]
"""


def test_accepted_findings_are_marked_and_listed_as_accepted() -> None:
    report = report_of_text(ACCEPTED)
    assert [a.finding.rule for a in report.accepted] == ["plug-not-placed"]
    pictures = draw_pages(report, ViewWish())
    said = flat(words(pictures, "legend"))
    assert "accepted:" in said
    assert "spare kept in the hatch" in said
    assert f"finding-{len(report.findings) + 1}" in ids(pictures)


def test_many_findings_stand_on_a_page_of_their_own() -> None:
    servos = "".join(f"  servo-{n}: {{class: 9g-analogue}}\n" for n in range(1, 31))
    report = report_of_text("receivers: {rx: {sockets: 4}}\nservos:\n" + servos)
    pictures = draw_pages(report, ViewWish())
    said = flat(words(pictures, "legend"))
    assert all(flat(finding.message) in said for finding in report.findings)
    for picture in pictures:
        assert overlapping_texts(picture.scene) == []
        assert clipped_texts(picture.scene) == []


def test_findings_without_room_share_pages_after_the_drawings() -> None:
    spares = "".join(f"  spare-{n}: {{class: 9g-analogue, place: tail}}\n" for n in range(40))
    report = report_of_text(big_plan(65) + spares)
    pictures = draw_pages(report, ViewWish())
    are_words = [picture.title.endswith("findings") for picture in pictures]
    assert are_words == sorted(are_words)
    assert any(are_words)
    said = flat(words(pictures, "legend"))
    assert all(flat(finding.message) in said for finding in report.findings)
    for picture in pictures[:-1]:
        if picture.title.endswith("findings"):
            lowest = max(item.y for item in texts(picture.scene))
            assert lowest > picture.scene.height * 0.85


def flat(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip()


def without(scene: Scene, ident: str) -> Scene:
    def kept(item: Item) -> bool:
        return not (isinstance(item, Group) and item.id == ident)

    return Scene(scene.width, scene.height, tuple(i for i in scene.items if kept(i)))


@pytest.mark.parametrize("ident", ["lead-elevator.plug", "lead-motor.plug"])
def test_the_guard_fires_when_a_lead_is_dropped(ident: str) -> None:
    report = report_of("dunlin-4")
    cut = Extract(tuple(report.plan.parts), tuple(report.wiring.mates))
    (picture,) = pages_of("dunlin-4", "run")
    guard(picture.scene, cut, PartsSheet({}, ()), ())
    with pytest.raises(LostEdges, match=re.escape(ident)):
        guard(without(picture.scene, ident), cut, PartsSheet({}, ()), ())


def test_the_guard_fires_when_a_lead_is_an_empty_group() -> None:
    report = report_of("dunlin-4")
    cut = Extract(tuple(report.plan.parts), tuple(report.wiring.mates))
    (picture,) = pages_of("dunlin-4", "run")
    bare = without(picture.scene, "lead-rudder.plug")
    hollow = Scene(bare.width, bare.height, (*bare.items, Group("lead-rudder.plug", ())))
    with pytest.raises(LostEdges):
        guard(hollow, cut, PartsSheet({}, ()), ())
