"""Changes as documents: text, JSON, labels to print again, and the signs on the run view."""

from __future__ import annotations

import json
import re

import pytest
from support import report_of

from harness.base.colours import CHANGES, to_hex
from harness.changes.change import Changes
from harness.diagram import ViewWish, draw_pages
from harness.documents.changes import all_changes, changes_json, changes_text
from harness.documents.changes.marks import change_marks
from harness.drawing.marks import marker_shape
from harness.drawing.scene import Group, Scene, Text, walk

OLD = """
channels: {1: aileron, 2: elevator, 6: flap}
receivers: {rx: {sockets: 8}}
servos:
  aileron: {class: 9g-analogue, moves: aileron, plug: rx.1}
  elevator: {class: 9g-analogue, moves: elevator, plug: rx.2}
  flap-left: {class: 9g-analogue, moves: flap, shaft: left, plug: flap-y.1}
  flap-right: {class: 9g-analogue, moves: flap, shaft: left, plug: flap-y.2}
leads: {flap-y: {kind: y, plug: rx.6, length: 300 mm, wire: 26 AWG, tested: yes}}
packs: {radio: {chemistry: life, cells: 2, capacity: 2 Ah, rate: 10 C, plug: rx.batt}}
"""
NEW = """
channels: {1: aileron, 6: flap, 7: lights}
receivers: {rx: {sockets: 8}}
servos:
  aileron: {class: 9g-analogue, moves: aileron, plug: rx.5}
  flap-left: {class: 9g-analogue, moves: flap, shaft: left, plug: flap-y.1}
  flap-right: {class: 9g-analogue, moves: flap, shaft: left, plug: flap-y.2}
leads: {flap-y: {kind: y, plug: rx.6, length: 300 mm, wire: 22 AWG, tested: yes}}
packs: {radio: {chemistry: life, cells: 2, capacity: 2 Ah, rate: 10 C, plug: rx.batt}}
loads: {lamp: {current: 0.2 A, plug: rx.7, moves: lights}}
"""


def changes(old: str = OLD, new: str = NEW) -> Changes:
    return all_changes(report_of(old), report_of(new))


def test_sentences_stand_under_their_headings() -> None:
    text = changes_text(changes())
    blocks = {block.split("\n")[0]: block.split("\n")[1:] for block in text.split("\n\n")[2:]}
    assert blocks["Moved"] == ["- aileron's plug moved from rx.1 to rx.5"]
    assert blocks["New"] == ['- load "lamp" is new; it goes into rx.7']
    assert blocks["Gone"] == ['- servo "elevator" is gone; it went into rx.2']
    assert blocks["Changed"] == ["- the wire of flap-y is thicker: 22 AWG, before 26 AWG"]
    assert blocks["Channels"] == [
        "- channel 2 is gone: it was elevator",
        "- channel 7 is new: lights",
    ]


def test_no_change() -> None:
    assert "no change: both files hold the same text." in changes_text(changes(OLD, OLD))
    spaced = OLD.replace("\nservos:", "\n# the servos\nservos:")
    text = changes_text(changes(OLD, spaced))
    assert "no change in the wiring: only the text differs" in text


def test_json_is_the_same_list() -> None:
    found = changes()
    body = json.loads(changes_json(found))
    assert body["changed"] is True
    assert [c["text"] for c in body["changes"]] == [c.text for c in found.changes]
    moved = next(c for c in body["changes"] if c["kind"] == "moved")
    assert (moved["part"], moved["old"], moved["new"]) == ("aileron", "rx.1", "rx.5")
    assert json.loads(changes_json(changes(OLD, OLD)))["changed"] is False


def test_labels_to_print_again() -> None:
    """By hand: the aileron's plug says where it goes; the lamp's lead has two ends."""
    texts = [c.text for c in changes().of("labels")]
    assert 'AIL: print the label again at plug ("to rx 5", before "to rx 1")' in texts
    assert [t for t in texts if "print both labels of lamp" in t]
    assert [t for t in texts if "take both labels of elevator off" in t]
    assert len(texts) == 3


def test_a_code_that_changed() -> None:
    old = OLD.replace("moves: aileron, plug", "moves: aileron, code: A-1, plug")
    new = OLD.replace("moves: aileron, plug", "moves: aileron, code: A-2, plug")
    found = changes(old, new)
    assert [c.text for c in found.changes] == ["A-1 is A-2 now: print both labels of aileron again"]


def test_labels_mirror() -> None:
    forth, back = changes().of("labels"), changes(NEW, OLD).of("labels")
    assert sorted((c.part, c.old, c.new) for c in forth) == sorted(
        (c.part, c.new, c.old) for c in back
    )


def test_each_sign_has_its_own_shape_and_colour() -> None:
    assert len({marker_shape(sign, 7.5) for sign in CHANGES}) == len(CHANGES)  # type: ignore[arg-type]
    assert len(set(CHANGES.values())) == len(CHANGES)
    severities = ("danger", "error", "warning", "note", "ok")
    shapes = {marker_shape(s, 7.5) for s in (*severities, *CHANGES)}  # type: ignore[arg-type]
    assert len(shapes) == len(severities) + len(CHANGES)


def groups(scenes: list[Scene]) -> dict[str, Group]:
    return {g.id: g for scene in scenes for g in walk(scene.items) if isinstance(g, Group) and g.id}


@pytest.fixture(scope="module")
def drawn() -> list[Scene]:
    found = changes()
    pages = draw_pages(found.new, ViewWish(), change_marks(found))
    return [page.scene for page in pages]


def test_every_mark_is_drawn_and_told(drawn: list[Scene]) -> None:
    marks = change_marks(changes()).found
    there = groups(drawn)
    words = " ".join(t.text for scene in drawn for t in walk(scene.items) if isinstance(t, Text))
    assert {bool(mark.parts) for mark in marks} == {True, False}
    for mark in marks:
        assert f"legend/{mark.number}" in there
        assert (f"finding-{mark.number}" in there) is bool(mark.parts)
        assert re.sub(r"\W", "", mark.text) in re.sub(r"\W", "", words)


def test_signs_by_kind(drawn: list[Scene]) -> None:
    signs = {m.text: (m.severity, m.parts) for m in change_marks(changes()).found}
    assert signs["moved: aileron's plug moved from rx.1 to rx.5"] == ("moved", ("aileron",))
    assert signs['load "lamp" is new; it goes into rx.7'] == ("new", ("lamp",))
    assert signs['servo "elevator" is gone; it went into rx.2'] == ("gone", ())
    channels = "changed: channel 2 is gone: it was elevator; channel 7 is new: lights"
    assert signs[channels] == ("changed", ("rx",))


def test_leads_and_parts_stand_on_a_tint(drawn: list[Scene]) -> None:
    there = groups(drawn)
    tints = {name: to_hex(rgb) for name, rgb in CHANGES.items()}
    wanted = {"halo-lead-aileron.plug": "moved", "halo-lead-lamp.plug": "new",
              "halo-part-lamp": "new", "halo-part-flap-y": "changed"}  # fmt: skip
    found = {name: group for name, group in there.items() if name.startswith("halo-")}
    assert set(found) == set(wanted)
    for name, group in found.items():
        assert tints[wanted[name]] in {getattr(item, "stroke", "") for item in group.items}


def test_findings_are_not_marked_but_counted(drawn: list[Scene]) -> None:
    found = changes()
    note = change_marks(found).note
    assert f"{len(found.of('labels'))} labels" in note
    words = [t.text for scene in drawn for t in walk(scene.items) if isinstance(t, Text)]
    assert note in words


def test_without_marks_a_drawing_is_as_it_was() -> None:
    report = report_of(NEW)
    ids = groups([page.scene for page in draw_pages(report, ViewWish())])
    assert not [name for name in ids if name.startswith("halo-")]
    assert len([n for n in ids if n.startswith("finding-")]) <= len(report.findings)
