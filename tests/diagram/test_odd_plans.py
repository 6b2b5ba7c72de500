"""Plans no careful builder writes must still be drawn, whole."""

from __future__ import annotations

import kept
import pytest
from diagram.looking import ids
from documents.plans import EVERY_KIND
from drawing.audit import clipped_texts, overlapping_texts

from harness.diagram import render

ODD = {
    "nothing": "about: nothing yet\n",
    "one part": "servos: {s: {class: 9g-analogue}}\n",
    "three leads in a ring": (
        "leads: {a: {kind: y, plug: c.2}, b: {kind: y, plug: a.1}, c: {kind: y, plug: b.1}}\n"
    ),
    "two leads in each other": "leads: {a: {kind: y, plug: b.1}, b: {kind: y, plug: a.1}}\n",
    "a pack in a receiver socket": (
        "receivers: {rx: {sockets: 2}}\npacks: {p: {chemistry: nimh, cells: 4, plug: rx.1}}\n"
    ),
    "wrong form of plug": ("packs: {p: {chemistry: lipo, cells: 3}}\nservos: {s: {plug: p}}\n"),
    "three plugs in one socket": (
        "receivers: {rx: {sockets: 1}}\n"
        "servos: {a: {plug: rx.1}, b: {plug: rx.1}, c: {plug: rx.1}}\n"
    ),
    "letters of any alphabet": "receivers: {r: {sockets: 1}}\nservos: {крыло-ß: {plug: r.1}}\n",
    "a zone between two others": (
        "places: {a: {}, b: {}, c: {in: a}}\n"
        "receivers: {rx: {sockets: 4, place: a}}\n"
        "leads: {y: {kind: y, plug: rx.1, place: b}, z: {kind: y, plug: y.1, place: a}}\n"
        "servos: {s: {plug: z.1, place: b}, t: {plug: z.2, place: c}, u: {plug: y.2, place: c}}\n"
    ),
    "every kind of part": EVERY_KIND,
}


@pytest.mark.parametrize("view", ["run", "airframe", "power", "control"])
@pytest.mark.parametrize("name", ODD)
def test_it_is_drawn(name: str, view: str) -> None:
    press, pictures = kept.drawing(ODD[name], view)
    report = press.report
    assert render(pictures, "svg")
    for picture in pictures:
        assert overlapping_texts(picture.scene) == []
        assert clipped_texts(picture.scene) == []
    if view in {"run", "airframe"}:
        drawn = ids(pictures)
        assert {f"part-{part}" for part in report.plan.parts} <= drawn
        assert {f"lead-{'.'.join(m.plug.id)}" for m in report.wiring.mates} <= drawn
