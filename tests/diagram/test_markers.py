"""Markers stand beside what their text names, and cover nothing that is looked at.

Common practice of technical drawing; leader lines end in a dot within an outline (ISO 128-2).
"""

from __future__ import annotations

import pytest
from diagram import marking
from diagram.looking import BROKEN, GOOD, pages_of, report_of

from harness.drawing.scene import Group, Path, circle_path, moved_group, rect_path, text

VIEWS = ("run", "control", "power")


@pytest.mark.parametrize("name", [*GOOD, *BROKEN])
def test_no_marker_covers_anything_and_each_is_at_its_part_or_plug(name: str) -> None:
    assert [f for view in VIEWS for f in marking.faults(name, view)] == []


@pytest.mark.parametrize("name", [*GOOD, *BROKEN[::6]])
def test_nor_with_currents_on_letter(name: str) -> None:
    report = report_of(name)
    if report.wiring.mates and not any(f.severity.word == "danger" for f in report.findings):
        assert marking.faults(name, "run", "Letter", "worst") == []


def test_a_marker_moved_onto_a_lead_a_label_or_a_plug_is_seen() -> None:
    """The look itself can fail: a marker on each of these is told."""
    (page,) = pages_of("broken/10-plug-turned", "run")
    (mark,) = marking.marks_of(page.scene)
    left, top, right, low = marking.shape_of(mark)
    at = ((left + right) / 2, (top + low) / 2)
    flag = Group("flag-x", (Path(rect_path(*at, 20, 12)),), ("flag",))
    plug = Path(rect_path(*at, *marking.PLUG), fill=marking.look.CASE)
    lead = Group("lead-x", (Path((("M", (0.0, at[1])), ("L", (at[0], at[1]))), stroke="#000000"),))
    words = text(*at, "words", 8)
    for item, said in ((flag, "flag"), (plug, "plug"), (lead, "lead"), (words, "text")):
        scene = marking.Scene(page.scene.width, page.scene.height, (item, mark))
        assert any(said in fault for fault in marking.covered(scene))
    far = Group(mark.id, moved_group(mark, 40, 0).items[-3:], mark.classes)
    assert marking.leader_of(far) is None
    assert list(marking.covered(marking.Scene(9, 9, (Path(circle_path(0, 0, 1)), mark)))) == []
