"""Every document, once: its name and title, the command that prints it, its formats, its chapter.

The command line, the build book, the files beside the book and the README's table are made from
this list, so that none of them can know a document that another does not. It is plain data, so
that `--help` comes at once: who makes a document is written as "module:function" below `harness`,
and imported when it is asked for.
"""

from __future__ import annotations

TYPE_CHECKING = False  # typing itself takes longer to import than all of this
if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from typing import Any

PAPER = ("text", "html", "pdf")
FIGURES = ("table", "json", "csv", "html")
PICTURES = ("svg", "pdf", "png")
CHARTED = (*FIGURES, "svg", "pdf")
ENDINGS = {"table": "txt", "text": "txt", "markdown": "md", "spice": "cir", "yaml": "results.yaml"}
"""How the name of a file ends where that is not its format."""


class Document:
    """What is known of a document without making it.

    `makers`: who makes it, by format, the usual one first; "" where its command does. `chapter`:
    who makes its chapter of the build book, and from which of the book's material; `figures`: who
    reckons the figures whose chapters it has there. `beside`: the formats that lie beside the
    book. `judged`: whether it is made from a report, not from a wiring alone. `work`: what takes
    the time. Its file is called by its name.
    """

    def __init__(
        self,
        name: str,
        title: str,
        command: str = "",
        makers: Mapping[str, str] | None = None,
        *,
        chapter: tuple[str, ...] = (),
        figures: str = "",
        beside: tuple[str, ...] = (),
        judged: bool = False,
        work: str = "",
    ) -> None:
        self.name, self.title, self.command, self.makers = name, title, command, makers or {}
        self.chapter, self.figures, self.beside = chapter, figures, beside
        self.judged, self.work = judged, work

    @property
    def formats(self) -> tuple[str, ...]:
        """The formats it comes in, the usual one first."""
        return tuple(self.makers)

    @property
    def paged(self) -> bool:
        """Whether it can be set on paper of a size."""
        return not {"pdf", "svg"}.isdisjoint(self.makers)

    @property
    def in_book(self) -> bool:
        """Whether the build book has chapters of it."""
        return bool(self.chapter or self.figures)


def function_of(name: str) -> Callable[..., Any]:
    """Import the function that the list names."""
    from pkgutil import resolve_name

    found: Callable[..., Any] = resolve_name(f"harness.{name}")
    return found


def _by(maker: str, *formats: str, **others: str) -> dict[str, str]:
    """Return who makes each format: one for some of them, others for others."""
    return {**dict.fromkeys(formats, maker), **others}


DOCUMENTS = (
    Document("cautions", "Before you connect anything",
             chapter=("documents.build_book.chapters:cautions_chapter", "report")),
    Document("plan", "The plan", "check", _by("", "text", "json", "sarif"),
             chapter=("documents.build_book.chapters:plan_chapter", "report")),
    Document("diagrams", "Diagrams", "draw",
             _by("diagram:draw_pages", *PICTURES, dot="diagram.dot:dot_files"),
             chapter=("documents.build_book.chapters:diagrams_chapter", "report", "drawings"),
             beside=("svg", "pdf"), judged=True, work="drawing"),
    Document("transmitter", "Transmitter sheet", "transmitter",
             _by("documents.transmitter:transmitter_paper", *PAPER,
                 csv="documents.transmitter:transmitter_csv",
                 json="documents.transmitter:transmitter_json"),
             chapter=("documents.transmitter:transmitter_chapter", "report"), judged=True),
    Document("leads", "Lead list", "leads",
             _by("documents.leads:lead_document", "table", "csv", "markdown", "html"),
             chapter=("documents.build_book.chapters:leads_chapter", "wiring"),
             beside=("csv",), work="listing the leads"),
    Document("kit", "Kit and shopping list", "kit",
             _by("documents.kit:kit_paper", *PAPER, csv="documents.kit:kit_csv",
                 json="documents.kit:kit_json"),
             chapter=("documents.kit:kit_chapter", "report")),
    Document("lengths", "Lengths", "lengths", _by("documents.lengths:lengths_figures", *FIGURES),
             chapter=("documents.lengths:lengths_chapter", "report")),
    Document("labels", "Labels", "labels --stock NAME",
             {"pdf": "documents.plan_labels:label_files"},
             chapter=("documents.plan_labels:labels_chapters", "labels"),
             beside=("pdf",), work="making the labels"),
    Document("test-page", "Test page with rulers, for the printer", "labels --test-page",
             {"pdf": "documents.plan_labels:page_files"}, beside=("pdf",)),
    Document("steps", "Order of work", "steps",
             _by("documents.steps:steps_paper", *PAPER, json="documents.steps:steps_json"),
             chapter=("documents.steps:steps_chapter", "report"), judged=True,
             work="putting the steps in order"),
    Document("load", "Loads: amperes, volts, heat", "load",
             _by("documents.reckoning:load", *CHARTED, spice="documents.reckoning:load_netlist"),
             figures="documents.reckoning:loads", beside=("csv", "svg", "pdf"),
             work="solving all cases"),
    Document("timeline", "Time lines", "timeline", _by("documents.reckoning:timeline", *CHARTED),
             figures="documents.reckoning:timelines", beside=("csv", "svg", "pdf"),
             work="following the function"),
    Document("equalise", "Packs just joined", "equalise",
             _by("documents.reckoning:equalise", *CHARTED),
             figures="documents.reckoning:joined_packs", beside=("csv", "svg", "pdf"),
             work="joining the packs"),
    Document("endurance", "Endurance", "endurance",
             _by("documents.reckoning:endurance", *CHARTED),
             figures="documents.reckoning:flights", beside=("csv", "svg", "pdf"),
             work="flying the phases"),
    Document("protocol", "Bench protocol", "protocol",
             _by("documents.protocol:protocol_paper", *PAPER,
                 csv="documents.protocol:protocol_csv",
                 json="documents.protocol:protocol_json",
                 yaml="documents.protocol:empty_form"),
             chapter=("documents.protocol:protocol_chapter", "report", "record"), judged=True),
    Document("field", "At the field", "steps --field",
             _by("documents.steps:steps_paper", *PAPER, json="documents.steps:steps_json"),
             chapter=("documents.steps:field_chapter", "report"), judged=True,
             work="putting the steps in order"),
    Document("traces", "Every part's way to signal and supply", "trace", {"text": ""},
             chapter=("documents.build_book.chapters:traces_chapter", "wiring")),
    Document("wall", "Wall sheet, one page", "book --sheet wall",
             {"pdf": "documents.wall:wall_files"}, judged=True, work="setting the wall sheet"),
    Document("book", "Build book", "book", {"html": "", "pdf": ""}, judged=True,
             work="drawing and reckoning"),
    Document("results", "What was measured, against what was expected", "record",
             _by("", "text", "json")),
    Document("proposal", "Proposed plan", "assign", _by("", "text", "plan", "diff", "json")),
    Document("changes", "What changed between two plans", "compare",
             {"text": "documents.changes:changes_text", "json": "documents.changes:changes_json",
              **dict.fromkeys(PICTURES, "documents.changes.marks:changed_pages")},
             judged=True, work="comparing the plans"),
)  # fmt: skip
"""In the order of the build book; what stands after the book has no chapter in it."""
BY_NAME = {document.name: document for document in DOCUMENTS}


def title_of(name: str) -> str:
    """Return what a document is called."""
    return BY_NAME[name].title
