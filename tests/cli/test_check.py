"""The check command: exit codes, several plans, folders, standard input, colour, pipes."""

from __future__ import annotations

import os
import pty
import subprocess
import sys
from pathlib import Path

import pytest
from support_cli import GOOD, TWICE, Run

BAD = "plan: 1\naircraft: Test\nservos: {a: {shaft: lft}}\n"
OPEN = "plan: 1\naircraft: Test\nreceivers: {rx: {sockets: 2}}\nservos: {a: {class: 9g-analogue}}\n"
"""A servo that is plugged in nowhere: worth a warning."""


@pytest.fixture
def plans(tmp_path: Path) -> Path:
    """Return a folder with a plan of each sort."""
    texts = {"good": GOOD, "twice": TWICE, "bad": BAD, "open": OPEN}
    for name, text in texts.items():
        (tmp_path / f"{name}.yaml").write_text(text)
    return tmp_path


CODES = [
    (["good.yaml"], 0),
    (["twice.yaml"], 1),
    (["bad.yaml"], 2),
    (["good.yaml", "twice.yaml"], 1),
    (["good.yaml", "bad.yaml", "twice.yaml"], 2),
    (["missing.yaml", "good.yaml"], 2),
    (["open.yaml"], 0),
    (["--strict", "open.yaml"], 1),
    (["--strict", "bad.yaml"], 2),
    ([], 2),
    (["--nonsense", "good.yaml"], 2),
    (["--format", "xml", "good.yaml"], 2),
    (["--color", "sometimes", "good.yaml"], 2),
]


@pytest.mark.parametrize(("args", "code"), CODES, ids=lambda value: " ".join(map(str, [value])))
def test_exit_codes(args: list[str], code: int, run: Run, plans: Path) -> None:
    """0 clean, 1 findings, 2 could not run: as linters do (ruff's documentation, memory)."""
    ran = run("check", *args)
    assert ran.code == code
    assert "Traceback" not in ran.err


@pytest.mark.parametrize("style", ["json", "sarif"])
def test_exit_codes_do_not_depend_on_the_format(style: str, run: Run, plans: Path) -> None:
    codes = [run("check", "--format", style, f"{n}.yaml").code for n in ("good", "twice", "bad")]
    assert codes == [0, 1, 2]


def test_every_plan_of_several_is_judged_though_one_is_not_understood(
    run: Run, plans: Path
) -> None:
    ran = run("check", "bad.yaml", "twice.yaml", "good.yaml")
    assert "[socket-used-twice]" in ran.out
    assert "good.yaml: Test, 3 parts: " in ran.out
    assert ran.err.startswith("bad.yaml:3:21: not understood: ")


def test_a_folder_is_all_its_plans_below(run: Run, plans: Path) -> None:
    deep = plans / "aircraft" / "old"
    deep.mkdir(parents=True)
    (deep / "x.yml").write_text(GOOD)
    (deep / "notes.txt").write_text("no plan")
    (deep / ".hidden.yaml").write_text(BAD)
    (deep / ".git").mkdir()
    (deep / ".git" / "x.yaml").write_text(BAD)
    (deep / "folder.yaml").mkdir()
    ran = run("check", "aircraft")
    assert (ran.code, ran.out.splitlines()[-1][:18]) == (0, "aircraft/old/x.yml")


def test_a_folder_above_or_hidden_is_read_too(run: Run, plans: Path) -> None:
    """A path the user gives is meant, whatever it is called."""
    hidden = plans / ".plans" / "deep" / "er"
    hidden.mkdir(parents=True)
    (plans / ".plans" / "x.yaml").write_text(GOOD)
    assert run("check", ".plans").code == 0
    line = [sys.executable, "-m", "harness", "check", "../../../.plans"]
    assert subprocess.run(line, cwd=hidden, capture_output=True, check=False).returncode == 0


def test_a_folder_without_a_plan(run: Run, tmp_path: Path) -> None:
    (tmp_path / "empty").mkdir()
    ran = run("check", "empty")
    assert ran.code == 2
    assert ran.err == (
        'harness: there is no plan (a file that ends in .yaml) in the folder "empty"\n'
    )


def test_a_plan_named_twice_is_judged_once(run: Run, plans: Path) -> None:
    assert run("check", "good.yaml", "good.yaml").out.count("good.yaml: Test") == 1


def test_standard_input(run: Run) -> None:
    ran = run("check", "-", stdin=GOOD.encode())
    assert ran.code == 0
    assert ran.out.splitlines()[-1].startswith("<stdin>: Test, 3 parts: ")
    ran = run("check", "-", stdin=BAD.encode())
    assert (ran.code, ran.err.splitlines()[0][:31]) == (2, '<stdin>:3:21: not understood: "')


def test_a_finding_is_one_line_of_what_is_wrong_and_one_of_what_to_do(
    run: Run, plans: Path
) -> None:
    lines = run("check", "twice.yaml").out.splitlines()
    head = next(n for n, line in enumerate(lines) if "[socket-used-twice]" in line)
    assert lines[head].startswith("twice.yaml:7:")
    assert lines[head + 1].startswith("  do: ")
    assert not any("^" in line for line in lines)


def test_why_shows_file_line_column_frame_and_advice(run: Run, plans: Path) -> None:
    lines = run("check", "--why", "twice.yaml").out.splitlines()
    head = next(n for n, line in enumerate(lines) if "[socket-used-twice]" in line)
    assert lines[head].startswith("twice.yaml:7:")
    assert lines[head + 1] == "  7 | " + TWICE.splitlines()[6]
    column = int(lines[head].split(":")[2])
    assert lines[head + 2].index("^") == len("  7 | ") + column - 1
    assert any(line.startswith("  do: ") for line in lines[head:])


def test_nothing_is_written(run: Run, plans: Path) -> None:
    before = sorted(plans.iterdir())
    run("check", ".", "--format", "sarif")
    assert sorted(plans.iterdir()) == before


COLOURS = [
    (["--color", "always"], {}, True),
    (["--color", "always"], {"NO_COLOR": "1"}, True),
    (["--color", "never"], {}, False),
    (["--color", "auto"], {}, False),
    ([], {}, False),
    ([], {"NO_COLOR": "1"}, False),
]


@pytest.mark.parametrize(("args", "env", "coloured"), COLOURS)
def test_colour_where_no_terminal_listens(
    args: list[str], env: dict[str, str], coloured: bool, run: Run, plans: Path
) -> None:
    ran = run("check", "twice.yaml", "bad.yaml", *args, **env)
    assert ("\x1b[" in ran.out, "\x1b[" in ran.err) == (coloured, coloured)


@pytest.mark.parametrize(
    ("args", "env", "coloured"),
    [
        ([], {}, True),
        ([], {"NO_COLOR": "1"}, False),
        ([], {"NO_COLOR": ""}, True),
        (["--color", "never"], {}, False),
        (["--color", "always"], {"NO_COLOR": "1"}, True),
    ],
)
def test_colour_on_a_terminal(
    args: list[str], env: dict[str, str], coloured: bool, plans: Path
) -> None:
    """NO_COLOR counts when present and not empty; an option overrides it (no-color.org)."""
    ours, theirs = pty.openpty()
    line = [sys.executable, "-m", "harness", "check", "twice.yaml", *args]
    usual = {k: v for k, v in os.environ.items() if k != "NO_COLOR"}
    env = {**usual, "TERM": "xterm", **env}
    subprocess.run(line, cwd=plans, env=env, stdout=theirs, stderr=theirs, check=False, timeout=30)
    os.close(theirs)
    seen = os.read(ours, 100_000)
    os.close(ours)
    assert b"[socket-used-twice]" in seen
    assert (b"\x1b[" in seen) == coloured


@pytest.mark.parametrize(
    ("args", "code"), [("rules", 0), ("check many.yaml", 1), ("check many.yaml --format json", 1)]
)
def test_a_closed_pipe_is_no_fault(args: str, code: int, tmp_path: Path) -> None:
    """As in `harness check plan.yaml | head -1`, with more output than a pipe holds: the exit code
    is that of the plan.
    """
    servos = "".join(f"  servo-{n}: {{plug: rx.1}}\n" for n in range(800))
    head = "plan: 1\naircraft: Test\nreceivers: {rx: {sockets: 2}}\nservos:\n"
    (tmp_path / "many.yaml").write_text(head + servos)
    ours, theirs = os.pipe()
    os.close(ours)
    line = [sys.executable, "-m", "harness", *args.split()]
    done = subprocess.run(
        line, cwd=tmp_path, stdout=theirs, stderr=subprocess.PIPE, check=False, timeout=30
    )
    os.close(theirs)
    assert done.stderr == b""
    assert done.returncode == code


def test_a_full_disk_is_told(plans: Path) -> None:
    with Path("/dev/full").open("wb") as full:
        line = [sys.executable, "-m", "harness", "check", "good.yaml"]
        done = subprocess.run(line, cwd=plans, stdout=full, stderr=subprocess.PIPE, check=False)
    assert done.returncode == 2
    assert done.stderr.startswith(b"harness: ")
    assert done.stderr.count(b"\n") == 1


@pytest.mark.parametrize("encoding", ["ascii", "latin-1", "utf-8"])
@pytest.mark.parametrize("style", ["text", "json", "sarif"])
def test_a_terminal_of_any_encoding(style: str, encoding: str, run: Run, tmp_path: Path) -> None:
    (tmp_path / "Ω.yaml").write_text(GOOD.replace("Test", "Möwe Ω"), encoding="utf-8")
    ran = run("check", "Ω.yaml", "--format", style, PYTHONIOENCODING=encoding, PYTHONUTF8="0")
    assert (ran.code, ran.err) == (0, "")
    assert style == "text" or ran.out.isascii()


def test_rules_are_listed_by_family(run: Run) -> None:
    ran = run("rules")
    assert ran.code == 0
    assert "sockets" in ran.out.splitlines()
    assert any(line.split()[:2] == ["socket-used-twice", "error"] for line in ran.out.splitlines())


def test_one_rule_has_its_page(run: Run) -> None:
    ran = run("rules", "socket-used-twice")
    assert ran.code == 0
    assert ran.out.startswith("socket-used-twice (error, sockets)\n\n")
    assert "What it looks for" in ran.out


def test_a_wrong_rule_gets_the_nearest(run: Run) -> None:
    ran = run("rules", "socket-used-twic")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == (
        'harness: there is no rule "socket-used-twic"; did you mean "socket-used-twice"?\n'
    )


@pytest.mark.parametrize("args", [["--help"], ["-h"], ["check", "--help"], ["--version"]])
def test_help_and_version(args: list[str], run: Run) -> None:
    ran = run(*args)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out


def test_a_wrong_command(run: Run) -> None:
    ran = run("chek")
    assert (ran.code, ran.out) == (2, "")
    assert "chek" in ran.err


@pytest.mark.parametrize(
    ("stock", "words"),
    [
        ("{page-widht: 210 mm}", 'did you mean "page-width"?'),
        ("{tape-width: 12}", "has no unit"),
        ("{tape-width: 12 mm}", "missing"),
        ("{}", "missing"),
    ],
)
def test_a_label_stock_that_cannot_be_is_shown_in_the_file(
    stock: str, words: str, run: Run, tmp_path: Path
) -> None:
    (tmp_path / "a.yaml").write_text(GOOD + f"label-stocks: {{mine: {stock}}}\n", "utf-8")
    ran = run("check", "a.yaml")
    assert ran.code == 2
    assert f"a.yaml:{len(GOOD.splitlines()) + 1}:" in ran.err
    assert words in ran.err
