"""The wall sheet: one page with the run view and what no hand at the aeroplane may do wrong.

The lists stand in the room that the picture leaves free. All gets smaller until it has room on one
page, broad or upright. What has none is drawn without its battery side, and says so, or refused.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import product
from typing import Any, cast

import numpy as np
from numpy.typing import NDArray

from harness.airframe.stages import MAKE, plug_task
from harness.airframe.steps import has_cells
from harness.base.data import dataclass
from harness.base.near import masked, spoken, told_once
from harness.base.refusal import Refusal
from harness.bench.workbench import Bench
from harness.diagram.cuts import cut_of
from harness.diagram.draw import MOST_ON_PAGE, refuse_unwritable
from harness.diagram.findings import missing_facts
from harness.diagram.page import guard, leads_and_parts
from harness.diagram.page_setting import PageSetting
from harness.diagram.printing import LARGEST, MARGIN, inner_page
from harness.diagram.room import CELL, FreeRoom
from harness.diagram.run_layout import run_layout
from harness.diagram.sheets import SheetBuilder
from harness.diagram.stages import View, ViewWish
from harness.diagram.zone_names import zones_of
from harness.documents.cautions import CHARGING, MAKERS, faults_text, sentence
from harness.documents.making import Files
from harness.documents.steps.building import pins
from harness.documents.steps.power import LIVE, NEAR, OUT, armed, spark_details
from harness.documents.steps.work import Work, without_origins
from harness.documents.transmitter.rows import ChannelRow, outputs_of, rows_of
from harness.drawing import look
from harness.drawing.font import Weight, text_width
from harness.drawing.layout_model import Laid
from harness.drawing.scene import (
    Group,
    Item,
    Paper,
    Path,
    Point,
    Scene,
    moved_group,
    rect_path,
    text,
    word_faults,
)
from harness.electrics.gear.power_up import power_up_warning
from harness.facts.battery import levels, standing
from harness.facts.motion import turning
from harness.facts.of_leads import pulled_words
from harness.facts.rails import rails
from harness.parts.contacts import Contact, Form
from harness.parts.figure import rule_figure
from harness.parts.motor import Motor
from harness.parts.pack import Pack
from harness.rules.run import Report
from harness.wiring.build import Mate

Grid = NDArray[Any]
Row = tuple[str, ...]
Spots = dict[int, tuple[Point, float]]
"""By the number of a list its top left corner and its breadth in em."""


@dataclass(frozen=True, slots=True)
class Card:
    """A list: one head is its title, several those of columns; the column `wide` gives way."""

    heads: Row
    rows: tuple[Row, ...]
    wide: int = 0
    grave: bool = False


def cards(report: Report, left_out: str = "") -> Iterator[Card]:
    """Yield the lists: what is never done, channels, pulled pins, packs."""
    work, bench, plan = Work(report, drawn=False), Bench(report.wiring), report.plan
    about = (f"wall sheet, plan {plan.revision}", missing_facts(report), left_out)
    yield Card((plan.aircraft,), tuple((line,) for line in about if line))
    never = tuple(("•", line) for line in _never(work) if line)
    yield Card(("Never with this aeroplane",), never, wide=1, grave=True)
    rows = tuple(_channel(row) for row in rows_of(bench))
    rows += tuple(_channel(row, "in the autopilot") for row in outputs_of(bench))
    if rows:
        yield Card(("channel", "function", "plugs", "switch or stick", "failsafe"), rows, wide=2)
    if rows := tuple(_pulled(work)):
        yield Card(("pin of", "in", "stays"), rows, wide=1)
    if rows := tuple((f"{n}.", line) for n, line in enumerate(_packs(work), 1)):
        yield Card(("Transmitter on, then the packs",), rows, wide=1)


def _channel(row: ChannelRow, unsaid: str = "______") -> Row:
    pairs = zip(row.devices, row.codes, strict=True)
    plugs = ", ".join(code or device for device, code in pairs) or "none"
    settings = row.switch or row.stick or unsaid, row.failsafe or unsaid
    return row.label, row.function or unsaid, plugs, *settings


def _pulled(work: Work) -> Iterator[Row]:
    """Yield each plug with a pulled pin: its code, where it goes, what is out."""
    for mate in work.wiring.mates:
        if words := pulled_words(mate):
            into = work.into(mate.socket) if mate.socket else mate.into
            yield work.code(mate.plug), into, words


def _never(work: Work) -> Iterator[str]:
    """Yield what is never done with this aeroplane, and why, as its own plan has it."""
    plan, turns = work.plan, turning(work.plan)
    yield faults_text(work.report)
    if any(plan.of(Motor)):
        yield f"Never test with {turns.on} but where the test says so: a connected pack is armed."
        if plugs := spoken(work.code(mate.plug) for mate in work.arming):
            yield f"Never fit the arming plug {plugs} but {LIVE}; {NEAR}."
        else:
            yield f"Never plug a pack in but with {NEAR}: the motor can start at any time."
    apart = {work.code(mate.plug): _apart(work, mate) for mate in work.wiring.mates}
    kept = [code for code, some in apart.items() if some]
    if kept:
        names = dict.fromkeys(name for some in apart.values() for name in some)
        two = "both" if len(names) == 2 else "two of"
        said = f"{two} {spoken(names)} would feed one rail"
        yield f"Never put a pin back into {spoken(kept, 'or')}: {said}."
    yield from _of_packs(work)
    motors = ((n, c) for n, c in plan.channels.items() if plan.words.base(c.function) == "throttle")
    safe = [f"channel {n} {c.function}: {c.failsafe or 'not in the plan yet'}" for n, c in motors]
    stop = f"the motors stop ({'; '.join(safe)})" if safe else "all goes to its failsafe"
    yield f"Never fly before range and failsafe are tried: with the transmitter off {stop}."
    yield sentence(power_up_warning(work.wiring))
    yield f"{MAKERS.partition('. ')[0]}."


def _apart(work: Work, mate: Mate) -> list[str]:
    """Name the supplies that a pulled red pin keeps apart, if there are such."""
    ends = [port.id for port in (mate.plug, mate.socket) if port is not None]
    feeds = [
        {feed.source.owner for feed in rails(work.wiring).feeds(Contact(*end, "positive"))}
        for end in ends
        if "positive" in mate.join.pulled
    ]
    if len(feeds) < 2 or not all(feeds) or feeds[0] & feeds[1]:
        return []
    return [name for side in feeds for name in sorted(side)]


def _of_packs(work: Work) -> Iterator[str]:
    """Yield what packs must not meet, and how they are never charged."""
    packs, limit = list(work.plan.of(Pack)), rule_figure(work.plan.catalogue, "parallel", "warning")
    for level in levels(work.wiring):
        if len(level.packs) > 1:
            names = spoken(pack.id for pack in level.packs)
            yield f"Never join {names} more than {limit.number:g} V a cell apart."
    for pair in standing(work.wiring):
        names = spoken(pack.id for level in pair for pack in level.packs)
        yield f"Never feed anything from one alone of {names}, which stand one on the other."
    ends = (work.wiring.ports[pack.id, "main"] for pack in packs if not pack.connector)
    if bare := spoken(port.part.named() for port in ends if port.form is Form.POWER):
        yield f"Never join {bare} before a meter has said which pole is plus: no plug is stated."
    kinds: dict[str, list[str]] = {}
    for pack in packs:
        kinds.setdefault(f"{pack.cells}S {pack.chemistry}", []).append(pack.named())
    for kind, places in kinds.items():
        yield f"Never put another pack than {kind} in the place of {spoken(places)}."
    joined = ", or joined to another" if len(packs) > 1 else ""
    yield f"Never charge a pack in the aeroplane{joined}. {CHARGING}" if packs else ""


def _packs(work: Work) -> Iterator[str]:
    """Yield the plugs of the packs in the order of work, and what to mind at each."""
    if work.report.first:
        yield "None before what is wrong is mended."
        return
    made = [work.by_name[s.task.name] for s in work.order.steps if s.task.kind == MAKE]
    joins = [mate for mate in made if has_cells(mate) or mate.plug.part.arms]
    sparks = spark_details(work, joins)
    for mate in joins:
        spark = OUT if mate.plug.part.arms else sparks.get(plug_task(mate).name, "")
        said = without_origins((*pins(work, mate), spark))
        yield "; ".join(filter(None, (work.plug(mate), *said)))
    names, alike = {*work.plan.parts}, dict[str, list[str]]()
    for entry in armed(work, sparks, "", "wall"):  # what is live then stands under Never
        said = without_origins(entry.tick.details[1:])
        text = "; ".join((f"{entry.tick.text}, last of all", *said))
        alike.setdefault(masked(text, names), []).append(text)
    yield from (told_once(texts, names) for texts in alike.values())


GAP = 5.0
BREADTHS = (75.0, 66.0, 58.0, 52.0, 47.0, 42.0, 38.0, 34.0, 30.0, 27.0, 24.0, 21.0, 18.0)
"""What a list is tried in, em."""
LADDER = ((12.8, 10.0), (12.0, 10.0), (11.0, 10.0), (10.0, 9.5), (9.5, 9.5), (9.0, 9.0), (8.5, 8.5),
          (8.0, 8.5), (8.0, 8.0), (7.75, 8.0), (7.5, 8.0), (7.25, 8.0), (7.0, 8.0), (6.8, 8.0),
          (6.6, 8.0), (6.5, 8.0))  # fmt: skip
"""Smallest text of the picture, and text of the lists, points on paper: tried from the largest."""
OTHER: dict[View, str] = {"run": "", "control": (
    "Too large for one page: its battery side is left out here, harness draw PLAN --view power"
    " draws it"
)}  # fmt: skip


def wall_files(report: Report, page: str = "A4") -> Files:
    """Return the wall sheet as a PDF; raises Refusal where the plan is too large for one page."""
    from harness.drawing.pdf import to_pdf

    scene, paper = wall_scene(report, page), cast("Paper", page)
    return {"wall.pdf": to_pdf([scene], paper=paper, margin=MARGIN, max_scale=LARGEST)}


def wall_scene(report: Report, page: str = "A4") -> Scene:
    """Draw the sheet as large as it goes; raises Refusal, LayoutError, LostEdges."""
    plan, broad = report.plan, inner_page(page)
    for view, left_out in OTHER.items():
        cut = cut_of(report, ViewWish(view))
        if len(cut.parts) > MOST_ON_PAGE:
            continue
        told = list(cards(report, left_out))
        sheet = SheetBuilder(PageSetting(report), cut, tight=True).sheet()
        laid = run_layout(sheet, broad)
        picture = Group("picture", (*zones_of(report, laid), *leads_and_parts(sheet, laid)))
        sitting = Arrangement(laid, told)
        for (drawn, size), shape in product(LADDER, (broad, broad[::-1])):
            k, em = drawn / look.SMALL, size * look.SMALL / drawn
            wide, high = shape[0] / k, shape[1] / k
            found = sitting.on((wide, high), em)
            for at, spots in sorted(found, key=lambda one: sum(one[1][0][0])):  # title upper left
                paper = Path(rect_path(0, 0, wide, high), fill=look.PAPER)
                lists = [
                    moved_group(_drawn(told[n], em, breadth)[0], *spot)
                    for n, (spot, breadth) in spots.items()
                ]
                items: tuple[Item, ...] = (paper, moved_group(picture, *at), *lists)
                title = f"{plan.aircraft}, wall sheet"
                scene = Scene(wide, high, items, title, f"plan {plan.revision}")
                if not word_faults(scene):
                    guard(scene, cut, sheet, ())
                    refuse_unwritable(scene)
                    return scene
    raise Refusal(
        f"{len(plan.parts)} parts have no room on one {page} page that can be read: print the run"
        " view over pages (harness draw PLAN --to pdf) and the bench edition (harness book PLAN)"
    )


class Arrangement:
    """Finds room on a page for a picture and the lists; all in the picture's points."""

    def __init__(self, laid: Laid, told: Sequence[Card]) -> None:
        self.laid = laid
        self.shapes = [{b: _drawn(card, 1.0, b)[1:] for b in BREADTHS} for card in told]
        room = FreeRoom(laid.width, laid.height)
        rects = [*laid.clusters.values(), *(node.rect for node in laid.nodes.values())]
        room.cover(rect.grown(GAP) for rect in rects)
        room.cover_lines(laid.edges.values(), 6.0 + GAP)
        self.covered = np.array([list(row) for row in room.covered], np.int32)

    def on(self, page: Point, em: float) -> Iterator[tuple[Point, Spots]]:
        """Yield where the picture and all lists may be on a page; `em`: size of the lists' text."""
        over, down = page[0] - self.laid.width, page[1] - self.laid.height
        areas = [min(w * h for w, h in some.values()) * em * em for some in self.shapes]
        if min(over, down) < 0 or page[0] * page[1] - self.covered.sum() * CELL**2 < sum(areas):
            return
        orders = (
            range(len(areas)),
            sorted(range(len(areas)), key=lambda n: -areas[n]),
            [*range(1, len(areas)), 0],
        )
        corners = ((over, 0.0), (over, down), (0.0, down), (0.0, 0.0))
        for order, at, hug in product(orders, corners, (True, False)):
            if spots := self._spots(page, at, em, order, hug=hug):
                yield at, spots

    def _spots(
        self, page: Point, at: Point, em: float, order: Iterable[int], *, hug: bool
    ) -> Spots | None:
        """Put every list into the first breadth and place that is free; None without room."""
        grid = np.zeros([int(side / CELL) for side in reversed(page)], np.int32)
        low, right = (round(part / CELL) for part in reversed(at))
        seen = grid[low : low + len(self.covered), right : right + len(self.covered[0])]
        seen |= self.covered[: len(seen), : len(seen[0])]
        found: Spots = {}
        for number in order:
            sums = np.pad(grid.cumsum(0).cumsum(1), ((1, 0), (1, 0)))
            for breadth, (wide, high) in self.shapes[number].items():
                across, tall = (int((side * em + GAP) / CELL) + 1 for side in (wide, high))
                if spot := _spot(sums, across, tall, hug=hug):
                    x, y = spot
                    grid[y : y + tall, x : x + across] = 1
                    found[number] = (x * CELL, y * CELL), breadth
                    break
            else:
                return None
        return found


def _spot(sums: Grid, across: int, tall: int, *, hug: bool) -> tuple[int, int] | None:
    """Return the free place for so many cells that is nearest to a corner, or the uppermost.

    `sums`: for each corner of a cell how much is covered left of and over it.
    """
    right, low = sums.shape[1] - 1 - across, sums.shape[0] - 1 - tall
    if min(right, low) < 0:
        return None
    taken = sums[tall:, across:] - sums[:-tall, across:] - sums[tall:, :-across]
    ys, xs = np.nonzero(taken + sums[:-tall, :-across] == 0)
    if not len(ys):
        return None
    cost = np.minimum(xs, right - xs) + np.minimum(ys, low - ys) if hug else ys * right + xs
    best = int(cost.argmin())
    return int(xs[best]), int(ys[best])


def _drawn(card: Card, size: float, breadth: float) -> tuple[Group, float, float]:
    """Return a list in a frame at most `breadth` em broad, its width and height."""
    pad, step, titled = 0.6 * size, look.LEADING * size, len(card.heads) == 1
    rows = card.rows if titled else (card.heads, *card.rows)
    weights: list[Weight] = ["normal" if titled or n else "bold" for n in range(len(rows))]
    columns = zip(*rows, strict=True)
    wide = [max(map(text_width, cells, [size] * len(rows), weights)) for cells in columns]
    spare = breadth * size - 2 * pad - size * (len(wide) - 1) - sum(wide)
    wide[card.wide] = max(wide[card.wide] + min(spare, 0), 6 * size)
    sizes, broad = [size] * len(wide), [w + 0.01 * size for w in wide]
    items: list[Item] = []
    y, across = pad, sum(wide) + size * (len(wide) - 1)
    if titled:
        title = text(pad, pad + 1.1 * size, card.heads[0], 1.4 * size, weight="bold", fill=look.INK)
        items, y, across = [title], 2.4 * size, max(across, title.width)
    for row, weight in zip(rows, weights, strict=True):
        told = [look.wrapped(*pair) for pair in zip(row, sizes, broad, strict=True)]
        for n, lines in enumerate(told):
            x = pad + sum(wide[:n]) + size * n
            items += [
                text(x, y + 0.8 * size + step * k, line, size, weight=weight, fill=look.INK)
                for k, line in enumerate(lines)
            ]
        y += step * max(map(len, told))
    across, y = across + 2 * pad, y - 0.2 * size + pad
    edge, thick = (look.severity_text("danger"), 1.8) if card.grave else (look.INK, 0.9)
    frame = Path(rect_path(0, 0, across, y, 0.4 * size), fill=look.PAPER, stroke=edge, width=thick)
    return Group("", (frame, *items), ("list",), card.heads[0]), across, y
