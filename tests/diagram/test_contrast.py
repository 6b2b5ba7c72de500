"""Every word inside every drawing is read on what lies under it (WCAG 2.2, 1.4.3 and 1.4.11).

Looked at in the SVG as it is written. A drawing brings its own white paper, so the dark scheme of
the book shows the same inks on the same grounds.
"""

from __future__ import annotations

import numpy as np
import pytest
from diagram.contrast import Painted, Rgb, painted, ratio, rgb
from diagram.looking import GOOD, pages_of, report_of

from harness.diagram import ViewWish, draw_pages
from harness.diagram.printing import render

READ = 4.5
SEEN = 3.0
MARKED = ("reversed-pack", "15-both-ailerons-one-plug", "volts-lost", "kit-differs")
"""A danger, an error, warnings; turnstone-4 has a note."""
SIGNS = ("finding", "note", "flag")
"""Groups whose frame carries meaning, or holds together what does."""


def drawings(name: str, view: str) -> list[Painted]:
    if view == "worst":
        pages = draw_pages(report_of(name), ViewWish(case="worst"))
    else:
        pages = pages_of(name, view)
    return [painted(svg.decode()) for svg in render(pages, "svg").values()]


@pytest.mark.parametrize("view", ["run", "worst", "control", "power", "airframe"])
@pytest.mark.parametrize("name", GOOD)
def test_words_and_signs_stand_out_from_what_lies_under_them(name: str, view: str) -> None:
    for drawn in drawings(name, view):
        faint = {(w.text, round(drawn.worst(w), 2)) for w in drawn.words if drawn.worst(w) < READ}
        assert not faint
        assert not unseen(drawn)


@pytest.mark.parametrize("name", MARKED)
def test_findings_stand_out_on_what_they_mark(name: str) -> None:
    for drawn in drawings(f"broken/{name}", "run"):
        assert any(ink.kind.startswith("finding") for ink in drawn.inks)
        assert min(drawn.worst(words) for words in drawn.words) >= READ
        assert not unseen(drawn)


def test_a_drawing_brings_its_own_paper() -> None:
    for drawn in drawings("saltmarsh-19", "run"):
        corners = np.array([(x, y) for x in (0.5, 850.0) for y in (0.5, 590.0)])
        assert drawn.inks[0].fill == "#FFFFFF"
        assert drawn.inks[0].filled(corners).all()


def unseen(drawn: Painted) -> list[str]:
    """Signs whose frame has too little contrast with the ground it stands on."""
    found: list[str] = []
    for number, ink in enumerate(drawn.inks):
        if not ink.kind.startswith(SIGNS) or ink.fill == "none" or ink.stroke in ("", "#FFFFFF"):
            continue
        (line,) = ink.outline.to_polygons()
        out = line - (line.min(axis=0) + line.max(axis=0)) / 2
        rim = line + out / np.hypot(*out.T)[:, None] * (ink.width / 2 + 0.4)
        grounds = set[Rgb]().union(*drawn.grounds(rim, number))
        found += [ink.kind for g in grounds if ratio(rgb(ink.stroke), g) < SEEN]
    return found


def test_the_ratios_are_the_published_ones() -> None:
    # WCAG 2.x: the two greys either side of 4.5:1 on white, and black on white
    white = rgb("#FFFFFF")
    assert ratio(rgb("#767676"), white) == pytest.approx(4.542, abs=5e-4)
    assert ratio(rgb("#777777"), white) == pytest.approx(4.478, abs=5e-4)
    assert ratio(rgb("#000000"), white) == pytest.approx(21.0)


def test_faint_words_are_found() -> None:
    frame = (
        '<svg xmlns="http://www.w3.org/2000/svg"><path d="M0 0L90 0L90 50L0 50Z" fill="#FFFFFF"/>'
    )
    word = '<text x="5" y="30" font-size="8" fill="{}" textLength="40">AIL-L</text></svg>'
    bar = '<path d="M0 27L90 27" fill="none" stroke="#1A1A1A" stroke-width="4"{}/>'
    plate = '<path d="M4 20L50 20L50 34L4 34Z" fill="#FFFFFF" opacity="0.92"/>'
    dashed = bar.format(' stroke-dasharray="2 9"')
    cases = {"#22303A": (word,), "#A9B4BB": (word,)}
    worst = {ink: painted(frame + "".join(c).format(ink)) for ink, c in cases.items()}
    assert worst["#22303A"].worst(worst["#22303A"].words[0]) > 12
    assert worst["#A9B4BB"].worst(worst["#A9B4BB"].words[0]) < 3
    for over, read in ((bar.format(""), False), (dashed, False), (bar.format("") + plate, True)):
        drawn = painted(frame + over + word.format("#22303A"))
        assert (drawn.worst(drawn.words[0]) >= READ) is read
