"""`harness steps`, run as its user runs it."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from pypdf import PdfReader
from support_cli import runner

EXAMPLES = Path(__file__).parents[2] / "examples"
PLAN = EXAMPLES / "saltmarsh-19.yaml"


def test_text_goes_to_standard_output(tmp_path: Path) -> None:
    done = runner(tmp_path)("steps", str(PLAN))
    assert done.code == 0
    assert done.out.startswith("Order of work: Saltmarsh 19\n")
    assert "[ ]   1  " in done.out
    assert done.err == ""
    assert list(tmp_path.iterdir()) == []


def test_standard_input_gives_the_same_steps(tmp_path: Path) -> None:
    run = runner(tmp_path)
    assert run("steps", "-", stdin=PLAN.read_bytes()).out == run("steps", str(PLAN)).out


@pytest.mark.parametrize("field", [False, True])
def test_json_is_json(tmp_path: Path, field: bool) -> None:
    more = ["--field"] if field else []
    body = json.loads(runner(tmp_path)("steps", str(PLAN), "--to", "json", *more).out)
    assert body["document"] == ("field" if field else "steps")
    assert [step["number"] for step in body["steps"]] == list(range(1, len(body["steps"]) + 1))


@pytest.mark.parametrize(("page", "size"), [("A4", (595, 842)), ("Letter", (612, 792))])
def test_a_pdf_is_written_and_has_every_label(
    tmp_path: Path, page: str, size: tuple[int, int]
) -> None:
    """ISO 216 and ANSI sizes in points; pypdf reads the text back."""
    done = runner(tmp_path)("steps", str(PLAN), "--field", "--to", "pdf", "--page", page)
    (line,) = done.out.splitlines()
    reader = PdfReader(io.BytesIO((tmp_path / line).read_bytes()))
    box = reader.pages[0].mediabox
    assert (round(box.width), round(box.height)) == size
    text = "".join(page.extract_text() for page in reader.pages)
    assert all(code in text for code in ("AIL-L-X", "ESC-R-P", "LEG-L", "BAT-1"))


def test_html_is_written_where_it_is_wanted(tmp_path: Path) -> None:
    done = runner(tmp_path)("steps", str(PLAN), "--to", "html", "--out", "docs")
    (line,) = done.out.splitlines()
    assert Path(line).parts[0] == "docs"
    assert "AIL-L-X" in (tmp_path / line).read_text("utf-8")


def test_an_impossible_order_leaves_with_one_and_a_broken_plan_with_two(tmp_path: Path) -> None:
    run = runner(tmp_path)
    done = run("steps", str(EXAMPLES / "broken" / "impossible-order.yaml"))
    assert done.code == 1
    assert "there is no order" in done.out
    done = run("steps", "-", stdin=b"plan: 1\naircraft: T\ncovers: {c: {over: nowhere}}\n")
    assert (done.code, done.out) == (2, "")
    assert 'there is no place "nowhere"' in done.err or "kind" in done.err
