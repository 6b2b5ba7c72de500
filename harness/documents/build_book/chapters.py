"""Chapters of the build book that are about the plan as a whole, and the key to its drawings."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from harness.base.finding import Finding
from harness.base.near import counted
from harness.diagram import DrawnPage
from harness.diagram.stages import View
from harness.documents.build_book.live import traces
from harness.documents.cautions import cautions, faults_first, sentence
from harness.documents.index import title_of
from harness.documents.leads import LEGEND, lead_list, lead_table
from harness.documents.trace import figure_lines, part_head, part_sections
from harness.documents.trace.ways import TraceWords
from harness.drawing import glyphs_control as c
from harness.drawing import glyphs_power as p
from harness.drawing import look
from harness.drawing.glyph import Glyph, Tag
from harness.drawing.marks import flag, marker
from harness.drawing.ribbon import CONTROL, MOTOR, POWER, Gauge, RibbonWire, bend, ribbon
from harness.drawing.scene import Group, Item, Scene, bounds, moved_group, text, walk
from harness.facts.mend_first import warning_words
from harness.facts.of_leads import facts_of
from harness.paper.blocks import Block, Chapter, Heading, Picture, Points, Say, Trace
from harness.paper.sheet import Cell, Note, Table, amounts, headings, table
from harness.parts.part import Part
from harness.rules.run import Report
from harness.wiring.build import Wiring

VIEWS: Mapping[View, str] = {
    "run": "Run view: from packs and receiver to the devices",
    "airframe": "Airframe view: where everything is, seen from above",
    "power": "Power only",
    "control": "Control only",
}
HOW_TO_READ = (
    "The run view goes from packs and receiver at the left to the devices at the right; the "
    "airframe view shows the same from above, nose up: the whole, then each panel too dense for "
    "it, with an arrow where a lead goes on. A tinted area is a place of the airframe. "
    "The key to what the pictures stand for comes after them."
)
KEY_ALT = "servo, retract leg, ESC, motor, pack, leads, labels and findings as they are drawn"
TONES = {"danger": "danger", "error": "danger", "warning": "warning", "note": ""}


def cautions_chapter(report: Report) -> Chapter:
    """Return what must be mended first, then the cautions that every document carries."""
    said = (*faults_first(report), *(Say(text, "caution") for text in cautions(report.plan)))
    return Chapter("cautions", title_of("cautions"), said, folds=False)


def plan_chapter(report: Report, *, brief: bool = False) -> Chapter:
    """Say what the plan is of and what this book is made from; `brief`: findings in a line each."""
    plan = report.plan
    places = f", places: {', '.join(plan.places)}" if plan.places else ""
    parts = counted(len(plan.parts), "part")
    leads = len(lead_list(report.wiring).rows)
    return Chapter(
        "plan",
        title_of("plan"),
        (
            Points(
                (
                    Cell(f"{parts}, {leads} leads{places}."),
                    Cell(
                        f"All of this book is made from the plan {plan.source.file}, revision "
                        f"{plan.revision}. Where the plan has changed since, its revision is "
                        "another: make the book anew."
                    ),
                )
            ),
            *_findings(report, _in_a_line if brief else _finding),
        ),
        folds=False,
    )


def _findings(
    report: Report, told: Callable[[int, Finding, str], Iterator[Block]]
) -> Iterator[Block]:
    """Yield the findings, numbered as on the drawings, and what could not be judged."""
    yield Heading("Findings")
    if not report.findings and not report.accepted:
        yield Say("The rules find nothing wrong with this plan.", "ok")
    for number, finding in enumerate(report.findings, 1):
        yield from told(number, finding, "")
    for number, accepted in enumerate(report.accepted, len(report.findings) + 1):
        yield from told(number, accepted.finding, accepted.because)
    if report.waiting:
        yield Note("Not judged before that is mended", (", ".join(report.waiting),))
    if report.unknown:
        yield _not_judged(report)


def _in_a_line(number: int, finding: Finding, because: str) -> Iterator[Block]:
    """Yield a finding without its figures: what is wrong, what to do."""
    word = f"accepted, because {because}" if because else finding.severity.word
    does = f"; do: {finding.help}" if finding.help and not because else ""
    text = f"{number}. {word}: {finding.message} (plan line {finding.span.line}){does}"
    yield Points((Cell(text, "" if because else TONES[finding.severity.word]),))


def _finding(number: int, finding: Finding, because: str) -> Iterator[Block]:
    word = "accepted" if because else finding.severity.word
    yield Heading(f"{number}. {word}: {finding.rule}", f"finding-{number}")
    tone = "" if because else TONES[finding.severity.word]
    yield Say(f"{finding.message} (plan line {finding.span.line})", tone)
    lines = [f"accepted, because {because}"] if because else []
    lines += [f"do: {finding.help}"] if finding.help else []
    lines += [f"{name}: {value}" for name, value in finding.numbers]
    lines += [f"{note}: plan line {span.line}" for span, note in finding.also]
    if lines:
        yield Points(tuple(map(Cell, lines)))


def _not_judged(report: Report) -> Table:
    rules: dict[tuple[int, str, str], set[str]] = {}
    for one in report.unknown:
        rules.setdefault((one.span.line, one.part, one.missing), set()).add(one.rule)
    rows = (
        (part, missing, str(line), ", ".join(sorted(names)))
        for (line, part, missing), names in sorted(rules.items())
    )
    columns = headings("part", "what is not known", *amounts("line"), "rule")
    about = "Unknown is not fine: write it into the plan, or look at it yourself."
    return table("Could not be judged for want of data", columns, rows, about)


def diagrams_chapter(report: Report, drawings: Mapping[View, tuple[DrawnPage, ...]]) -> Chapter:
    """Return the drawings, each on a page of its own in print, and their key; all can be tapped."""
    told = traces(report)
    pictures = [
        _picture(report, view, drawing, (number, len(pages)), told)
        for view, pages in drawings.items()
        for number, drawing in enumerate(pages, 1)
    ]
    scenes = [drawing.scene for pages in drawings.values() for drawing in pages]
    if (key := key_scene(scenes)).height:
        pictures.append(Picture(key, "Key to the drawings", KEY_ALT))
    return Chapter("diagrams", title_of("diagrams"), (Say(HOW_TO_READ), *pictures))


def _picture(
    report: Report, view: View, drawing: DrawnPage, place: tuple[int, int], told: tuple[Trace, ...]
) -> Picture:
    """Return one drawing; `place`: its number, and how many pages its view has."""
    page = f", {place[0]} of {place[1]}" if place[1] > 1 else ""
    names = ", ".join(part.named() for part in report.plan.parts.values())
    live = not drawing.words
    return Picture(
        drawing.scene,
        f"{VIEWS[view]}{page}",
        f"{drawing.title}{page}: {names}",
        live=live,
        whole=True,
        traces=told if live else (),
        words=drawing.words,
    )


def leads_chapter(wiring: Wiring) -> Chapter:
    """Return the lead list: one row a lead with both its ends."""
    leads = lead_list(wiring)
    table = replace(lead_table(leads), about=LEGEND)
    said = table if leads.rows else Say("The plan has no leads.")
    first = (Say(leads.first, "danger"),) if leads.first else ()
    return Chapter("leads", title_of("leads"), (*first, said))


def traces_chapter(wiring: Wiring) -> Chapter:
    """Return the way of every part to its signal and its supply, socket by socket."""
    words, parts = TraceWords(facts_of(wiring)), wiring.plan.parts.values()
    first = sentence(warning_words(wiring))
    blocks = [block for part in parts for block in _trace(words, part)]
    return Chapter("traces", title_of("traces"), (*([Say(first, "danger")] * bool(first)), *blocks))


def _trace(words: TraceWords, part: Part) -> Iterator[Block]:
    yield Heading(part_head(part), f"trace-{part.id}")
    if part.about:
        yield Say(part.about)
    for title, lines in part_sections(words, part):
        yield Note(title, tuple(lines))
    if figures := figure_lines(words.facts, part):
        yield Note("Figures", tuple(_by_origin(figures)))


def _by_origin(lines: list[str]) -> list[str]:
    """Write figures that come from one place on one line: `idle 20 mA, stall 1.5 A (origin)`."""
    found: dict[str, list[str]] = {}
    for line in lines:
        figure, _, origin = line.partition(" (")
        found.setdefault(origin, []).append(figure)
    return [", ".join(figures) + f" ({origin}" * bool(origin) for origin, figures in found.items()]


COLUMNS = 3
WIDE, HIGH = 184.0, 34.0  # of one entry, points; higher where its picture is
PICTURE = 88.0  # breadth of its picture
LENGTH = 56.0  # of the piece of a lead that is shown
THREE = (RibbonWire("WH"), RibbonWire("RD"), RibbonWire("BK"))
PULLED = (RibbonWire("WH"), RibbonWire("RD", "head"), RibbonWire("BK"))


def key_scene(shown: Iterable[Scene]) -> Scene:
    """Return the key to the signs of some drawings as a drawing of its own."""
    items: list[Item] = []
    used = {g.classes for one in shown for g in walk(one.items) if isinstance(g, Group)}
    entries = [
        (picture, words)
        for picture, words, sign in _entries()
        if any(set(sign) <= set(classes) for classes in used)
    ]
    y = 0.0
    for start in range(0, len(entries), COLUMNS):
        row = entries[start : start + COLUMNS]
        high = max(HIGH, *(_height(picture) + 4 for picture, _ in row))
        for column, (picture, words) in enumerate(row):
            items += _entry(picture, words, (column * WIDE, y, high))
        y += high
    return Scene(COLUMNS * WIDE, y, tuple(items), "key", "what the pictures stand for")


def _height(picture: Group) -> float:
    _, top, _, low = bounds([picture])
    return low - top


def _entry(picture: Group, words: str, place: tuple[float, float, float]) -> list[Item]:
    """Return a picture with its words at the right, in the middle of (left, top, height)."""
    x, y, high = place
    left, top, right, low = bounds([picture])
    across = x + (PICTURE - (right - left)) / 2 - left
    down = y + (high - (low - top)) / 2 - top
    lines = look.wrapped(words, look.NAME, WIDE - PICTURE - 10)
    step = look.NAME * look.LEADING
    first = y + (high - step * len(lines)) / 2 + look.NAME
    said = [
        text(x + PICTURE + 8, first + step * n, line, look.NAME, fill=look.INK)
        for n, line in enumerate(lines)
    ]
    return [moved_group(picture, across, down), *said]


def _entries() -> Iterator[tuple[Group, str, Sequence[str]]]:
    """Yield every sign with what it stands for, and the classes of a group that is one."""
    for n, (glyph, words) in enumerate(_parts()):
        yield replace(glyph.group, id=f"key-{n}"), words, glyph.group.classes
    for n, (lead, words, sign) in enumerate(LEADS):
        yield _lead(n, *lead), words, sign
    label = flag("key-flag", "AIL-L", side="left").group
    yield label, "label; red edge left, green right", label.classes
    yield marker("key-finding", 1, "error"), "finding, by its number", ("finding",)


LEADS: tuple[tuple[tuple[tuple[RibbonWire, ...], Gauge], str, Sequence[str]], ...] = (
    ((THREE, CONTROL), "servo lead in its colours", ("lead", "three-pin")),
    ((PULLED, CONTROL), "red pin pulled at the plug", ("part", "note")),
    (((RibbonWire("RD"), RibbonWire("BK")), POWER), "battery wires", ("lead", "power")),
    (((RibbonWire("BK"),) * 3, MOTOR), "motor wires", ("lead", "motor")),
)


def _lead(number: int, wires: tuple[RibbonWire, ...], gauge: Gauge) -> Group:
    return ribbon(f"key-lead-{number}", bend((0.0, 0.0), (LENGTH, 0.0)), wires, gauge=gauge)


def _parts() -> list[tuple[Glyph, str]]:
    tag = Tag("", "")
    sockets = (c.Socket("1"), c.Socket("2", used=False))
    return [
        (
            c.box(replace(tag, name="rx"), "receiver", right=sockets),
            "receiver: socket 1 taken, 2 free",
        ),
        (c.servo(tag), "servo"),
        (c.retract(tag), "retract leg"),
        (c.junction(tag, free={2}), "Y-lead, one way free"),
        (c.joint(tag), "plug in a socket"),
        (c.reverser(tag), "in-line reverser"),
        (p.esc(tag), "ESC"),
        (p.motor(tag), "motor"),
        (p.pack(tag, cells="3S", capacity="2 Ah"), "pack: cells and capacity"),
        (p.capacitor(tag), "capacitor"),
        (p.fuse(tag), "fuse"),
        (p.switch(tag), "switch"),
        (p.diodes(tag), "diode"),
        (p.arming_plug(tag), "arming plug"),
        (c.load(tag, "light"), "light"),
        (c.load(tag), "camera, pump"),
        (c.load(tag, "radio"), "data radio"),
    ]
