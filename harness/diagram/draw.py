"""From a report and a wish to finished pages: all on one if it can be read there, else by place."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from harness.base.refusal import Refusal
from harness.diagram.airframe import Stance, airframe_attempt
from harness.diagram.currents import WORST, Currents
from harness.diagram.cuts import cut_around, cut_of, ends_of
from harness.diagram.findings import (
    Marks,
    Numbered,
    anchor_piece,
    missing_facts,
    numbered,
    on_sheet,
)
from harness.diagram.page import TitleWords, page_size, portions, scene_of, words_scene
from harness.diagram.page_setting import PageSetting
from harness.diagram.part_words import spoken
from harness.diagram.printing import inner_page, is_readable
from harness.diagram.run_layout import ROOMY, Attempt, excess, is_small_enough, run_layout, smallest
from harness.diagram.scale_frame import Frame, frame_of
from harness.diagram.scale_page import has_room, scale_scene
from harness.diagram.sheets import sheet_of
from harness.diagram.silhouette import silhouette
from harness.diagram.stages import DrawnPage, Extract, PartsSheet, ViewWish
from harness.drawing.font import missing_glyphs
from harness.drawing.layout_model import Laid, LostEdges
from harness.drawing.scene import Group, Item, Path, Point, Scene, Text, walk, word_faults
from harness.rules.run import Report

Behind = Callable[[Laid], list[Group]]
Fits = Callable[[Extract], bool]
DEPTHS = (2, 1)  # columns in the middle of the aeroplane, less one
LOOSER = ("", "labels on leads", "over pages")
WIDEST_NUMBER = 88  # stands for page numbers that are not known yet


def draw_pages(report: Report, wish: ViewWish, marks: Marks | None = None) -> tuple[DrawnPage, ...]:
    """Return the pages a wish asks for, with the plan's findings marked, or `marks` instead.

    Words on one another, or cut off, have it laid out anew: labels on the leads, then over pages.

    Raises Refusal for a place, function or lead that the plan does not have, for a wish that
    shows nothing, for a letter the font lacks and for words that no layout keeps apart,
    LayoutError when Graphviz fails, LostEdges when a lead, a part or a finding would be missing.
    """
    for looser in LOOSER:
        pages = Press(report, wish, marks, looser).pages()
        faults = [fault for page in pages for fault in word_faults(page.scene)]
        if not faults:
            break
    else:
        raise Refusal(
            f"{faults[0]} in the {view_words(wish)}, however it is laid out; "
            "shorten these words, or draw less with --place, --function or --lead"
        )
    for page in pages:
        refuse_unwritable(page.scene)
    return pages


class Press:
    """Draws the pages of one wish."""

    def __init__(
        self, report: Report, wish: ViewWish, marks: Marks | None = None, looser: str = ""
    ) -> None:
        self.report, self.wish, self.looser = report, wish, looser
        note = missing_facts(report)
        self.marks = marks or Marks(numbered(report), view=view_words(wish), note=note)
        self.currents = Currents(report.wiring, wish.case) if wish.case else None
        self.setting = PageSetting(report, self.currents)
        self.findings = self.marks.found
        self.marked = marks is not None
        self.ahead, self.count = 0, WIDEST_NUMBER
        self.stances: dict[int, Stance] = {}
        self.drawn: dict[tuple[str, ...], tuple[PartsSheet, Laid, Behind]] = {}

    def pages(self) -> tuple[DrawnPage, ...]:
        """Return every page, each guarded; findings that find no room stand on pages at the end."""
        cut = cut_of(self.report, self.wish)
        if self.wish.view == "power":  # what carries signals alone is no matter there
            ends = [end for m in cut.mates for end in (m.plug, m.socket) if end]
            self.setting.artist.shown = frozenset(end.id for end in ends)
        self.setting.pages = dict.fromkeys(cut.parts, WIDEST_NUMBER)
        cuts = pages_of(self.setting, cut, self._fits)
        over = [self._overflow(page, first=not n) for n, page in enumerate(cuts)]
        homeless = {finding.number: finding for found in over for finding in found}
        words = portions([homeless[n] for n in sorted(homeless)], self.wish.page)
        frame = self._frame(cut)
        self.ahead = 1 if frame else 0
        self.count = self.ahead + len(cuts) + len(words)
        self._number_parts(cut, cuts)
        scaled = (
            [self._page(1, scale_scene(self.setting, frame, self._heading(1)))] if frame else []
        )
        pairs = enumerate(zip(cuts, over, strict=True), 1 + self.ahead)
        drawn = [self._picture(page, n, legend=not found) for n, (page, found) in pairs]
        last = enumerate(words, self.count - len(words) + 1)
        return (*scaled, *drawn, *(self._words(found, n) for n, found in last))

    def _frame(self, cut: Extract) -> Frame | None:
        """Return the aeroplane to scale, for a page of its own before the others, if it is known.

        Not with currents or the marks of another document: those stand on the other pages.
        """
        if self.wish.view != "airframe" or self.currents or self.marked:
            return None
        frame = frame_of(self.setting, cut, inner_page(self.wish.page))
        if frame and not has_room(self.setting, frame, self._heading()):
            return None
        return frame

    def _words(self, found: list[Numbered], number: int) -> DrawnPage:
        words = tuple(f"{one.number}. {one.text}" for one in found)
        return self._page(number, words_scene(found, self._heading(number)), words)

    def _number_parts(self, cut: Extract, cuts: list[Extract]) -> None:
        """Tell stubs on which page the rest of their lead is."""
        self.setting.pages = {}
        if len(cuts) > 1:
            numbered_cuts = enumerate(cuts, 1 + self.ahead)
            self.setting.pages = {part: n for n, page in numbered_cuts for part in page.parts}
        if len(cuts) > 1 or ends_of(cut.mates) - set(cut.parts):
            self.drawn.clear()

    def _fits(self, cut: Extract) -> bool:
        if self.looser == "over pages" and len(cut.parts) == len(self.setting.pages) > 1:
            return False
        _, laid, _ = self._laid(cut)
        return is_small_enough(laid, inner_page(self.wish.page)) and is_readable(
            page_size(laid, (), self._heading()), self.wish.page
        )

    def _overflow(self, cut: Extract, *, first: bool) -> list[Numbered]:
        """Return the findings of a page, none when they have room on it."""
        sheet, laid, _ = self._laid(cut)
        found = on_sheet(self.findings, sheet, first=first)
        if not found:
            return []
        size = page_size(laid, found, self._heading())
        return [] if is_readable(size, self.wish.page) else found

    def _heading(self, number: int = WIDEST_NUMBER) -> TitleWords:
        plan, page = self.report.plan, f"page {number} of {self.count}"
        return TitleWords(
            plan.aircraft, self.marks.view, plan.revision, page, self.wish.page, self.marks.note,
            self.currents.about if self.currents else "", self.marks.listed,
        )  # fmt: skip

    def _page(self, number: int, scene: Scene, words: tuple[str, ...] = ()) -> DrawnPage:
        page = f"page-{number}" if self.count > 1 else ""
        return DrawnPage(file_stem(self.wish, self.marks.file, page), scene.title, scene, words)

    def _picture(self, cut: Extract, number: int, *, legend: bool) -> DrawnPage:
        sheet, laid, behind = self._laid(cut)
        found = on_sheet(self.findings, sheet, first=number == 1 + self.ahead)
        heading = self._heading(number)
        scene = scene_of(self.report, sheet, laid, found, heading, behind, legend=legend)
        guard(scene, cut, sheet, found)
        return self._page(number, scene)

    def _laid(self, cut: Extract) -> tuple[PartsSheet, Laid, Behind]:
        """Return pictures and places of one page, worked out once."""
        if cut.parts not in self.drawn:
            self.drawn[cut.parts] = self._lay_out(cut)
        return self.drawn[cut.parts]

    def _lay_out(self, cut: Extract) -> tuple[PartsSheet, Laid, Behind]:
        page = inner_page(self.wish.page)
        if self.wish.view != "airframe":
            return self._as_run(cut, page)
        poses = [self._as_aeroplane(cut, deepest, page) for deepest in DEPTHS]
        best = smallest(attempt for _, _, attempt in poses)
        sheet, stance = next((s, t) for s, t, attempt in poses if attempt is best)
        return sheet, best.done, lambda laid: silhouette(sheet, laid, stance)

    def _as_run(self, cut: Extract, page: Point) -> tuple[PartsSheet, Laid, Behind]:
        """Labels on the leads where there is room, else over the names of the parts."""
        found: list[tuple[PartsSheet, Laid]] = []
        for tight in (False,) if self.looser else (False, True):
            drawn = sheet_of(self.setting, cut, tight=tight)
            sheet = replace(drawn, halos=self.marks.halos)
            found.append((sheet, run_layout(sheet, page)))
            if excess(found[-1][1], page) <= ROOMY:
                break
        sheet, laid = min(found, key=lambda pair: max(excess(pair[1], page), ROOMY))
        return sheet, laid, lambda _: []

    def _as_aeroplane(
        self, cut: Extract, deepest: int, page: Point
    ) -> tuple[PartsSheet, Stance, Attempt]:
        stance = self.stances.get(deepest) or Stance(self.setting, deepest)
        self.stances[deepest] = stance  # it stands for the whole plan, so for every page
        sheet = sheet_of(self.setting, cut, stance.stand)
        return sheet, stance, airframe_attempt(self.report.plan, sheet, stance, page)


def file_stem(wish: ViewWish, picture: str = "", page: str = "") -> str:
    """Return what the file of a picture is called: its view, or `picture`, and what narrows it."""
    narrowed = (wish.place, wish.function, wish.lead, wish.case, page)
    name = "-".join([picture or wish.view, *filter(None, narrowed)])
    return name.replace("/", "_").replace(".", "_")


def view_words(wish: ViewWish) -> str:
    """Return the view in words: run view, place wing left."""
    words = [f"{wish.view} view"]
    words += [f"place {spoken(wish.place)}"] if wish.place else []
    words += [f"function {wish.function}"] if wish.function else []
    words += [f"lead {wish.lead}"] if wish.lead else []
    case = "the worst cases" if wish.case == WORST else f"case {wish.case}"
    words += [f"currents of {case}"] if wish.case else []
    return ", ".join(words)


def pages_of(setting: PageSetting, cut: Extract, fits: Fits) -> list[Extract]:
    """Split a cut into as few pages as its places allow, each of them readable."""
    if fits(cut):
        return [cut]
    pages: list[Extract] = []
    current: list[str] = []
    for group in _by_place(setting, cut):
        if current and fits(_cut(cut, [*current, *group])):
            current += group
            continue
        if current:
            pages.append(_cut(cut, current))
        current = group
        while len(current) > 1 and not fits(_cut(cut, current)):
            first, current = _divided(cut, current, fits)
            pages.append(_cut(cut, first))
    return [*pages, _cut(cut, current)]


def _by_place(setting: PageSetting, cut: Extract) -> list[list[str]]:
    """Return the parts by outermost place, in the order of the plan, the sources first."""
    plan = setting.report.plan
    groups: dict[str, list[str]] = {}
    for part in _walked(setting, cut):
        groups.setdefault(plan.root(setting.home(plan.parts[part])), []).append(part)
    return list(groups.values())


def _walked(setting: PageSetting, cut: Extract) -> list[str]:
    """Return the parts in the order in which leads reach them, so that neighbours stay near."""
    wiring, shown = setting.report.wiring, set(cut.parts)
    found: dict[str, None] = {}
    fed = {mate.plug.part.id for mate in cut.mates}

    def visit(part: str) -> None:
        if part in found or part not in shown:
            return
        found[part] = None
        for port in wiring.by_part[part]:
            for mate in wiring.by_socket.get(port.id, ()):
                visit(mate.plug.part.id)

    for part in (*(p for p in cut.parts if p not in fed), *cut.parts):
        visit(part)
    return list(found)


def _divided(cut: Extract, parts: Sequence[str], fits: Fits) -> tuple[list[str], list[str]]:
    """Split off the longest readable beginning, found by halving."""
    low, high = 1, len(parts) - 1
    while low < high:
        middle = (low + high + 1) // 2
        if fits(_cut(cut, parts[:middle])):
            low = middle
        else:
            high = middle - 1
    return list(parts[:low]), list(parts[low:])


def _cut(cut: Extract, parts: Sequence[str]) -> Extract:
    order = {part: index for index, part in enumerate(cut.parts)}
    return cut_around(cut.mates, sorted(parts, key=order.__getitem__))


def guard(scene: Scene, cut: Extract, sheet: PartsSheet, found: Sequence[Numbered]) -> None:
    """Compare a finished page with what it was asked to show; raises LostEdges."""
    wanted = [f"lead-{'.'.join(mate.plug.id)}" for mate in cut.mates]
    wanted += [f"part-{part}" for part in cut.parts]
    wanted += [f"finding-{n.number}" for n in found if anchor_piece(n, sheet)]
    drawn = drawn_ids(scene)
    lost = tuple(name for name in wanted if name not in drawn)
    if lost:
        raise LostEdges(lost)


def drawn_ids(scene: Scene) -> set[str]:
    """Return the ids of groups that show something."""
    return {
        item.id
        for item in walk(scene.items)
        if isinstance(item, Group)
        and item.id
        and any(isinstance(inner, Path) for inner in walk(item.items))
    }


def refuse_unwritable(scene: Scene) -> None:
    """Raise Refusal, naming character and part, for a text that the font cannot write."""
    for item, owner in _owned(scene.items, ""):
        if missing := missing_glyphs(item.text, item.weight):
            names = ", ".join(f"U+{ord(letter):04X}" for letter in missing)
            where = f" of {owner}" if owner else ""
            raise Refusal(
                f"the drawings' font has no {names} for the words {item.text!a}{where}; "
                "write it with letters that the font has"
            )


def _owned(items: Iterable[Item], owner: str) -> Iterator[tuple[Text, str]]:
    """Yield every text with the part or place it belongs to; parts first, words about them last."""
    inner = [i for i in items if isinstance(i, Group)]
    for group in sorted(inner, key=lambda g: not g.id.startswith("part-")):
        kind, _, name = group.id.partition("-")
        own = f'{kind} "{name}"' if kind in {"part", "place"} and "/" not in name else owner
        yield from _owned(group.items, own)
    yield from ((i, owner) for i in items if isinstance(i, Text) and i.text.strip())
