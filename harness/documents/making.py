"""Makes a document of the list in one format: the names of its files, and what they hold."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any, Literal, cast

from harness.base.data import dataclass
from harness.base.refusal import Refusal
from harness.documents.index import ENDINGS, PICTURES, Document, function_of
from harness.paper.blocks import Paper
from harness.paper.sheet import Figures

if TYPE_CHECKING:
    from harness.documents.charts import PlotSheet

Page = Literal["A4", "Letter"]
Files = dict[str, "bytes | str"]


@dataclass(frozen=True, slots=True)
class Chart:
    """A picture of figures: the stem of its file, its title, and who draws it."""

    stem: str
    title: str
    draw: Callable[[Page], PlotSheet]


@dataclass(frozen=True, slots=True)
class Reckoning:
    """Figures and their charts, made when asked for; `nothing`: why there is nothing to draw."""

    stem: str
    title: str
    figures: Callable[[], Figures]
    charts: tuple[Chart, ...] = ()
    nothing: str = ""


def file_named(stem: str, to: str) -> str:
    """Return the name of a file in a format."""
    return f"{stem}.{ENDINGS.get(to, to)}"


def files_of(
    document: Document,
    source: Any,
    to: str,
    page: str = "A4",
    words: Mapping[str, Any] | None = None,
) -> Files:
    """Make a document of a report, a wiring or else; `words`: its maker's. Raises Refusal."""
    made, size = function_of(document.makers[to])(source, **(words or {})), cast("Page", page)
    if isinstance(made, dict):
        return made
    if isinstance(made, tuple):
        from harness.diagram import render as pictures

        return {**pictures(made, cast("Any", to), size, _ways(source, to))}
    if isinstance(made, Reckoning):
        return _reckoned(made, to, size)
    return {file_named(document.name, to): _content(made, to, size)}


def _ways(source: Any, to: str) -> tuple[Any, ...]:
    """Return what lights up in a drawing of a report on a screen."""
    from harness.rules.run import Report

    if to != "svg" or not isinstance(source, Report):
        return ()
    from harness.documents.build_book.live import ways

    return ways(source)


def _content(made: Any, to: str, page: Page) -> bytes | str:
    """Write what a maker returned: a paper, figures, the lead list, or a text as it is."""
    if isinstance(made, str):
        return made
    if isinstance(made, Paper):
        from harness.paper import render as paper

        return paper(made, to, page)
    if isinstance(made, Figures):
        from harness.paper import render_figures

        return render_figures(made, to)
    raise TypeError(f"no document is made of {type(made).__name__}")


def _reckoned(made: Reckoning, to: str, page: Page) -> Files:
    if to not in PICTURES:
        return {file_named(made.stem, to): _content(made.figures(), to, page)}
    if not made.charts:
        raise Refusal(made.nothing)
    from harness.documents.charts import written

    scenes = {f"{c.stem}.{to}": c.draw(page).scene(c.title) for c in made.charts}
    return {name: written(scene, cast("Any", to)) for name, scene in scenes.items()}
