"""The run picture with currents: what stands on it is what the solved harness says."""

from __future__ import annotations

import re
from functools import cache

import numpy as np
import pytest
from diagram.looking import GOOD, ids, pages_of, report_of, words
from drawing.audit import clipped_texts, overlapping_texts, smallest_text
from support import report_of as report_of_text

from harness.base.colours import (
    LEVELS,
    UNRATED,
    amps_text,
    contrast,
    level_of,
    share_text,
    volts_text,
)
from harness.base.refusal import Refusal
from harness.diagram import DrawnPage, ViewWish, draw_pages, render
from harness.diagram.currents import WORST, Currents, refuse_unsolved
from harness.diagram.printing import is_readable
from harness.drawing.look import SMALL
from harness.drawing.pill import band_width, level_colours
from harness.drawing.scene import Group, Path, walk
from harness.electrics.flow import LEAST_TOLD
from harness.electrics.outcome import Outcome, outcome_of
from harness.electrics.rows import rows_of
from harness.electrics.solver.circuit import NotSolved
from harness.parts.contacts import Form
from harness.wiring.build import Mate

CASES = (WORST, "cruise", "hard-manoeuvre")


def pages(name: str, case: str) -> tuple[DrawnPage, ...]:
    return pages_of(name, "run", case=case)


@cache
def outcome(name: str) -> Outcome:
    return outcome_of(report_of(name).wiring)


def mates(name: str) -> list[Mate]:
    """The mated pairs that a network has: all but motor wires."""
    found = report_of(name).wiring.mates
    return [m for m in found if m.socket is not None and m.plug.form is not Form.MOTOR]


@pytest.mark.parametrize("case", ["cruise", "hard-manoeuvre"])
@pytest.mark.parametrize("name", GOOD)
def test_every_pair_that_carries_current_shows_the_solved_number(name: str, case: str) -> None:
    solved, drawn = outcome(name), ids(pages(name, case))
    at = [c.name for c in solved.cases].index(case)
    seen = 0
    for mate in mates(name):
        ident = "current-" + ".".join(mate.plug.id)
        amps = float(solved.through(mate.plug)[at])
        assert (ident in drawn) == (amps >= LEAST_TOLD), ident
        if amps >= LEAST_TOLD:
            said = words(pages(name, case), ident)
            assert said.startswith(amps_text(amps)), (ident, said, amps)
            seen += 1
    assert seen > 3


@pytest.mark.parametrize("name", GOOD)
def test_the_worst_picture_shows_no_less_than_the_plug_rows(name: str) -> None:
    # The share of a pair is that of its plug or, if more, of the lead that ends there.
    for row in (r for r in rows_of(outcome(name)) if r.kind == "plug"):
        said = words(pages(name, WORST), f"current-{row.part}.{row.port}")
        share = float(np.nanmax(row.share)) if np.isfinite(row.share).any() else 0.0
        if said and share:
            (shown,) = re.findall(r"(\d+) %", said)
            assert int(shown) >= round(100 * share) - 1, (row.name, said)


@pytest.mark.parametrize("name", GOOD)
def test_volts_of_a_case_stand_at_parts_and_supplies(name: str) -> None:
    solved = outcome(name)
    at = [c.name for c in solved.cases].index("hard-manoeuvre")
    for row in rows_of(solved):
        if row.kind in {"pack", "part"} and row.volts is not None:
            said = words(pages(name, "hard-manoeuvre"), f"part-{row.part}")
            assert volts_text(float(row.volts[at])) in said, (row.name, said)


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("name", GOOD)
def test_nothing_overlaps_is_cut_off_too_small_or_missing(name: str, case: str) -> None:
    drawn = ids(pages(name, case))
    assert {f"lead-{'.'.join(m.plug.id)}" for m in report_of(name).wiring.mates} <= drawn
    assert len(pages(name, case)) <= (2 if name == "phalarope-14" else 1)
    for picture in pages(name, case):
        assert overlapping_texts(picture.scene) == []
        assert clipped_texts(picture.scene) == []
        assert smallest_text(picture.scene) >= SMALL
        assert is_readable((picture.scene.width, picture.scene.height), "A4")


def test_title_names_the_case_and_what_it_means_and_the_scale_is_there() -> None:
    said = words(pages("saltmarsh-19", "hard-manoeuvre"), "title")
    (case,) = [c for c in outcome("saltmarsh-19").cases if c.name == "hard-manoeuvre"]
    assert "currents of case hard-manoeuvre" in said
    assert case.about in said
    scale = words(pages("saltmarsh-19", "hard-manoeuvre"), "scale")
    assert all(level.words in scale for level in (*LEVELS, UNRATED))


def test_a_plain_wish_draws_no_current() -> None:
    drawn = ids(draw_pages(report_of("dunlin-4"), ViewWish()))
    assert not [name for name in drawn if name.startswith(("current-", "band-", "scale"))]


def test_bands_grow_with_current_and_have_the_colour_of_the_share() -> None:
    widths = [band_width(6.9, amps) for amps in (0.01, 0.1, 1.0, 10.0, 100.0)]
    assert widths == sorted(widths)
    assert widths[0] == widths[1] < widths[2]
    (picture,) = pages("sandbar-5", WORST)
    bands = {g.id: g for g in walk(picture.scene.items) if isinstance(g, Group)}
    currents = Currents(report_of("sandbar-5").wiring, WORST)
    for mate in mates("sandbar-5"):
        if reading := currents.at(mate):
            (line,) = bands["band-" + ".".join(mate.plug.id)].items
            assert isinstance(line, Path)
            red, green, blue = level_of(reading.share).status.fill
            assert line.stroke == f"#{red:02X}{green:02X}{blue:02X}"


@pytest.mark.parametrize(
    ("share", "words"),
    [(0.0, "under 50 %"), (0.499, "under 50 %"), (0.5, "50 to 80 %"), (0.8, "80 to 100 %"),
     (1.0, "80 to 100 %"), (1.001, "over 100 %"), (float("nan"), "limit not known")],
)  # fmt: skip
def test_classes_of_share(share: float, words: str) -> None:
    assert level_of(share).words == words


def test_texts_on_the_classes_are_legible_and_the_upper_two_have_shapes() -> None:
    for level in (*LEVELS, UNRATED):
        assert contrast(*level_colours(level)) >= 4.5  # WCAG 2.2, 1.4.3
    shapes = [level.shape for level in LEVELS[2:]]
    assert all(shapes)
    assert len(set(shapes)) == 2


def test_numbers_are_short_and_never_without_a_unit() -> None:
    said = [amps_text(a) for a in (0.744, 0.996, 1.08, 24.81, 99.96, 152.4)]
    assert said == ["0.74 A", "1.0 A", "1.1 A", "24.8 A", "100 A", "152 A"]
    assert (share_text(0.224), share_text(float("nan"))) == ("22 %", "")


def test_a_case_the_plan_lacks_is_refused() -> None:
    with pytest.raises(Refusal, match='no case "crusie"; did you mean "cruise"'):
        draw_pages(report_of("dunlin-4"), ViewWish(case="crusie"))


def test_a_case_without_a_solution_is_an_error_and_no_picture() -> None:
    solved = outcome("dunlin-4")
    broken = Outcome(solved.net, solved.solution)
    broken.__dict__["trouble"] = {"cruise": NotSolved("pack", "it breaks down")}
    with pytest.raises(Refusal, match=r'"cruise" has no solution.*pack: it breaks down'):
        refuse_unsolved(broken)


OVERLOAD = """
receivers: {rx: {sockets: 4}}
packs: {p: {chemistry: lipo, cells: 2, capacity: 2 Ah, rate: 30 C, plug: rx.batt}}
loads: {lamp: {current: 7 A, plug: rx.1}}
"""


def test_an_overload_is_marked_by_number_and_shape() -> None:
    pictures = draw_pages(report_of_text(OVERLOAD), ViewWish(case=WORST))
    said = words(pictures, "current-lamp.plug")
    (shown,) = re.findall(r"(\d+) %", said)
    assert int(shown) > 100
    (found,) = [i for p in pictures for i in walk(p.scene.items)
                if isinstance(i, Group) and i.id == "current-lamp.plug"]  # fmt: skip
    assert sum(isinstance(item, Path) for item in found.items) == 2


def test_the_same_bytes_twice() -> None:
    for to in ("svg", "pdf"):
        first, second = (
            render(draw_pages(report_of("dunlin-4"), ViewWish(case=WORST)), to)  # type: ignore[arg-type]
            for _ in range(2)
        )
        assert first == second
        assert next(iter(first)).startswith("run-worst")
