"""From a report and a wish to finished pages."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from harness.diagram.airframe import airframe_attempt
from harness.diagram.airframe_positions import Stance
from harness.diagram.attempt import Attempt, is_small_enough, smallest
from harness.diagram.currents import WORST, Currents
from harness.diagram.cuts import cut_of
from harness.diagram.findings import Marks, Numbered, missing_facts, numbered, on_sheet
from harness.diagram.guard import guard, refuse_unwritable
from harness.diagram.page import TitleWords, page_size, scene_of
from harness.diagram.page_setting import Shared
from harness.diagram.page_size import inner_page, is_readable
from harness.diagram.paging import pages_of
from harness.diagram.part_words import spoken
from harness.diagram.run_layout import run_layout
from harness.diagram.scale.frame import Frame, frame_of
from harness.diagram.scale.page import has_room, scale_scene
from harness.diagram.sheets import sheet_of
from harness.diagram.silhouette import silhouette
from harness.diagram.stages import DrawnPage, Extract, PartsSheet, ViewWish
from harness.diagram.trace import ends_of
from harness.diagram.word_pages import portions, words_scene
from harness.drawing.layout_model import Laid
from harness.drawing.scene import Group, Point
from harness.rules.run import Report


def draw_pages(report: Report, wish: ViewWish, marks: Marks | None = None) -> tuple[DrawnPage, ...]:
    """Return the pages a wish asks for, with the plan's findings marked, or `marks` instead.

    Raises Refusal for a place, function or lead that the plan does not have, for a wish that
    shows nothing and for a letter the font lacks, LayoutError when Graphviz fails, and LostEdges
    when a lead, a part or a finding would be missing.
    """
    pages = Press(report, wish, marks).pages()
    for page in pages:
        refuse_unwritable(page.scene)
    return pages


Behind = Callable[[Laid], list[Group]]
DEPTHS = (2, 1)  # columns in the middle of the aeroplane, less one
WIDEST_NUMBER = 88  # stands for page numbers that are not known yet
WIDEST_PAGE = f"page {WIDEST_NUMBER} of {WIDEST_NUMBER}"


class Press:
    """Draws the pages of one wish."""

    def __init__(self, report: Report, wish: ViewWish, marks: Marks | None = None) -> None:
        self.report, self.wish = report, wish
        note = missing_facts(report)
        self.marks = marks or Marks(numbered(report), view=view_words(wish), note=note)
        self.currents = Currents(report.wiring, wish.case) if wish.case else None
        self.desk = Shared(report, self.currents)
        self.findings = self.marks.found
        self.marked = marks is not None
        self.ahead = 0
        self.stances: dict[int, Stance] = {}
        self.drawn: dict[tuple[str, ...], tuple[PartsSheet, Laid, Behind]] = {}

    def pages(self) -> tuple[DrawnPage, ...]:
        """Return every page, each guarded; findings that find no room stand on pages at the end."""
        cut = cut_of(self.report, self.wish)
        self.desk.pages = dict.fromkeys(cut.parts, WIDEST_NUMBER)
        cuts = pages_of(self.desk, cut, self._fits)
        over = [self._overflow(page, first=not n) for n, page in enumerate(cuts)]
        homeless = {finding.number: finding for found in over for finding in found}
        words = portions([homeless[n] for n in sorted(homeless)], self.wish.page)
        frame = self._frame(cut)
        self.ahead = 1 if frame else 0
        count = self.ahead + len(cuts) + len(words)
        self._number_parts(cut, cuts)
        scaled = [self._scaled(frame, count)] if frame else []
        pairs = enumerate(zip(cuts, over, strict=True), 1 + self.ahead)
        drawn = [self._picture(page, n, count, legend=not found) for n, (page, found) in pairs]
        last = enumerate(words, count - len(words) + 1)
        spoken = [self._words(found, n, count) for n, found in last]
        return (*scaled, *drawn, *spoken)

    def _frame(self, cut: Extract) -> Frame | None:
        """Return the aeroplane to scale, for a page of its own before the others, if it is known.

        Not with currents or the marks of another document: those stand on the other pages.
        """
        if self.wish.view != "airframe" or self.currents or self.marked:
            return None
        frame = frame_of(self.desk, cut, inner_page(self.wish.page))
        if frame and not has_room(self.desk, frame, self._heading(WIDEST_PAGE)):
            return None
        return frame

    def _scaled(self, frame: Frame, count: int) -> DrawnPage:
        scene = scale_scene(self.desk, frame, self._heading(f"page 1 of {count}"))
        return DrawnPage(self._name(1, count), scene.title, scene)

    def _words(self, found: list[Numbered], number: int, count: int) -> DrawnPage:
        scene = words_scene(found, self._heading(f"page {number} of {count}"))
        words = tuple(f"{one.number}. {one.text}" for one in found)
        return DrawnPage(self._name(number, count), scene.title, scene, words)

    def _number_parts(self, cut: Extract, cuts: list[Extract]) -> None:
        """Tell stubs on which page the rest of their lead is."""
        self.desk.pages = {}
        if len(cuts) > 1:
            numbered_cuts = enumerate(cuts, 1 + self.ahead)
            self.desk.pages = {part: n for n, page in numbered_cuts for part in page.parts}
        if len(cuts) > 1 or ends_of(cut.mates) - set(cut.parts):
            self.drawn.clear()

    def _fits(self, cut: Extract) -> bool:
        _, laid, _ = self._laid(cut)
        if not is_small_enough(laid, inner_page(self.wish.page)):
            return False
        return is_readable(page_size(laid, (), self._heading(WIDEST_PAGE)), self.wish.page)

    def _overflow(self, cut: Extract, *, first: bool) -> list[Numbered]:
        """Return the findings of a page, none when they have room on it."""
        sheet, laid, _ = self._laid(cut)
        found = on_sheet(self.findings, sheet, first=first)
        if not found:
            return []
        size = page_size(laid, found, self._heading(WIDEST_PAGE))
        return [] if is_readable(size, self.wish.page) else found

    def _heading(self, page: str) -> TitleWords:
        plan = self.report.plan
        return TitleWords(
            plan.aircraft, self.marks.view, plan.revision, page, self.wish.page, self.marks.note,
            self.currents.about if self.currents else "", self.marks.listed,
        )  # fmt: skip

    def _name(self, number: int, count: int) -> str:
        return file_stem(self.wish, self.marks.file, f"page-{number}" if count > 1 else "")

    def _picture(self, cut: Extract, number: int, count: int, *, legend: bool) -> DrawnPage:
        sheet, laid, behind = self._laid(cut)
        found = on_sheet(self.findings, sheet, first=number == 1 + self.ahead)
        heading = self._heading(f"page {number} of {count}")
        scene = scene_of(self.report, sheet, laid, found, heading, behind, legend=legend)
        guard(scene, cut, sheet, found)
        return DrawnPage(self._name(number, count), scene.title, scene)

    def _laid(self, cut: Extract) -> tuple[PartsSheet, Laid, Behind]:
        """Return pictures and places of one page, worked out once."""
        if cut.parts not in self.drawn:
            self.drawn[cut.parts] = self._lay_out(cut)
        return self.drawn[cut.parts]

    def _lay_out(self, cut: Extract) -> tuple[PartsSheet, Laid, Behind]:
        page = inner_page(self.wish.page)
        if self.wish.view != "airframe":
            sheet = replace(sheet_of(self.desk, cut), halos=self.marks.halos)
            return sheet, run_layout(self.report.plan, sheet, page), lambda _: []
        poses = [self._as_aeroplane(cut, deepest, page) for deepest in DEPTHS]
        best = smallest(attempt for _, _, attempt in poses)
        sheet, stance = next((s, t) for s, t, attempt in poses if attempt is best)
        return sheet, best.done, lambda laid: silhouette(sheet, laid, stance)

    def _stance(self, deepest: int) -> Stance:
        """Return how the parts of the plan stand, worked out once."""
        if deepest not in self.stances:
            self.stances[deepest] = Stance(self.desk, deepest)
        return self.stances[deepest]

    def _as_aeroplane(
        self, cut: Extract, deepest: int, page: Point
    ) -> tuple[PartsSheet, Stance, Attempt]:
        stance = self._stance(deepest)
        sheet = sheet_of(self.desk, cut, stance.stand)
        return sheet, stance, airframe_attempt(self.report.plan, sheet, stance, page)


def file_stem(wish: ViewWish, picture: str = "", page: str = "") -> str:
    """Return what the file of a picture is called: its view, or `picture`, and what narrows it."""
    narrowed = (wish.place, wish.function, wish.lead, wish.case, page)
    name = "-".join([picture or wish.view, *filter(None, narrowed)])
    return name.replace("/", "_").replace(".", "_")


def _case_words(case: str) -> str:
    return "currents of the worst cases" if case == WORST else f"currents of case {case}"


def view_words(wish: ViewWish) -> str:
    """Return the view in words: run view, place wing left."""
    words = [f"{wish.view} view"]
    words += [f"place {spoken(wish.place)}"] if wish.place else []
    words += [f"function {wish.function}"] if wish.function else []
    words += [f"lead {wish.lead}"] if wish.lead else []
    words += [_case_words(wish.case)] if wish.case else []
    return ", ".join(words)
