"""The document of lengths, and its command: the same figures in every form."""

from __future__ import annotations

import csv
import io
import json
import math
from pathlib import Path

import pytest
from support import plan_of, report_of
from support_cli import Run, runner

from harness.documents.lengths import lengths_chapter, lengths_figures
from harness.paper import render_figures as render
from harness.plan.load import load_plan
from harness.wiring.build import build

EXAMPLES = Path(__file__).parents[2] / "examples"
PLAN = """
places:
  body: {at: 400 mm}
  wing: {joins: body, side: left, at: {aft: 400 mm, out: 500 mm}}
receivers: {rx: {sockets: 6, place: body}}
servos:
  aileron: {place: wing, length: 250 mm, wire: 22 AWG, plug: ext.1}
leads:
  ext: {kind: extension, plug: rx.1, length: 300 mm, wire: 22 AWG}
"""


@pytest.fixture
def run(tmp_path: Path) -> Run:
    (tmp_path / "wing.yaml").write_text("plan: 1\naircraft: Test\n" + PLAN, "utf-8")
    (tmp_path / "bare.yaml").write_text("plan: 1\naircraft: Test\nplaces: {a: {}}\n", "utf-8")
    odd = (
        PLAN.replace("aileron", "quer-ö")
        .replace("ext.", "x" * 40 + ".")
        .replace("ext:", "x" * 40 + ":")
    )
    (tmp_path / "odd.yaml").write_text("plan: 1\naircraft: Möwe\n" + odd, "utf-8")
    return runner(tmp_path)


def test_figures_by_hand() -> None:
    """500 of way; 500 + 50 + 100 + 30 = 680 needed; 250 + 300 = 550 there; 130 are wanting.

    One of the stock's 150 mm, or 450 in place of the 300 (430 is no stock length).
    """
    (found,) = lengths_figures(build(plan_of(PLAN))).data["runs"]
    assert (found["way_mm"], found["needed_mm"], found["have_mm"]) == (500, 680, 550)
    assert (found["spare_mm"], found["verdict"], found["joints"]) == (-130, "short of slack", 1)
    assert found["places"] == ["wing", "body"]
    assert found["joints_that_come_off"] == ["wing"]
    offer = found["offer"]
    assert (offer["extensions_mm"], offer["instead_of"], offer["instead_mm"]) == ([150], "ext", 450)


def test_table_says_it_in_words() -> None:
    text = render(lengths_figures(build(plan_of(PLAN))), "table")
    assert "short of slack: aileron" in text
    assert "extension of 150 mm (to buy)" in text
    assert '450 mm in place of "ext": no joint more' in text
    assert "common practice" in text
    assert max(map(len, text.split("\n"))) <= 110


def test_bundle_in_the_document() -> None:
    """One lead of three wires of 1.7 mm: sqrt(3 * 1.7^2 / 0.5) = 4.16 mm."""
    (found,) = lengths_figures(build(plan_of(PLAN))).data["bundles"]
    assert (found["most_leads"], found["wires"]) == (1, 3)
    assert found["diameter_mm"] == pytest.approx(math.sqrt(6) * 1.7)
    assert found["length_mm"] == 500


def test_without_positions_one_helpful_sentence() -> None:
    figures = lengths_figures(build(plan_of("places: {a: {}}\n")))
    (point,) = figures.sheet.points
    assert "at" in point.text
    assert figures.sheet.tables == ()
    assert figures.records == ()


def test_what_is_not_known_is_listed() -> None:
    text = PLAN.replace(", at: {aft: 400 mm, out: 500 mm}", "")
    sheet = lengths_figures(build(plan_of(text))).sheet
    note = next(note for note in sheet.notes if note.title == "Not known")
    assert note.lines == ('aileron: the position of place "wing" (at)',)


def test_the_chapter_is_the_sheet() -> None:
    chapter = lengths_chapter(report_of(PLAN))
    assert chapter.anchor == "lengths"
    titles = [block.title for block in chapter.blocks if hasattr(block, "title")]
    assert titles[:1] == ["Runs"]
    assert "Bundles" in titles


@pytest.mark.parametrize(
    "path", sorted(p for p in EXAMPLES.glob("*.yaml") if "." not in p.stem), ids=lambda p: p.stem
)
def test_examples_reach_everywhere(path: Path) -> None:
    figures = lengths_figures(build(load_plan(str(path))))
    told = {run["verdict"] for run in figures.data["runs"]}
    assert told <= {"enough", "lead not known"}
    stated = "at:" in path.read_text("utf-8")
    assert stated == bool(figures.data["runs"])
    assert all(b["fit"] in {None, "goes"} for b in figures.data["bundles"])


@pytest.mark.parametrize("name", ["wing", "bare", "odd"])
def test_every_form_can_be_read(name: str, run: Run, tmp_path: Path) -> None:
    plan = f"{name}.yaml"
    table = run("lengths", plan)
    assert (table.code, table.err) == (0, "")
    assert json.loads(run("lengths", plan, "--to", "json").out)["document"] == "lengths"
    rows = list(csv.reader(io.StringIO(run("lengths", plan, "--to", "csv").out)))
    assert len({len(row) for row in rows}) == 1
    assert len(rows) == (1 if name == "bare" else 3)
    assert run("lengths", plan, "--to", "html").out.startswith("<!doctype html>")
    assert not (tmp_path / "out").exists()


def test_pictures_are_no_form_of_lengths(run: Run) -> None:
    refused = run("lengths", "wing.yaml", "--to", "svg")
    assert refused.code == 2
    assert '"svg" is none of table, json, csv, html' in refused.err


def test_with_out_it_is_written(run: Run, tmp_path: Path) -> None:
    done = run("lengths", "wing.yaml", "--to", "csv", "--out", "papers")
    assert done.code == 0
    (path,) = (tmp_path / "papers").rglob("lengths.csv")
    assert path.read_bytes().startswith(b"what,name,from,to")


def test_a_plan_from_standard_input_and_the_same_bytes(run: Run, tmp_path: Path) -> None:
    text = (tmp_path / "odd.yaml").read_bytes()
    one = run("lengths", "-", "--to", "json", stdin=text, PYTHONHASHSEED="1").out
    assert one == run("lengths", "odd.yaml", "--to", "json", PYTHONHASHSEED="2").out


def test_a_mistake_in_the_plan_is_refused(run: Run, tmp_path: Path) -> None:
    (tmp_path / "bad.yaml").write_text("plan: 1\naircraft: T\nplaces: {a: {at: 3}}\n", "utf-8")
    refused = run("lengths", "bad.yaml")
    assert refused.code == 2
    assert "bad.yaml:3:" in refused.err
