"""The plans that many tests look at, and what is made of them: once in a process, for all tests.

Whoever puts something else in the program's place (`monkeypatch`) reads and checks a plan anew:
facts are kept with a wiring.
"""

from __future__ import annotations

from functools import cache
from pathlib import Path
from unittest import mock

from support import plan_of

from harness.diagram import DrawnPage, ViewWish, draw, draw_pages
from harness.documents.build_book import Material, book_paper, material_of
from harness.paper.blocks import Paper
from harness.paper.pdf import as_pdf
from harness.plan.load import load_plan
from harness.rules.run import Report, check

FOLDER = Path(__file__).parents[1] / "examples"
GOOD = sorted(path for path in FOLDER.glob("*.yaml") if "." not in path.stem)
BROKEN = sorted((FOLDER / "broken").glob("*.yaml"))
EVERY_KIND = Path(__file__).with_name("every_kind.yaml")


def path_of(name: str) -> Path:
    """The file of an example: saltmarsh-19, broken/reversed-pack."""
    return FOLDER / f"{name}.yaml"


@cache
def report_at(plan: Path | str) -> Report:
    """Of the file, or of the text of a plan."""
    return check(plan_of(plan) if isinstance(plan, str) else load_plan(str(plan)))


@cache
def drawing(
    plan: Path | str, view: str = "run", page: str = "A4", case: str = ""
) -> tuple[draw.Press, tuple[DrawnPage, ...]]:
    """The pages of a view, and the press they come from: the last that was tried."""
    presses: list[draw.Press] = []

    class Watched(draw.Press):
        def pages(self) -> tuple[DrawnPage, ...]:
            presses.append(self)
            return super().pages()

    with mock.patch.object(draw, "Press", Watched):
        pages = draw_pages(report_at(plan), ViewWish(view=view, page=page, case=case))  # type: ignore[arg-type]
    return presses[-1], pages


@cache
def book(plan: Path | str, page: str = "A4") -> tuple[Material, Paper]:
    """The build book's material and its paper."""
    material = material_of(report_at(plan), page)
    return material, book_paper(report_at(plan), page, material)


@cache
def book_pdf(plan: Path | str) -> bytes:
    return as_pdf(book(plan)[1])
