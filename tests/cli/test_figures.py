"""The commands about a solved harness, through the real command line."""

from __future__ import annotations

import csv
import io
import json
import sys
from pathlib import Path

import pytest
from documents.figures.hand import ALIKE, GEAR, HAND
from support_cli import GOOD, Run, runner

from harness.cli import main as cli
from harness.electrics import outcome
from harness.electrics.network import Network
from harness.electrics.solver.circuit import NotSolved
from harness.electrics.solver.solution import Solution
from harness.electrics.warm import solved

HEAD = "plan: 1\naircraft: Test\n"


@pytest.fixture
def run(tmp_path: Path) -> Run:
    full = HAND + "\nreserve: 100 %\n"
    plans = {"hand": HAND, "joined": ALIKE, "gear": GEAR, "full": full, "bare": ""}
    for name, text in plans.items():
        (tmp_path / f"{name}.yaml").write_text(HEAD + text, "utf-8")
    return runner(tmp_path)


TEXTS = [
    ["load", "hand.yaml"],
    ["load", "hand.yaml", "--case", "wave"],
    ["load", "hand.yaml", "--at", "a"],
    ["load", "hand.yaml", "--tolerance", "20", "--seed", "3"],
    ["load", "hand.yaml", "--tolerance", "corners"],
    ["timeline", "gear.yaml", "--function", "gear"],
    ["timeline", "gear.yaml", "--function", "gear", "--run", "down"],
    ["equalise", "joined.yaml"],
    ["equalise", "hand.yaml"],
    ["endurance", "hand.yaml"],
]


@pytest.mark.parametrize("args", TEXTS, ids=" ".join)
def test_text_goes_to_standard_output_and_nothing_is_written(
    args: list[str], run: Run, tmp_path: Path
) -> None:
    ran = run(*args)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.startswith("Test: ")
    assert max(map(len, ran.out.split("\n"))) <= 110
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("args", TEXTS[:4] + TEXTS[5:6] + TEXTS[7:], ids=" ".join)
def test_the_other_texts_can_be_read(args: list[str], run: Run) -> None:
    assert json.loads(run(*args, "--to", "json").out)["aircraft"] == "Test"
    html = run(*args, "--to", "html").out
    assert html.startswith("<!doctype html>")
    found = run(*args, "--to", "csv")
    assert found.code == 0
    assert len({len(row) for row in csv.reader(io.StringIO(found.out))}) == 1


def test_a_plan_comes_from_standard_input(run: Run) -> None:
    given = run("load", "-", "--case", "wave", stdin=(HEAD + HAND).encode())
    assert given.code == 0
    assert given.out == run("load", "hand.yaml", "--case", "wave").out


def test_the_same_bytes_under_another_hash_seed(run: Run) -> None:
    args = ["load", "joined.yaml", "--to", "json", "--tolerance", "30"]
    assert run(*args, PYTHONHASHSEED="1").out == run(*args, PYTHONHASHSEED="2").out


def test_another_seed_draws_others(run: Run) -> None:
    args = ["load", "hand.yaml", "--to", "csv", "--tolerance", "30"]
    assert run(*args).out == run(*args, "--seed", "1").out != run(*args, "--seed", "2").out


def test_documents_are_named_by_what_they_show(run: Run, tmp_path: Path) -> None:
    args = ["load", "hand.yaml", "--case", "wave", "--at", "a", "--to", "csv", "--out", "o"]
    assert run(*args).out == "o/hand/load-wave-at-a.csv\n"
    args = ["timeline", "gear.yaml", "--function", "gear", "--run", "down", "--to", "svg"]
    assert run(*args).out == "out/gear/timeline-gear-down.svg\n"
    assert (tmp_path / "out/gear/timeline-gear-down.svg").read_text("utf-8").startswith("<?xml")


def test_a_netlist_is_of_one_case(run: Run) -> None:
    ran = run("load", "hand.yaml", "--case", "wave", "--to", "spice")
    assert ran.out.splitlines()[0].startswith("Test, wave: ")
    assert ran.out.endswith(".op\n.end\n")
    none = run("load", "hand.yaml", "--to", "spice")
    assert (none.code, none.out) == (2, "")
    assert "say which with --case: joined, radio-on" in none.err


@pytest.mark.parametrize(
    ("args", "said"),
    [
        (["load", "hand.yaml", "--case", "wav"], 'no case "wav" in this plan; did you mean "wave"'),
        (["load", "hand.yaml", "--at", "rxx"], 'no part "rxx" in this plan; did you mean "rx"'),
        (["load", "hand.yaml", "--tolerance", "none"], '"none" is no number of draws'),
        (["load", "hand.yaml", "--seed", "1000000"], "not a whole number from 0 to 999999"),
        (["load", "hand.yaml", "--seed", "1"], "--seed is of the random draws of --tolerance"),
        (["load", "hand.yaml", "--tolerance", "corners", "--seed", "1"], "leave out --seed"),
        (["load", "hand.yaml", "--to", "xml"], '"xml" is none of table, json, csv'),
        (["timeline", "gear.yaml"], "required: --function"),
        (["timeline", "gear.yaml", "--function", "flap"], 'moved by "flap": it can be gear'),
        (["endurance", "full.yaml", "--to", "svg"], "every flight ends before it begins"),
        (["endurance", "bare.yaml", "--to", "svg"], "nothing to draw; no pack to follow"),
        (["equalise", "hand.yaml", "--to", "svg"], "no packs are joined side by side"),
        (["draw", "hand.yaml", "--case", "wav"], 'no case "wav" in this plan; did you mean "wave"'),
        (["draw", "hand.yaml", "--case", "wave", "--view", "power"], "drawn on the run view"),
    ],
)
def test_what_cannot_be_done_is_one_line_and_exit_2(args: list[str], said: str, run: Run) -> None:
    ran = run(*args)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err.splitlines()[0]


def _without(monkeypatch: pytest.MonkeyPatch, *draws: int) -> None:
    """Make some draws unsolvable, as a short or a collapse would."""

    def unsolved(net: Network) -> Solution:
        found = solved(net)
        for draw in draws or range(net.circuit.draws):
            found.raw.trouble[draw] = NotSolved("cells of p", "no balance is found", draw)
        return found

    monkeypatch.setattr(outcome, "solved", unsolved)


def _said(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], *args: str
) -> tuple[object, str, str]:
    monkeypatch.setattr(sys, "argv", ["harness", *args])
    with pytest.raises(SystemExit) as left:
        cli.main()
    return (left.value.code, *capsys.readouterr())


def test_a_case_without_a_solution_is_named_the_others_are_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "good.yaml"
    path.write_text(GOOD, "utf-8")
    _without(monkeypatch, 0)
    code, out, _ = _said(monkeypatch, capsys, "load", str(path))
    assert code == 0
    assert 'case joined has no solution: pack "p" (plan line 7): no balance is found' in out
    assert "b radio-on" in out
    assert "a joined" not in out
    code, out, err = _said(monkeypatch, capsys, "load", str(path), "--case", "joined")
    assert (code, out) == (2, "")
    assert 'pack "p" (plan line 7): no balance is found' in err


def test_no_numbers_where_nothing_has_a_solution(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    path = tmp_path / "good.yaml"
    path.write_text(GOOD, "utf-8")
    _without(monkeypatch)
    code, out, err = _said(monkeypatch, capsys, "load", str(path))
    assert (code, out) == (2, "")
    assert err.startswith("harness: nothing is computed: case joined has no solution")


def test_the_book_holds_load_time_line_and_endurance(run: Run, tmp_path: Path) -> None:
    ran = run("book", "gear.yaml")
    assert ran.code == 0, ran.err
    names = {Path(line).name for line in ran.out.split()}
    for stem in ("load", "timeline-gear", "endurance"):
        assert {f"{stem}.{to}" for to in ("csv", "svg", "pdf")} <= names
    assert not {name for name in names if name.startswith("equalise")}
    names = {Path(line).name for line in run("book", "joined.yaml").out.split()}
    assert {"equalise.csv", "equalise.svg", "equalise.pdf"} <= names
    assert "Packs just joined" in (tmp_path / "out/joined/book.html").read_text("utf-8")
