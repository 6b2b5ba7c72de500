"""From a report and a wish to finished pages: all on one if it can be read there, else by place."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from harness.base.refusal import Refusal
from harness.diagram.currents import WORST, Currents
from harness.diagram.cuts import cut_around, cut_of, ends_of
from harness.diagram.findings import Marks, Numbered, missing_facts, numbered, on_sheet
from harness.diagram.page import TitleWords, guard, page_size, portions, scene_of, words_scene
from harness.diagram.page_setting import PageSetting
from harness.diagram.panels import FromAbove
from harness.diagram.part_words import spoken
from harness.diagram.printing import inner_page, is_readable
from harness.diagram.run_layout import LARGEST, ROOMY, excess, least_width, run_layout
from harness.diagram.sheets import SheetBuilder
from harness.diagram.stages import DrawnPage, Extract, PartsSheet, ViewWish
from harness.drawing.font import missing_glyphs
from harness.drawing.layout_model import Laid
from harness.drawing.scene import Group, Item, Point, Scene, Text, word_faults
from harness.rules.run import Report

Fits = Callable[[Extract], bool]
Tell = Callable[[str], object]
LOOSER = ("", "labels on leads", "over pages")
WIDEST_NUMBER = 88  # stands for page numbers that are not known yet
MOST_ON_PAGE, FULLEST = 120, 0.4  # parts, and the share of a page they cover: more is not tried
MOST_LEADS = 64  # at one part, on several pages
MOST_TOLD = 12  # findings that one of many pages tells: more are told on pages at the end


def draw_pages(
    report: Report, wish: ViewWish, marks: Marks | None = None, tell: Tell = str
) -> tuple[DrawnPage, ...]:
    """Return the pages a wish asks for, with the plan's findings marked, or `marks` instead.

    `tell` is told which of many pages is under way.

    Words on one another, or cut off, have it laid out anew: labels on the leads, then over pages.

    Raises Refusal for a place, function or lead that the plan does not have, for a wish that
    shows nothing, for a letter the font lacks and for words that no layout keeps apart,
    LayoutError when Graphviz fails, LostEdges when a lead, a part or a finding would be missing.
    """
    for looser in LOOSER:
        pages = Press(report, wish, marks, looser, tell).pages()
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
        self,
        report: Report,
        wish: ViewWish,
        marks: Marks | None = None,
        looser: str = "",
        tell: Tell = str,
    ) -> None:
        self.report, self.wish, self.looser, self.tell = report, wish, looser, tell
        note = missing_facts(report)
        self.marks = marks or Marks(numbered(report), view=view_words(wish), note=note)
        self.currents = Currents(report.wiring, wish.case) if wish.case else None
        self.setting = PageSetting(report, self.currents)
        self.findings = self.marks.found
        self.count = WIDEST_NUMBER
        self.drawn: dict[tuple[str, ...], tuple[PartsSheet, Laid]] = {}
        self.above = FromAbove(self.setting, inner_page(wish.page), self.findings)

    def pages(self) -> tuple[DrawnPage, ...]:
        """Return every page, each guarded; findings that find no room stand on pages at the end."""
        cut = cut_of(self.report, self.wish)
        if self.wish.view == "airframe":
            return self._from_above(cut)
        if self.wish.view != "run":  # plugs of leads that belong to another view
            shown = {end.id for m in cut.mates for end in (m.plug, m.socket) if end}
            if self.wish.view == "control":
                shown |= self.report.wiring.bare
            self.setting.artist.shown = frozenset(shown)
        self.setting.pages = dict.fromkeys(cut.parts, WIDEST_NUMBER)
        self.setting.many = len(cut.parts) > MOST_ON_PAGE
        cuts = pages_of(self.setting, cut, self._fits, self.tell)
        over = [self._overflow(page, first=not n) for n, page in enumerate(cuts)]
        homeless = {finding.number: finding for found in over for finding in found}
        words = portions([homeless[n] for n in sorted(homeless)], self.wish.page)
        self.count = len(cuts) + len(words)
        self._number_parts(cut, cuts)
        pairs = enumerate(zip(cuts, over, strict=True), 1)
        drawn = [self._picture(page, n, legend=not found) for n, (page, found) in pairs]
        last = enumerate(words, self.count - len(words) + 1)
        return (*drawn, *(self._words(found, n) for n, found in last))

    def _from_above(self, cut: Extract) -> tuple[DrawnPage, ...]:
        """Return the whole aeroplane, then its panels, then what findings found no room there."""
        self.setting.pages = dict.fromkeys(cut.parts, WIDEST_NUMBER)
        panels = self.above.panels(cut, self._heading(), place=self.wish.place)
        self.setting.pages = {part: n for n, p in enumerate(panels, 1) for part in p.cut.parts}
        self.count, over = len(panels), list[Numbered]()
        for final in (False, True):
            named = [(p, "" if self.wish.place else p.name) for p in panels]
            scenes = [
                self.above.scene(panel, self._heading(n, name), panels)
                for n, (panel, name) in enumerate(named, 1)
            ]
            over = [finding for _, found in scenes[:1] for finding in found]
            words = portions(over, self.wish.page)
            if final or not words:
                break
            self.count = len(panels) + len(words)
        drawn = [self._page(n, scene) for n, (scene, _) in enumerate(scenes, 1)]
        return (*drawn, *(self._words(found, n) for n, found in enumerate(words, len(panels) + 1)))

    def _words(self, found: list[Numbered], number: int) -> DrawnPage:
        words = tuple(f"{one.number}. {one.text}" for one in found)
        return self._page(number, words_scene(found, self._heading(number)), words)

    def _number_parts(self, cut: Extract, cuts: list[Extract]) -> None:
        """Tell stubs on which page the rest of their lead is."""
        self.setting.pages = {}
        if len(cuts) > 1:
            numbered_cuts = enumerate(cuts, 1)
            self.setting.pages = {part: n for n, page in numbered_cuts for part in page.parts}
        if len(cuts) > 1 or ends_of(cut.mates) - set(cut.parts):
            self.drawn.clear()

    def _fits(self, cut: Extract) -> bool:
        if self.looser == "over pages" and len(cut.parts) == len(self.setting.pages) > 1:
            return False
        if not self._may_fit(cut):
            return False
        _, laid = self._laid(cut)
        if excess(laid, inner_page(self.wish.page)) > LARGEST:
            return False
        if not self.setting.many:
            return is_readable(page_size(laid, (), self._heading()), self.wish.page)
        told = not self._overflow(cut, first=False)
        scene = self._picture(cut, WIDEST_NUMBER, legend=told).scene
        return is_readable((scene.width, scene.height), self.wish.page) and not word_faults(scene)

    def _may_fit(self, cut: Extract) -> bool:
        """Say, by their number and the area of their pictures, whether parts may find room."""
        if len(cut.parts) > MOST_ON_PAGE:
            return False
        wide, high = inner_page(self.wish.page)
        drawn = (self.setting.artist.glyph(self.report.plan.parts[name]) for name in cut.parts)
        return sum(g.width * g.height for g in drawn) <= FULLEST * wide * high * LARGEST**2

    def _overflow(self, cut: Extract, *, first: bool) -> list[Numbered]:
        """Return the findings of a page, none when they have room on it."""
        sheet, laid = self._laid(cut)
        found = on_sheet(self.findings, sheet, first=first)
        if not found or (self.setting.many and len(found) > MOST_TOLD):
            return found
        size = page_size(laid, found, self._heading())
        return [] if is_readable(size, self.wish.page) else found

    def _heading(self, number: int = WIDEST_NUMBER, of: str = "") -> TitleWords:
        plan, page = self.report.plan, f"page {number} of {self.count}"
        view = ", ".join(filter(None, (self.marks.view, of)))
        return TitleWords(
            plan.aircraft,
            view,
            plan.revision,
            page,
            self.wish.page,
            self.marks.note,
            self.currents.about if self.currents else "",
            self.marks.listed,
        )

    def _page(self, number: int, scene: Scene, words: tuple[str, ...] = ()) -> DrawnPage:
        page = f"page-{number}" if self.count > 1 else ""
        return DrawnPage(file_stem(self.wish, self.marks.file, page), scene.title, scene, words)

    def _picture(self, cut: Extract, number: int, *, legend: bool) -> DrawnPage:
        sheet, laid = self._laid(cut)
        found = on_sheet(self.findings, sheet, first=number == 1)
        heading = self._heading(number)
        scene = scene_of(self.report, sheet, laid, found, heading, legend=legend)
        guard(scene, cut, sheet, found)
        return self._page(number, scene)

    def _laid(self, cut: Extract) -> tuple[PartsSheet, Laid]:
        """Return pictures and places of one page, worked out once."""
        if cut.parts not in self.drawn:
            self.drawn[cut.parts] = self._as_run(cut, inner_page(self.wish.page))
        return self.drawn[cut.parts]

    def _as_run(self, cut: Extract, page: Point) -> tuple[PartsSheet, Laid]:
        """Labels on the leads where there is room, else over the names of the parts."""
        loose = SheetBuilder(self.setting, cut).sheet()
        least = 0.0 if self.looser else least_width(loose) / page[0]
        found: list[tuple[float, bool, PartsSheet, Laid]] = []
        for tight in (least > ROOMY, least <= ROOMY)[: 1 if self.looser else 2]:
            sheet = SheetBuilder(self.setting, cut, tight=True).sheet() if tight else loose
            sheet = replace(sheet, halos=self.marks.halos)
            laid = run_layout(sheet, page)
            size = max(excess(laid, page), ROOMY)
            found.append((size, tight, sheet, laid))
            if size <= ROOMY or (tight and size < least):
                break
        return min(found, key=lambda one: one[:2])[2:]


def file_stem(wish: ViewWish, picture: str = "", page: str = "") -> str:
    """Return what the file of a picture is called: its view, or `picture`, and what narrows it."""
    narrowed = (wish.place, wish.function, wish.lead, wish.case, page)
    name = "-".join([picture or wish.view, *filter(None, narrowed)])
    return re.sub(r"[^\w-]", "_", name)  # no sign that a shell would read


def view_words(wish: ViewWish) -> str:
    """Return the view in words: run view, place wing left."""
    words = [f"{wish.view} view"]
    words += [f"place {spoken(wish.place)}"] if wish.place else []
    words += [f"function {wish.function}"] if wish.function else []
    words += [f"lead {wish.lead}"] if wish.lead else []
    case = "the worst cases" if wish.case == WORST else f"case {wish.case}"
    words += [f"currents of {case}"] if wish.case else []
    return ", ".join(words)


def pages_of(setting: PageSetting, cut: Extract, fits: Fits, tell: Tell = str) -> list[Extract]:
    """Split a cut into as few pages as its places allow, each of them readable."""
    if fits(cut):
        return [cut]
    leads = Counter(part for mate in cut.mates for part in ends_of([mate]))
    if leads and (most := max(leads.values())) > MOST_LEADS:
        raise Refusal(
            f'"{max(leads, key=leads.__getitem__)}" has {most} leads, more than a page '
            f"shows, at most {MOST_LEADS}: draw one of them with --lead"
        )
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
            tell(f"drawing page {len(pages) + 1}")
            first, current = _divided(cut, current, fits, 2 * setting.many)
            pages.append(_cut(cut, first))
    return [*pages, _cut(cut, current)]


def _by_place(setting: PageSetting, cut: Extract) -> list[list[str]]:
    """Return the parts by outermost place, as leads reach them from the sources: neighbours near.

    Of many parts those that leads join are one group, place after place, where they may have room.
    """
    from networkx import DiGraph, dfs_preorder_nodes, weakly_connected_components

    plan, wiring = setting.report.plan, setting.report.wiring
    graph: DiGraph[str] = DiGraph()
    graph.add_nodes_from(cut.parts)
    graph.add_edges_from(
        (name, mate.plug.part.id)
        for name in cut.parts
        for port in wiring.by_part[name]
        for mate in wiring.by_socket.get(port.id, ())
        if mate.plug.part.id in graph
    )
    joined: dict[str, int] = {}
    if setting.many:
        graph.add_edges_from((on, p) for p in cut.parts if (on := plan.parts[p].across) in graph)
        for count, some in enumerate(weakly_connected_components(graph)):
            joined.update(dict.fromkeys(some, count) if len(some) <= MOST_ON_PAGE else {})
    fed, seen = {mate.plug.part.id for mate in cut.mates}, set[str]()
    places: dict[tuple[int | None, str], list[str]] = {}
    for start in (*(p for p in cut.parts if p not in fed), *cut.parts):
        for part in dfs_preorder_nodes(graph, start) if start not in seen else ():
            if part not in seen:
                root = plan.root(setting.home(plan.parts[part]))
                places.setdefault((joined.get(part), root), []).append(part)
                seen.add(part)
    groups: dict[int | str, list[str]] = {}
    for (number, root), parts in places.items():
        groups.setdefault(root if number is None else number, []).extend(parts)
    return list(groups.values())


def _divided(
    cut: Extract, parts: Sequence[str], fits: Fits, spare: int
) -> tuple[list[str], list[str]]:
    """Split off the longest readable beginning, or so many parts less, found by halving."""
    low, high = 1, min(len(parts) - 1, MOST_ON_PAGE)
    while high - low > spare:
        middle = (low + high + 1) // 2
        if fits(_cut(cut, parts[:middle])):
            low = middle
        else:
            high = middle - 1
    return list(parts[:low]), list(parts[low:])


def _cut(cut: Extract, parts: Sequence[str]) -> Extract:
    order = {part: index for index, part in enumerate(cut.parts)}
    return cut_around(cut.mates, sorted(parts, key=order.__getitem__))


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
        kind = "part" if kind == "told" else kind
        own = f'{kind} "{name}"' if kind in {"part", "place"} and "/" not in name else owner
        yield from _owned(group.items, own)
    yield from ((i, owner) for i in items if isinstance(i, Text) and i.text.strip())
