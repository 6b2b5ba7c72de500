"""Names of any length stay on the page."""

from __future__ import annotations

import pytest
from diagram.looking import words
from diagram.test_sheets import outside
from drawing.audit import clipped_texts, overlapping_texts
from support import report_of

from harness.diagram import ViewWish, draw_pages, render

RX = "receivers: {rx: {sockets: 2}}\n"
WORD = "ruddervatorservolead" * 3
PLANS = {
    "a name of 200 letters": f"plan: 1\naircraft: {WORD * 3 + WORD[:20]}\n{RX}",
    "a name of 50 words": f"plan: 1\naircraft: {'survey ' * 50}\n{RX}",
    "an id of 56 letters": f"{RX}servos: {{{WORD[:56]}: {{}}}}\n",
    "a place of 56 letters": (
        f"places: {{{WORD[:56]}: {{}}}}\nreceivers: {{rx: {{sockets: 2, place: {WORD[:56]}}}}}\n"
    ),
    "a function of 56 letters": (
        f"channels: {{1: {WORD[:56]}}}\nreceivers: {{rx: {{sockets: 2}}}}\n"
        f"servos: {{s: {{moves: {WORD[:56]}, plug: rx.1}}}}\n"
    ),
}


@pytest.mark.parametrize("view", ["run", "airframe"])
@pytest.mark.parametrize("name", PLANS)
def test_long_words_stay_on_the_page(name: str, view: str) -> None:
    pictures = draw_pages(report_of(PLANS[name]), ViewWish(view=view))  # type: ignore[arg-type]
    for picture in pictures:
        assert clipped_texts(picture.scene) == []
        assert overlapping_texts(picture.scene) == []
    for data in render(pictures, "svg").values():
        assert outside(data) == []


def test_a_finding_about_a_long_id_is_whole() -> None:
    report = report_of(PLANS["an id of 56 letters"])
    said = words(draw_pages(report, ViewWish()), "legend").replace(" ", "")
    assert report.findings
    assert all(finding.message.replace(" ", "") in said for finding in report.findings)
