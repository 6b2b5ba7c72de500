"""What a builder writes stays text in every document, whatever it is.

Each format is read by a parser that is not ours; it must find the same structure as of a plan with
harmless words: the same elements and attributes, columns, keys, actions, and no more.
"""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pygraphviz
import pypdf
import pytest
import yaml
from cli.hostile_plan import NAMES, TEXTS, plan_with
from markdown_it import MarkdownIt
from support_cli import runner

from harness.base.span import Source
from harness.bench.build import protocol_of
from harness.bench.compare import compare
from harness.bench.record import form_text, kept, record_text
from harness.diagram import ViewWish
from harness.documents.build_book import book_files, material_of
from harness.documents.index import BY_NAME
from harness.documents.labels import find_stock
from harness.documents.making import files_of
from harness.plan.load import parse_plan
from harness.plan.results import parse_record, parse_results
from harness.rules.run import Report, check

PLANS = {
    "harmless": ("harmless words", "n"),
    "all": (" ".join(TEXTS), "</g><b>"),
    "formula": ("=1+1", "=1+1|`&lt(\\N)"),
}
"""By name: the texts of a plan, and how its names begin."""
worse = pytest.mark.parametrize("which", [name for name in PLANS if name != "harmless"])
FORM = (
    "results: 1\naircraft: {0}\nrevision: {0}\ndate: 2026-10-02\nabout: {0}\n"
    "tests: {{range: {{measured: yes, note: {0}}}}}\n"
)


def report_of(which: str) -> Report:
    return check(parse_plan(Source("plan.yaml", plan_with(*PLANS[which]))))


@cache
def documents(which: str) -> dict[str, bytes | str]:
    """Return the book with all beside it, and every other document, by the names of their files."""
    report, name = report_of(which), PLANS[which][1]
    results = parse_results(Source("form.yaml", FORM.format(json.dumps(PLANS[which][0]))))
    record = kept(None, compare(protocol_of(report.wiring), results, None))
    assert record is not None
    text = record_text(record)
    assert record_text(parse_record(Source("x", text))) == text
    found: dict[str, bytes | str] = {"plan.record.yaml": text}
    found |= book_files(material_of(report, "A4", record), "full")
    words: dict[str, dict[str, Any]] = {
        "load": {"case": f"{name}case"},
        "timeline": {"function": f"{name}word"},
        "diagrams": {"wish": ViewWish(page="A4", case=f"{name}case")},
        "labels": {"stock": find_stock("a4-46x21-4x12", ()), "skip": 0},
        "protocol": {},
    }
    for one in ("diagrams", "transmitter", "leads", "kit", "lengths", "steps", "load", "timeline",
                "equalise", "endurance", "protocol"):  # fmt: skip
        document = BY_NAME[one]
        source = report if document.judged else report.wiring
        for to in document.formats:
            if to not in ("pdf", "png") and not (one == "equalise" and to == "svg"):
                found |= {f"{one}/{file}": content for file, content in files_of(
                    document, source, to, words=words.get(one, {})).items()}  # fmt: skip
    return found


def of_kind(which: str, ending: str) -> Iterator[tuple[str, Any]]:
    """Yield the documents of a plan in a format, at least one."""
    found = [item for item in documents(which).items() if item[0].endswith(ending)]
    assert found
    yield from found


class Page(HTMLParser):
    """The elements of a page with the names of their attributes, and what stands in scripts."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.elements: set[tuple[str, str]] = set()
        self.scripts: list[str] = []
        self.words = ""
        self.feed(page)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements |= {(tag, ""), *((tag, name) for name, _ in attrs)}
        if tag in ("script", "style"):
            self.scripts.append("")

    def handle_data(self, data: str) -> None:
        if self.cdata_elem:
            self.scripts[-1] += data
        else:
            self.words += data

    def handle_comment(self, data: str) -> None:
        raise AssertionError(data)

    unknown_decl = handle_pi = handle_comment


@worse
def test_pages(which: str) -> None:
    def kind(name: str) -> str:
        return name.rsplit("/", maxsplit=1)[-1].partition("-")[0]

    seen = {kind(name): Page(page) for name, page in of_kind("harmless", "html")}
    for name, text in of_kind(which, "html"):
        page, usual = Page(text), seen[kind(name)]
        assert page.elements <= usual.elements, name
        code = [[one for one in each.scripts if not one.startswith('{"')] for each in (page, usual)]
        assert code[0] == code[1], name
        assert " ".join(PLANS[which][0].split())[:60] in " ".join(page.words.split()), name


def marks(drawing: str) -> set[tuple[str, str]]:
    root = ET.fromstring(drawing)
    return {(each.tag, name) for each in root.iter() for name in ("", *each.attrib)}


@worse
def test_drawings(which: str) -> None:
    usual = set().union(*(marks(text) for _, text in of_kind("harmless", "svg")))
    for name, text in of_kind(which, "svg"):
        assert marks(text) <= usual, name
        for script in ET.fromstring(text).iter("{http://www.w3.org/2000/svg}script"):
            line = next(one for one in str(script.text).split("\n") if one.startswith("const ways"))
            json.loads(line.removeprefix("const ways = ").removesuffix(";"))


def deeds(data: bytes) -> set[str]:
    """Return the names of all keys in a PDF, but those of its pages' own things."""
    found: set[str] = set()
    reader = pypdf.PdfReader(io.BytesIO(data))
    for number in range(1, int(reader.trailer["/Size"])):
        thing = reader.get_object(pypdf.generic.IndirectObject(number, 0, reader))
        found |= set(thing) if isinstance(thing, dict) else set()
    return {name for name in found if not re.match(r"/(F|Im|FormXob|gR)\d|/[a-z0-9._-]+$", name)}


@worse
def test_printed_pages(which: str) -> None:
    usual = set().union(*(deeds(data) for _, data in of_kind("harmless", "pdf")))
    assert {"/Contents", "/Annots"} <= usual
    assert not usual & {"/JS", "/JavaScript", "/AA", "/Launch", "/EmbeddedFiles", "/URI"}
    for name, data in of_kind(which, "pdf"):
        assert deeds(data) <= usual, name
    pages = pypdf.PdfReader(io.BytesIO(documents(which)["book.pdf"])).pages
    assert "1+1" in "".join(page.extract_text() for page in pages)


@worse
def test_tables_for_spreadsheets(which: str) -> None:
    """CWE-1236: a cell that begins so is computed; a number may have a sign."""
    for name, text in of_kind(which, "csv"):
        head, *rows = csv.reader(io.StringIO(text, newline=""), strict=True)
        assert {len(row) for row in rows} <= {len(head)}, name
        bad = [cell for row in rows for cell in row if re.match(r"[=@\t\r]|[+-](?![\d.]+$)", cell)]
        assert bad == [], name


@worse
def test_markdown(which: str) -> None:
    """CommonMark with GitHub's tables; `<br>` is the line end of a cell."""
    reader = MarkdownIt("commonmark").enable(["table", "strikethrough"])
    for name, text in of_kind(which, ".md"):
        tokens = reader.parse(text)
        usual = reader.parse(str(documents("harmless")[name]))
        assert [each.type for each in tokens] == [each.type for each in usual]
        inside = [child for each in tokens for child in each.children or ()]
        assert {child.type for child in inside} <= {"text", "text_special", "html_inline",
                                                    "strong_open", "strong_close"}  # fmt: skip
        assert {child.content for child in inside if child.type == "html_inline"} <= {"<br>"}


def cards(netlist: str) -> list[str]:
    """Return the elements and commands of a netlist: what is no title, comment or going on."""
    return [line.split()[0] for line in netlist.splitlines()[1:] if line and line[0] not in "*+"]


@worse
def test_netlists(which: str, tmp_path: Path) -> None:
    (name, text), (_, usual) = *of_kind(which, "cir"), *of_kind("harmless", "cir")
    assert [card[0] for card in cards(text)] == [card[0] for card in cards(usual)], name
    for kind, netlist in (("usual", usual), ("worse", text)):
        (tmp_path / kind).write_text(netlist)
    lists = [
        subprocess.run(["ngspice", "-b", kind], cwd=tmp_path, capture_output=True, text=True,
                       check=True).stdout for kind in ("usual", "worse")
    ]  # fmt: skip
    volts = [sorted(re.findall(r"^\t\S+ +(-?\d\S+)$", each, re.M)) for each in lists]
    assert volts[0]
    assert volts[0] == volts[1]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["usual", "worse"]


@worse
def test_graphs_for_graphviz(which: str) -> None:
    (_, text), (_, usual) = *of_kind(which, "dot"), *of_kind("harmless", "dot")
    graphs = [pygraphviz.AGraph(string=each) for each in (text, usual)]
    nodes, edges = ([[sorted(set(item.attr)) for item in things] for things in kind] for kind in (
        [graph.nodes() for graph in graphs], [graph.edges() for graph in graphs]))  # fmt: skip
    assert nodes[0] == nodes[1]
    assert edges[0] == edges[1]
    for graph in graphs:
        graph.layout("dot")
    assert {item.attr["URL"] or item.attr["href"] or "" for item in graphs[0].nodes()} == {""}


@worse
def test_forms_and_data(which: str) -> None:
    form = form_text(protocol_of(report_of(which).wiring))
    assert yaml.safe_load(form)["aircraft"] == PLANS[which][0]
    shapes = [sorted(yaml.safe_load(each)) for each in (
        form, form_text(protocol_of(report_of("harmless").wiring)))]  # fmt: skip
    assert shapes[0] == shapes[1]
    for _, text in of_kind(which, "json"):
        json.loads(text)
    for name, text in of_kind(which, "txt"):
        assert all(line.replace("\t", "").isprintable() for line in text.splitlines()), name


@pytest.mark.parametrize("text", TEXTS)
def test_texts_one_by_one_at_the_front_of_a_cell(text: str) -> None:
    """Each text is the first sign of a cell, a line, a comment: what does not show when joined."""
    report = check(parse_plan(Source("plan.yaml", plan_with(text, "n"))))
    for document in ("kit", "leads", "protocol", "transmitter", "lengths"):
        source = report if BY_NAME[document].judged else report.wiring
        (table,) = files_of(BY_NAME[document], source, "csv").values()
        cells = [cell for row in csv.reader(io.StringIO(str(table), newline="")) for cell in row]
        assert [c for c in cells if re.match(r"[=@\t\r]|[+-](?![\d.]+$)", c)] == []


@pytest.mark.parametrize("name", NAMES)
def test_no_name_leads_out_of_the_folder(name: str, tmp_path: Path) -> None:
    """A plan from standard input is filed by its aeroplane, a picture by what it shows."""
    folder = tmp_path / "deep" / "er"
    folder.mkdir(parents=True)
    run, plan = runner(folder), plan_with(f"../../{name}", name).encode()
    for words in ([f"--place={name}bay"], [f"--function={name}own"], [f"--lead={name}servo"]):
        done = run("draw", "-", *words, "--to", "svg", "--out", "o", stdin=plan)
        assert done.code == 0, done.err
    made = [path for path in tmp_path.rglob("*") if path.is_file()]
    assert len(made) == 3
    assert {path.parent.parent for path in made} == {folder / "o"}
    assert all(re.fullmatch(r"[\w.-]+", path.name) for path in made)  # POSIX 3.282, and letters
