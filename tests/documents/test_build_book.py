"""The build book: its chapters, that it says all, and its pages for every example."""

from __future__ import annotations

from itertools import combinations, pairwise
from pathlib import Path

import kept
import pytest
from paper.pdf_reading import all_text, headings, pages_of, reader, squashed, upright_text
from support import report_of

from harness.documents import build_book
from harness.documents.build_book import Material, book_paper, material_of
from harness.documents.build_book.chapters import key_scene
from harness.documents.cautions import CAUTIONS
from harness.documents.plan_labels import reached
from harness.paper.blocks import Chapter, Heading, Paper, Picture, Points, Say, Ticks, row_anchor
from harness.paper.html import as_html
from harness.paper.pdf import as_pdf
from harness.paper.sheet import Note, Table
from harness.plan.load import load_plan
from harness.rules.run import Report, check
from harness.wiring.leads import leads_of

EXAMPLES = kept.FOLDER
BROKEN = [EXAMPLES / "broken" / f"{name}.yaml" for name in
          ("19-doors-timed-to-fastest-leg", "01-two-becs-and-a-pack", "reversed-pack")]  # fmt: skip
PLANS = [*kept.GOOD, *BROKEN, kept.EVERY_KIND]
ORDER = ("cautions", "plan", "diagrams", "transmitter", "leads", "kit", "lengths", "labels",
         "steps", "load", "protocol", "field", "traces")  # fmt: skip

Book = tuple[Report, Material, Paper]


@pytest.fixture(scope="module", params=PLANS, ids=lambda path: path.stem)
def path(request: pytest.FixtureRequest) -> Path:
    found: Path = request.param
    return found


@pytest.fixture(scope="module")
def book(path: Path) -> Book:
    material, paper = kept.book(path)
    return material.report, material, paper


@pytest.fixture(scope="module")
def printed(path: Path) -> bytes:
    return kept.book_pdf(path)


def test_chapters_come_in_the_order_a_builder_needs(book: Book) -> None:
    anchors = [chapter.anchor for chapter in book[2].chapters]
    assert len(set(anchors)) == len(anchors)
    known = [anchor for anchor in anchors if anchor in ORDER]
    assert all(ORDER.index(a) < ORDER.index(b) for a, b in pairwise(known))
    assert {"cautions", "plan", "diagrams", "leads", "steps", "field", "traces"} <= set(known)


def test_cautions_come_first_and_all_of_them(book: Book, printed: bytes) -> None:
    first = " ".join(line.text for line in pages_of(printed)[0])
    assert all(squashed(text) in squashed(first) for text in CAUTIONS)


def test_every_finding_is_in_it_with_what_to_do_and_its_numbers(book: Book, printed: bytes) -> None:
    report, shown = book[0], upright_text(printed)
    found = [*report.findings, *(accepted.finding for accepted in report.accepted)]
    for finding in found:
        said = [finding.message, finding.help, finding.rule]
        said += [value for _, value in finding.numbers]
        assert all(squashed(text) in shown for text in said)
    assert all(squashed(accepted.because) in shown for accepted in report.accepted)


def test_what_could_not_be_judged_is_in_it(book: Book, printed: bytes) -> None:
    shown = upright_text(printed)
    for unknown in book[0].unknown:
        assert all(squashed(text) in shown for text in (unknown.part, unknown.missing))


def test_every_text_of_the_paper_is_printed(book: Book, printed: bytes) -> None:
    shown = upright_text(printed)
    missing = [text for text in _texts(book[2]) if squashed(text) not in shown]
    assert missing == []


def _texts(paper: Paper) -> list[str]:
    found = []
    for block in (block for chapter in paper.chapters for block in chapter.blocks):
        if isinstance(block, Heading | Say):
            found.append(block.text)
        elif isinstance(block, Points):
            found += [item.text for item in block.items]
        elif isinstance(block, Note):
            found += [block.title, *block.lines]
        elif isinstance(block, Table):
            found += [cell.text for group in block.groups for row in group.rows for cell in row]
            found += [block.about, *(column.title for column in block.columns)]
        elif isinstance(block, Ticks):
            for tick in block.items:
                found += [tick.text, *tick.details, *tick.codes]
    return found


def test_every_lead_and_every_part_is_in_it(book: Book) -> None:
    report, _, paper = book
    chapters = {chapter.anchor: chapter for chapter in paper.chapters}
    tables = [block for block in chapters["leads"].blocks if isinstance(block, Table)]
    rows = [row for table in tables for group in table.groups for row in group.rows]
    assert len(rows) == len(list(leads_of(report.wiring)))
    traced = [b.anchor for b in chapters["traces"].blocks if isinstance(b, Heading)]
    assert traced == [f"trace-{part}" for part in report.plan.parts]


def test_every_drawing_is_in_it_whole_and_live_and_the_key_comes_after(book: Book) -> None:
    _, material, paper = book
    (chapter,) = [chapter for chapter in paper.chapters if chapter.anchor == "diagrams"]
    *pictures, key = [block for block in chapter.blocks if isinstance(block, Picture)]
    assert not key.whole
    drawn = [page for pages in material.drawings.values() for page in pages]
    assert [picture.scene for picture in pictures] == [page.scene for page in drawn]
    assert all(picture.whole for picture in pictures)
    assert [p.live for p in pictures] == [not page.words for page in drawn]
    assert [p.words for p in pictures] == [page.words for page in drawn]
    assert all(picture.traces for picture in pictures if picture.live and report_parts(book))


def report_parts(book: Book) -> int:
    return len(book[0].plan.parts)


def test_pages_of_findings_are_text_on_a_screen() -> None:
    """A picture of text is clipped on a phone; its findings stand in the page as words."""
    report = kept.report_at(EXAMPLES / "marram-26.yaml")
    numbers = tuple(f"{n}. what is wrong {n}" for n in (1, 2))
    page = Picture(key_scene([]), "Run view, 2 of 2", "findings", whole=True, words=numbers)
    shown = as_html(Paper("T", "", report.plan.revision, (Chapter("c", "C", (page,)),)))
    assert "<figure" not in shown
    assert all(f"<li>{text}</li>" in shown for text in numbers)


def test_a_drawing_with_too_many_findings_hands_its_words_over() -> None:
    """Every finding stands on a drawn page or among the words."""
    _, pages = kept.drawing(kept.EVERY_KIND)
    told = [word for page in pages for word in page.words]
    last = [n for n, page in enumerate(pages) if page.words]
    assert last == list(range(len(pages) - len(last), len(pages)))
    assert all(word.split(". ")[0].isdigit() for word in told)


def test_the_book_stays_small_enough_for_a_phone() -> None:
    """4 MB with every drawing live: our own limit."""
    _, paper = kept.book(EXAMPLES / "saltmarsh-19.yaml")
    assert len(as_html(paper).encode()) < 4_000_000


def test_legs_without_a_sequencer_have_their_time_line() -> None:
    """As the command: what the supply does to them is in it."""
    text = (
        "channels: {5: {function: gear, failsafe: hold}}\n"
        "receivers: {rx: {sockets: 6}}\n"
        "retracts: {leg: {kind: self-contained, travel: 4 s, running: 0.4 A, stop: 1 A,"
        " plug: rx.5}}\n"
        "packs: {pack: {chemistry: nimh, cells: 4, capacity: 2 Ah, plug: rx.batt}}\n"
    )
    chapters = {c.anchor: c for c in book_paper(report_of(text)).chapters}
    said = str(chapters["timeline-gear"])
    assert "when the supply comes on" in said or "supply" in said
    assert "leg" in said


def test_what_taps_and_steps_link_to_is_in_it(book: Book) -> None:
    paper = book[2]
    there = {chapter.anchor for chapter in paper.chapters}
    wanted: set[str] = set()
    for chapter in paper.chapters:
        for block in chapter.blocks:
            if isinstance(block, Heading):
                there.add(block.anchor)
            elif isinstance(block, Table):
                there |= {row_anchor(chapter.anchor, row[0].text)
                          for group in block.groups for row in group.rows}  # fmt: skip
            elif isinstance(block, Ticks):
                wanted |= {anchor for tick in block.items for anchor, _ in tick.links}
            elif isinstance(block, Picture):
                wanted |= {anchor for trace in block.traces for anchor, _ in trace.links}
    assert wanted <= there


def test_contents_outline_and_headings_agree(book: Book, printed: bytes) -> None:
    document, found = reader(printed), headings(printed)
    titles = [chapter.title for chapter in book[2].chapters]
    entries = [entry for entry in document.outline if entry.title != "Contents"]
    assert [entry.title for entry in entries] == titles
    contents = next(page for page in pages_of(printed) if "Contents" in {x.text for x in page})
    for entry in entries:
        at = document.get_destination_page_number(entry) + 1
        heads = [text for text, page in found.items() if page == at]
        assert any(squashed(str(entry.title)) in text for text in heads)
        line = next(x for x in contents if x.text == entry.title and abs(x.size - 10) < 0.01)
        level = [x for x in contents if x.text.isdigit() and abs(x.low - line.low) < 3]
        number = min((x for x in level if x.left > line.left), key=lambda x: x.left)
        assert int(number.text) == at


def test_no_text_lies_on_another_or_leaves_the_page(book: Book, printed: bytes) -> None:
    """Drawings have their own tests; here are the upright pages, all of text and tables."""
    for page, lines in zip(reader(printed).pages, pages_of(printed), strict=True):
        wide, high = float(page.mediabox.width), float(page.mediabox.height)
        if wide > high:
            continue
        for line in lines:
            assert line.left >= 28 and line.right <= wide - 28
            assert line.low >= 25 and line.top <= high - 28
        own = [x for x in lines if x.size in {8.0, 8.5, 9.0, 10.0, 11.0, 15.0}]
        for a, b in combinations(own, 2):
            across = min(a.right, b.right) - max(a.left, b.left)
            down = min(a.top, b.top) - max(a.low, b.low)
            assert across <= 0.1 or down <= 0.1, (a, b)


def test_each_view_is_laid_out_once(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = []
    draw = build_book.draw_pages

    def counted(report: Report, wish: build_book.Wish) -> tuple[build_book.Picture, ...]:
        asked.append(wish.view)
        return draw(report, wish)

    monkeypatch.setattr(build_book, "draw_pages", counted)
    report = check(load_plan(str(EXAMPLES / "dunlin-4.yaml")))
    book_paper(report, "Letter", material_of(report, "Letter"))
    assert asked == ["run", "airframe", "power", "control"]


def test_the_labels_say_which_file_and_how_many(book: Book) -> None:
    report, material, paper = book
    assert material.labels is not None
    (chapter,) = [chapter for chapter in paper.chapters if chapter.anchor == "labels"]
    said, table = chapter.blocks
    ends = sum(len(reached(lead)) for lead in leads_of(report.wiring))
    assert isinstance(said, Say) and isinstance(table, Table)
    assert said.text.startswith(f"{ends} labels")
    assert f"labels-{material.labels.stock}.pdf" in said.text
    assert len(table.groups[0].rows) == len(list(leads_of(report.wiring)))


def test_a_book_of_nothing(tmp_path: Path) -> None:
    path = tmp_path / "empty.yaml"
    path.write_text("plan: 1\naircraft: Empty\n", "utf-8")
    report = check(load_plan(str(path)))
    material = material_of(report)
    paper = book_paper(report, "A4", material)
    assert material.labels is None
    assert "labels" not in {chapter.anchor for chapter in paper.chapters}
    assert squashed("0 parts, 0 leads.") in all_text(as_pdf(paper))
