"""The bench edition: how long it is, how full its pages are, and that no step or test is lost."""

from __future__ import annotations

import re
from itertools import product
from pathlib import Path
from typing import Any

import kept
import numpy as np
import pypdfium2
import pytest
from paper.pdf_reading import all_text, squashed

from harness.base.near import masked, numbers, told_once
from harness.bench.build import protocol_of
from harness.documents.build_book import Material, bench_paper, book_files
from harness.documents.protocol import protocol_paper
from harness.documents.steps import IN_PROTOCOL, by_number, step_entries
from harness.documents.steps.work import Work
from harness.drawing.scene import Text, walk
from harness.paper.blocks import Chapter, Picture, Ticks
from harness.paper.sheet import Table

PAGES = {"saltmarsh-19": 22, "turnstone-4": 9}
"""The most that the two plans may take, on A4 and on Letter."""
FULL = 2 / 3
"""Of the height between the margins, unless a drawing on a page of its own or nothing follows."""
Printed = tuple[str, Material, bytes]


@pytest.fixture(scope="module", params=product(PAGES, ("A4", "Letter")), ids="-".join)
def printed(request: pytest.FixtureRequest) -> Printed:
    name, page = request.param
    material, _ = kept.book(kept.path_of(name), page)
    data = book_files(material)["book.pdf"]
    assert isinstance(data, bytes)
    return name, material, data


def _share(page: Any) -> float:
    """The lowest ink of a page above its foot, of the height between its margins."""
    shades = np.asarray(page.render(scale=1, grayscale=True).to_pil())[40:-48]
    return float((np.flatnonzero((shades < 200).any(axis=1))[-1] + 1) / len(shades))


def test_it_is_short_and_its_pages_are_full(printed: Printed) -> None:
    name, _, data = printed
    pages = list(pypdfium2.PdfDocument(data))
    assert len(pages) <= PAGES[name]
    turned = [page.get_width() > page.get_height() for page in pages]
    for page, followed in zip(pages[:-1], turned[1:], strict=True):
        assert followed or _share(page) >= FULL


def _chapters(material: Material) -> dict[str, Chapter]:
    return {chapter.anchor: chapter for chapter in bench_paper(material).chapters}


def test_the_key_stands_before_the_drawings(printed: Printed) -> None:
    pictures = [b for b in _chapters(printed[1])["diagrams"].blocks if isinstance(b, Picture)]
    assert pictures[0].scene.title == "key"
    assert len(pictures) > 1


def test_every_plug_is_a_step_of_its_own(printed: Printed) -> None:
    """Alike steps are told once, but never two plugs: which goes where would be lost."""
    _, material, data = printed
    shown = all_text(data)
    work = Work(material.report, drawn=False)
    for mate in work.access.mates:
        assert squashed(work.plug(mate)) in shown
    ticks = [t for b in _chapters(material)["steps"].blocks if isinstance(b, Ticks)
             for t in b.items]  # fmt: skip
    assert all(tick.text.count("Plug ") <= 1 for tick in ticks)


def test_every_test_of_the_protocol_is_in_it(printed: Printed) -> None:
    """By its number: rows of the protocol as it is printed alone, against those of the book."""
    (alone,) = protocol_paper(printed[1].report).chapters
    tables = [block for block in alone.blocks if isinstance(block, Table)]
    wanted = [int(row[0].text) for t in tables for group in t.groups for row in group.rows]
    (whole,) = [b for b in _chapters(printed[1])["protocol"].blocks if isinstance(b, Table)]
    found: list[int] = []
    for row in (row for group in whole.groups for row in group.rows if len(row) > 1):
        found += _numbers(row[0].text)
    assert found == wanted


def test_a_step_that_is_a_test_is_told_by_its_number(printed: Printed) -> None:
    """Every step of the whole order is there, or its tests are; each number once, in its order."""
    work = Work(printed[1].report, drawn=False)
    shown = {t.key: t for b in _chapters(printed[1])["steps"].blocks if isinstance(b, Ticks)
             for t in b.items}  # fmt: skip
    told: list[int] = []
    for tick in shown.values():
        if found := re.fullmatch("Bench protocol, tests? (.+)", tick.text):
            told += _numbers(found[1])
    assert len(told) == len(set(told))
    late = [n for n in told if n > 20]
    assert late == sorted(late)
    in_order = [*protocol_of(printed[1].wiring).tests]
    for entry in step_entries(work):
        if entry.stage == "try" and entry.tick.key not in shown:
            kinds = IN_PROTOCOL[entry.tick.key.removeprefix("steps-")]
            same = {n for n, t in enumerate(in_order, 1) if t.partition(".")[0] in kinds}
            assert same
            assert same <= set(told)
    kept = {"steps-try-centres", "steps-try-ready", "steps-flight-ready", "steps-flight-flight"}
    assert kept & {entry.tick.key for entry in step_entries(work)} <= set(shown)


def test_findings_are_told_once_and_the_key_has_what_is_drawn(printed: Printed) -> None:
    _, material, data = printed
    text = all_text(data)
    for finding in material.report.findings:
        assert text.count(squashed(finding.message)) == 1
    words = {
        i.text
        for p in _chapters(material)["diagrams"].blocks
        if isinstance(p, Picture) and p.scene.title == "key"
        for i in walk(p.scene.items)
        if isinstance(i, Text)
    }
    used = {part.word for part in material.report.plan.parts.values()}
    assert ("capacitor" in words) == ("capacitor" in used)
    assert ("retract leg" in words) == ("retract leg" in used)
    assert not words & {"diode", "fuse", "switch", "arming plug", "data radio"}
    assert ("red pin pulled at" in words) == any(m.join.pulled for m in material.wiring.mates)


def _numbers(text: str) -> list[int]:
    """Read "1 to 3, 5"."""
    found: list[int] = []
    for part in text.split(", "):
        first, _, last = part.partition(" to ")
        found += range(int(first), int(last or first) + 1)
    return found


def test_a_supply_is_told_once_with_what_it_feeds(printed: Printed) -> None:
    (table,) = [b for b in _chapters(printed[1])["load"].blocks if isinstance(b, Table)]
    names = [row[0].text for group in table.groups for row in group.rows]
    makers = [p for p in printed[1].report.plan.parts.values() if p.holds_cells or p.makes]
    assert len(names) == len(set(names)) == len(makers)
    fed = " ".join(row[2].text for group in table.groups for row in group.rows)
    servos = [p.id for p in printed[1].report.plan.parts.values() if p.word == "servo"]
    assert servos
    assert all(len(re.findall(rf"(?<![\w-]){servo}(?![\w-])", fed)) == 1 for servo in servos)


def test_alike_texts_are_told_once_with_all_their_names() -> None:
    """By hand."""
    names = {"a-left", "a-right", "A-L", "A-R"}
    left, right = 'Centre servo "a-left" (A-L) twice', 'Centre servo "a-right" (A-R) twice'
    assert masked(left, names) == masked(right, names) != masked("Centre it", names)
    told = told_once([left, right], names)
    assert told == 'Centre servo "a-left" and "a-right" (A-L and A-R) twice'
    assert numbers([1, 2, 3, 5, 6, 9]) == "1 to 3, 5, 6, 9"


def test_many_tests_of_one_kind_do_not_leave_pages_empty() -> None:
    """What to do when one of fourteen directions is wrong is longer than half a page."""
    material, _ = kept.book(kept.path_of("marram-26"), "Letter")
    pages = list(pypdfium2.PdfDocument(book_files(material)["book.pdf"]))
    turned = [page.get_width() > page.get_height() for page in pages]
    assert all(followed or _share(page) >= FULL
               for page, followed in zip(pages[:-1], turned[1:], strict=True))  # fmt: skip


@pytest.mark.parametrize("path", kept.GOOD, ids=lambda p: p.stem)
def test_where_a_fact_is_not_known_all_of_its_kind_are_still_tried(path: Path) -> None:
    """A number stands for a step only where every part that the step is about has a test."""
    work = Work(kept.report_at(path), drawn=False)
    protocol, shown = (
        protocol_of(work.wiring),
        {e.tick.text for e in by_number(work, step_entries(work))},
    )
    whole = "Transmitter off: motors stay still, every channel goes to its failsafe"
    if any(e.tick.text == whole for e in step_entries(work)):
        assert (whole in shown) == bool(protocol.unknown)
    numbered = {n for text in shown if text.startswith("Bench protocol, test")
                for n in _numbers(text.partition(" test")[2].lstrip("s "))}  # fmt: skip
    rest = [name for n, name in enumerate(protocol.tests, 1) if n not in numbered]
    held_on = {"pack-volts", "pack-equal", "servos-centred", "arming-plug"}
    assert protocol.unknown or {name.partition(".")[0] for name in rest} <= held_on
