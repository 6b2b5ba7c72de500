"""Documents through the real command line: listed, whole or not at all, the same bytes twice."""

from __future__ import annotations

import hashlib
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest
from support_cli import GOOD, Run, runner

COMMANDS = [
    ["draw", "good.yaml"],
    ["draw", "good.yaml", "--view", "airframe", "--to", "pdf"],
    ["draw", "good.yaml", "--view", "power", "--to", "png", "--page", "Letter"],
    ["draw", "good.yaml", "--function", "aileron"],
    ["leads", "good.yaml", "--to", "csv", "--out", "out"],
    ["leads", "good.yaml", "--to", "html", "--out", "out"],
    ["labels", "good.yaml", "--stock", "tape-12"],
    ["labels", "good.yaml"],
    ["labels", "--stock", "tape-12", "--test-page"],
    ["load", "good.yaml", "--to", "svg"],
    ["load", "good.yaml", "--to", "csv", "--out", "out"],
    ["load", "good.yaml", "--to", "spice", "--case", "cruise", "--out", "out"],
    ["load", "good.yaml", "--tolerance", "20", "--to", "pdf", "--page", "Letter"],
    ["timeline", "good.yaml", "--function", "aileron", "--to", "html", "--out", "out"],
    ["equalise", "good.yaml", "--to", "json", "--out", "out"],
    ["endurance", "good.yaml", "--to", "svg"],
    ["draw", "good.yaml", "--case", "worst"],
    ["book", "good.yaml"],
    ["book", "good.yaml", "--page", "Letter"],
]
REFUSED = [
    ["draw", "good.yaml", "--place", "attic"],
    ["draw", "good.yaml", "--function", "ailerom"],
    ["draw", "good.yaml", "--lead", "AIL-9"],
    ["draw", "bad.yaml"],
    ["leads", "good.yaml", "--out", "file"],
    ["labels", "good.yaml", "--stock", "tape-13"],
    ["labels", "good.yaml", "--stock", "a4-46x21-4x12", "--skip", "48"],
    ["labels", "glyph.yaml", "--stock", "tape-12"],
    ["book", "glyph.yaml"],
    ["book", "bad.yaml"],
    ["book", "good.yaml", "--out", "file"],
    ["trace", "good.yaml", "b"],
    ["load", "good.yaml", "--case", "cruse"],
    ["load", "good.yaml", "--at", "b"],
    ["load", "good.yaml", "--to", "spice"],
    ["load", "good.yaml", "--to", "spice", "--case", "cruise", "--at", "a"],
    ["load", "good.yaml", "--seed", "2"],
    ["load", "good.yaml", "--to", "html", "--out", "file"],
    ["load", "bad.yaml"],
    ["timeline", "good.yaml", "--function", "gear"],
    ["timeline", "good.yaml", "--function", "aileron", "--run", "dwn"],
    ["equalise", "good.yaml", "--to", "pdf"],
    ["draw", "good.yaml", "--case", "wurst"],
    ["draw", "good.yaml", "--case", "cruise", "--view", "power"],
]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    (tmp_path / "good.yaml").write_text(GOOD, "utf-8")
    (tmp_path / "bad.yaml").write_text(GOOD.replace("rx.1", "ry.1"), "utf-8")
    (tmp_path / "glyph.yaml").write_text(
        GOOD.replace("plug: rx.1", 'plug: rx.1, code: "雁1"'), "utf-8"
    )
    (tmp_path / "file").write_text("mine", "utf-8")
    return runner(tmp_path)


def digests(folder: Path) -> dict[str, str]:
    files = (p for p in sorted(folder.rglob("*")) if p.is_file())
    return {str(p.relative_to(folder)): hashlib.sha256(p.read_bytes()).hexdigest() for p in files}


@pytest.mark.parametrize("args", COMMANDS, ids=" ".join)
def test_what_is_listed_is_written_and_nothing_else(
    args: list[str], run: Run, tmp_path: Path
) -> None:
    before = set(digests(tmp_path))
    ran = run(*args)
    assert ran.code == 0, ran.err
    assert sorted(ran.out.split()) == sorted(set(digests(tmp_path)) - before)


def test_the_same_bytes_under_another_hash_seed(run: Run, tmp_path: Path) -> None:
    run("book", "good.yaml", "--out", "one", PYTHONHASHSEED="1")
    run("book", "good.yaml", "--out", "two", PYTHONHASHSEED="2")
    one, two = digests(tmp_path / "one"), digests(tmp_path / "two")
    assert {"good/book.html", "good/book.pdf"} <= set(one)
    assert len(one) >= 14
    assert one == two


@pytest.mark.parametrize("args", REFUSED, ids=" ".join)
def test_a_refusal_writes_nothing_and_loses_nothing(
    args: list[str], run: Run, tmp_path: Path
) -> None:
    kept = tmp_path / "out" / "glyph" / "run.svg"
    kept.parent.mkdir(parents=True)
    kept.write_text("mine", "utf-8")
    before = digests(tmp_path)
    ran = run(*args)
    assert ran.code == 2
    assert ran.out == ""
    assert len(ran.err.strip().split("\n")) <= 4
    assert "Traceback" not in ran.err
    assert "Errno" not in ran.err
    assert digests(tmp_path) == before


def test_a_plan_from_standard_input_gets_its_aircrafts_folder(run: Run, tmp_path: Path) -> None:
    ran = run("draw", "-", stdin=GOOD.replace("Test", "../Far Away 3").encode())
    assert ran.out == "out/far-away-3/run.svg\n"
    assert (tmp_path / "out" / "far-away-3" / "run.svg").is_file()


def test_a_plan_without_parts_has_a_book(run: Run, tmp_path: Path) -> None:
    ran = run("book", "-", stdin=b"plan: 1\naircraft: Empty\n")
    assert ran.code == 0
    assert {"out/empty/book.html", "out/empty/book.pdf"} <= set(ran.out.split())
    assert "labels" not in ran.out


class _Page(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.links: list[str] = []
        self.ids: set[str] = set()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.links += [value for name, value in attrs if name in {"href", "src"} and value]
        self.ids |= {value for name, value in attrs if name == "id" and value}


def test_the_book_needs_no_other_file(run: Run, tmp_path: Path) -> None:
    run("book", "good.yaml")
    page = _Page()
    page.feed((tmp_path / "out" / "good" / "book.html").read_text("utf-8"))
    outside = [link for link in page.links if not link.startswith(("#", "data:"))]
    assert outside == []
    assert {link.removeprefix("#") for link in page.links if link.startswith("#")} <= page.ids


def test_beside_the_book_are_drawings_labels_and_numbers(run: Run, tmp_path: Path) -> None:
    names = {Path(line).name for line in run("book", "good.yaml").out.split()}
    views = {
        f"{view}.{to}" for view in ("run", "airframe", "power", "control") for to in ("svg", "pdf")
    }
    assert {"book.html", "book.pdf", "leads.csv", "load.csv", "load.svg", "endurance.csv"} <= names
    assert views <= names
    assert any(name.startswith("labels-") for name in names)
    assert any(name.startswith("test-page-") for name in names)


def test_the_wheel_holds_schema_starter_and_catalogue(tmp_path: Path) -> None:
    import zipfile

    root = Path(__file__).parents[2]
    command = [
        sys.executable,
        "-m",
        "pip",
        "wheel",
        "-q",
        "--no-deps",
        "-w",
        str(tmp_path),
        str(root),
    ]
    subprocess.run(command, check=True, capture_output=True)
    (wheel,) = tmp_path.glob("*.whl")
    names = set(zipfile.ZipFile(wheel).namelist())
    wanted = {"schemas/plan.schema.json", "plan/starter.yaml", "catalogue/data/servos.csv"}
    assert {f"harness/{name}" for name in wanted} <= names
    assert not [name for name in names if name.startswith(("tests/", "examples/"))]


def test_an_empty_form_begins_with_what_must_be_mended_first(run: Run) -> None:
    broken = Path(__file__).parents[2] / "examples" / "broken" / "main-negative-open.yaml"
    form = run("protocol", str(broken), "--to", "yaml").out
    assert "Mend stray-return on plan line 17" in form.split("results:")[0].replace("\n# ", " ")
    assert "mend" not in run("protocol", "good.yaml", "--to", "yaml").out.split("results:")[0]
