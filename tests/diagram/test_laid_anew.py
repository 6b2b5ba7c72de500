"""Words on one another are never handed out: a drawing is laid out anew, or refused in one line."""

from __future__ import annotations

from time import process_time

import pytest
from diagram.looking import GOOD, pages_of, report_of

from harness.base.refusal import Refusal
from harness.diagram import ViewWish, draw, draw_pages
from harness.drawing.scene import Group, Scene, bounds, text, walk, word_faults


def test_words_on_words_and_words_cut_off_are_told() -> None:
    there = text(20, 20, "AIL-L", 8)
    assert word_faults(Scene(100, 100, (there, text(60, 20, "AIL-R", 8)))) == []
    assert word_faults(Scene(100, 100, (there, text(30, 22, "AIL-R", 8)))) == [
        '"AIL-L" lies on "AIL-R"'
    ]
    assert word_faults(Scene(30, 100, (there,))) == ['"AIL-L" is cut off']
    upright = text(50, 60, "AIL-R", 8, angle=-90)
    assert word_faults(Scene(100, 100, (upright, text(51, 58, "x", 8)))) != []
    assert word_faults(Scene(100, 100, (upright, text(54, 58, "x", 8)))) == []


@pytest.mark.parametrize(("bad", "pages"), [(0, 1), (1, 1), (2, 2)])
def test_a_drawing_that_fails_is_laid_out_again(
    monkeypatch: pytest.MonkeyPatch, bad: int, pages: int
) -> None:
    """The first layouts are said to fail: the next one is handed out, at last over pages."""
    tried: list[str] = []
    whole = draw.Press.pages

    def noted(self: draw.Press) -> tuple[draw.DrawnPage, ...]:
        tried.append(self.looser)
        return whole(self)

    monkeypatch.setattr(draw.Press, "pages", noted)
    monkeypatch.setattr(draw, "word_faults", lambda _: ["x"] if len(tried) <= bad else [])
    drawn = draw_pages(report_of("dunlin-4"), ViewWish())
    assert tried == list(draw.LOOSER[: bad + 1])
    assert len(drawn) >= pages


def test_what_no_layout_keeps_apart_is_refused_in_one_line(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(draw, "word_faults", lambda _: ['"AIL-L" lies on "AIL-R"'])
    with pytest.raises(Refusal) as refused:
        draw_pages(report_of("dunlin-4"), ViewWish())
    assert str(refused.value) == (
        '"AIL-L" lies on "AIL-R" in the run view, however it is laid out; '
        "shorten these words, or draw less with --place, --function or --lead"
    )


@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("name", GOOD)
def test_title_key_and_findings_lie_apart_with_currents(name: str, paper: str) -> None:
    for page in pages_of(name, "run", paper, "worst"):
        blocks = [
            bounds([g]) for g in walk(page.scene.items)
            if isinstance(g, Group) and {"title-block", "scale", "legend"} & set(g.classes)
        ]  # fmt: skip
        for n, (left, top, right, low) in enumerate(blocks):
            assert left >= 0 <= top
            assert right <= page.scene.width
            assert low <= page.scene.height
            for a, b, c, d in blocks[:n]:
                assert c <= left or a >= right or d <= top or b >= low


def test_the_look_at_the_words_costs_next_to_nothing() -> None:
    """At most a twentieth of the time that drawing takes."""
    report = report_of("saltmarsh-19")
    start = process_time()
    pages = draw_pages(report, ViewWish(case="worst"))
    drawn = process_time()
    for page in pages:
        word_faults(page.scene)
    assert process_time() - drawn < 0.05 * (drawn - start)
