"""What is reckoned for the build book: loads, time lines, joined packs, flight; with charts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from harness.base.refusal import Refusal
from harness.drawing.scene import Scene
from harness.paper.blocks import Chapter, Picture, Say, chapter_of
from harness.paper.sheet import Figures
from harness.parts.pack import Pack
from harness.wiring.build import Wiring

if TYPE_CHECKING:
    from matplotlib.figure import Figure

    from harness.documents.charts.style import Page


@dataclass(frozen=True, slots=True)
class Reckoned:
    """One document of figures: `stem` of its files, the figures, its charts by their stems.

    `why`: why there are no figures.
    """

    stem: str
    title: str
    figures: Figures | None = None
    charts: tuple[tuple[str, Scene], ...] = ()
    why: str = ""


def reckoned(wiring: Wiring, page: Page) -> tuple[Reckoned, ...]:
    """Reckon all that the plan has figures for; where there is no solution it says why."""
    from harness.documents.figures.solved import blamed
    from harness.electrics.solver.circuit import NotSolved

    found: list[Reckoned] = []
    for stem, title, make in MAKERS:
        try:
            found += list(make(wiring, page))
        except NotSolved as unsolved:
            found.append(Reckoned(stem, title, why=blamed(wiring.plan, unsolved)))
        except Refusal as refusal:
            found.append(Reckoned(stem, title, why=str(refusal)))
    return tuple(found)


def figures_chapter(one: Reckoned) -> Chapter:
    """Return a document of figures as a chapter, its charts at the end.

    The cautions at its foot are left out: the book has them at its beginning and its end.
    """
    if one.figures is None:
        return Chapter(one.stem, one.title, (Say(f"No figures: {one.why}.", "warning"),))
    chapter = chapter_of(replace(one.figures.sheet, foot=()), one.stem, one.title)
    alt = " ".join(point.text for point in one.figures.sheet.points) or one.title
    pictures = (Picture(scene, f"Chart: {scene.title}", alt, whole=True)
                for _, scene in one.charts)  # fmt: skip
    return Chapter(chapter.anchor, chapter.title, (*chapter.blocks, *pictures))


def _chart(title: str, make: Callable[[], Figure]) -> Iterator[Scene]:
    """Yield a chart as a drawing; nothing where there is nothing to plot."""
    from harness.documents.charts.scenes import scene_of

    try:
        figure = make()
    except Refusal:
        return
    yield scene_of(figure, title, "computed from the plan, not measured")


def _load(wiring: Wiring, page: Page) -> Iterator[Reckoned]:
    from harness.documents.charts.share import WORST, share_figure
    from harness.documents.figures.load import load, solved_of

    solved = solved_of(wiring)
    if not solved.rows:
        return
    charts = _chart("the share of what each thing bears",
                    lambda: share_figure(solved.outcome, solved.rows, WORST, page))  # fmt: skip
    drawn = tuple(("load", scene) for scene in charts)
    yield Reckoned("load", "Loads: amperes, volts, heat", load(solved), drawn)


def _timelines(wiring: Wiring, page: Page) -> Iterator[Reckoned]:
    """Yield one for each function with a sequencer or legs: what the supply does to them."""
    from harness.documents.charts.timeline import timeline_figure
    from harness.documents.figures.timeline import timeline_figures
    from harness.electrics.gear.movers import functions_of
    from harness.electrics.gear.timeline import timeline

    for function, movers in functions_of(wiring).items():
        if not any(m.box is not None or m.part.is_leg for m in movers):
            continue
        line = timeline(wiring, function)
        stem, title = f"timeline-{function}", f"Time line of {function}"
        charts = _chart(title, lambda line=line: timeline_figure(wiring.plan, line, page))  # type: ignore[misc]
        drawn = tuple((stem, scene) for scene in charts)
        yield Reckoned(stem, title, timeline_figures(wiring.plan, line), drawn)


def _equalise(wiring: Wiring, page: Page) -> Iterator[Reckoned]:
    from harness.documents.charts.equalise import equalise_figure
    from harness.documents.figures.equalise import equalise_figures
    from harness.electrics.equalise import equalise

    groups = equalise(wiring)
    if not groups:
        return
    drawn = []
    for number, group in enumerate(groups, 1):
        title = f"{' and '.join(group.packs)} just joined"
        charts = _chart(title, lambda g=group: equalise_figure(wiring.plan, g, page))  # type: ignore[misc]
        stem = "equalise" if number == 1 else f"equalise-{number}"
        drawn += [(stem, scene) for scene in charts]
    figures = equalise_figures(wiring.plan, groups)
    yield Reckoned("equalise", "Packs just joined", figures, tuple(drawn))


def _endurance(wiring: Wiring, page: Page) -> Iterator[Reckoned]:
    from harness.documents.charts.endurance import endurance_figure
    from harness.documents.figures.endurance import endurance_figures
    from harness.electrics.flight.endurance import endurance

    if not any(wiring.plan.of(Pack)):
        return
    found = endurance(wiring)
    charts = _chart("endurance", lambda: endurance_figure(wiring.plan, found, page))
    drawn = tuple(("endurance", scene) for scene in charts)
    yield Reckoned("endurance", "Endurance", endurance_figures(wiring.plan, found), drawn)


Maker = Callable[[Wiring, "Page"], Iterator[Reckoned]]
MAKERS: tuple[tuple[str, str, Maker], ...] = (
    ("load", "Loads: amperes, volts, heat", _load),
    ("timeline", "Time lines", _timelines),
    ("equalise", "Packs just joined", _equalise),
    ("endurance", "Endurance", _endurance),
)
