"""The figures of a plan's book as files of their own: numbers as CSV, charts as pictures."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from harness.cli.figure_press import named
from harness.cli.press import Made
from harness.documents.build_book.reckoned import Reckoned


def figure_files(reckoned: Iterable[Reckoned]) -> Iterator[Made]:
    """Yield the numbers and the charts of all that has figures."""
    from harness.drawing.pdf import to_pdf
    from harness.drawing.svg import to_svg
    from harness.paper import render_figures

    for one in reckoned:
        if one.figures is not None:
            text = render_figures(one.figures, "csv")
            yield Made(f"{named(one.stem)}.csv", f"{one.title}, csv", text)
        for stem, scene in one.charts:
            yield Made(f"{named(stem)}.svg", f"{one.title}, SVG", to_svg(scene, paper="scene"))
            yield Made(f"{named(stem)}.pdf", f"{one.title}, PDF", to_pdf([scene], paper="scene"))
