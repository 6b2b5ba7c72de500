"""Whoever listens may leave, and a disk may be full: every command ends in its own way.

What is expected is what the shell's own words do to a stream (POSIX, XCU 2.7): `>&-` closes it,
`| true` breaks it, `>/dev/full` refuses every byte. Where nobody listens, the work is done and the
exit code is that of the work; what somebody wanted and cannot have is told in one line.
"""

from __future__ import annotations

import subprocess
import sys
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from support_cli import GOOD, ORDINARY, Fault, Ran, Run, runner

from harness.cli.commands import GROUPS

FORM = "results: 1\naircraft: Test\nrevision: x\ndate: 2026-10-02\ntests: {range: yes}\n"
OPEN = GOOD.replace(
    "packs:",
    """\
  wing-left: {class: 9g-analogue, moves: aileron, place: wing}
  wing-right: {class: 9g-analogue, moves: aileron, place: wing}
places: {wing: {}}
packs:""",
)
"""There is something to assign, and something to tidy."""
FILES = {"plan.yaml": OPEN, "new.yaml": GOOD.replace("4}", "6}"), "form.yaml": FORM}
LINES = """
new; new --from twin; keys servos; rules; assign plan.yaml; assign plan.yaml --write
tidy plan.yaml --write; check plan.yaml; check plan.yaml --format sarif; trace plan.yaml a
compare plan.yaml new.yaml; draw plan.yaml; leads plan.yaml; labels; labels plan.yaml
lengths plan.yaml; kit plan.yaml; load plan.yaml; timeline plan.yaml --function aileron
equalise plan.yaml; endurance plan.yaml; steps plan.yaml; transmitter plan.yaml
protocol plan.yaml; record plan.yaml form.yaml; book plan.yaml; --help; --version; tidy --help
""".replace("\n", ";").split(";")
COMMANDS = [tuple(line.split()) for line in LINES if line.strip()]


def ran(folder: Path, words: tuple[str, ...], fault: Fault | None = None) -> Ran:
    folder.mkdir()
    for name, text in FILES.items():
        (folder / name).write_text(text)
    return runner(folder)(*words, fault=fault)


def left(folder: Path) -> dict[str, bytes]:
    """Return all that stands in a folder."""
    files = (path for path in folder.rglob("*") if path.is_file())
    return {str(path.relative_to(folder)): path.read_bytes() for path in files}


@cache
def usual(words: tuple[str, ...]) -> tuple[Ran, dict[str, bytes]]:
    """Return how a command goes without a fault, and what is there afterwards."""
    with TemporaryDirectory() as folder:
        return ran(Path(folder, "here"), words), left(Path(folder, "here"))


def test_every_command_is_among_them() -> None:
    known = {command.name for commands in GROUPS.values() for command in commands}
    assert known <= {words[0] for words in COMMANDS}


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_nobody_listens_and_the_work_is_done(words: tuple[str, ...], tmp_path: Path) -> None:
    heard, files = usual(words)
    assert heard.out
    assert ("--write" in words) == (files["plan.yaml"] != OPEN.encode())
    for how, fault in {"broken": {"broken": [1]}, "closed": {"closed": [1, 2]}}.items():
        unheard = ran(tmp_path / how, words, fault)
        told = "" if how == "closed" else heard.err
        assert (unheard.code, unheard.out, unheard.err) == (heard.code, "", told)
        assert left(tmp_path / how) == files


@pytest.mark.parametrize("words", COMMANDS, ids=" ".join)
def test_a_full_disk_behind_standard_output_is_told(words: tuple[str, ...], tmp_path: Path) -> None:
    full = ran(tmp_path / "full", words, {"full": [1]})
    told = [line for line in full.err.splitlines() if not line.startswith("no stock named")]
    assert told == ["harness: standard output cannot be written: No space left on device"]
    assert full.code == 2
    kept = left(tmp_path / "full")
    assert {name: kept[name].decode() for name in FILES} == FILES
    assert {Path(name).name[:1] for name in kept}.isdisjoint(".")


SHELL = [
    "book plan.yaml | head -n 1",
    "draw plan.yaml >&-",
    "--help | true",
    "check plan.yaml 2>&1 >/dev/full | head -n 9",
]


@pytest.mark.parametrize("line", SHELL)
def test_a_real_shell_does_the_same(line: str, tmp_path: Path) -> None:
    """With descriptor 1 closed for good, the next file opened gets its number."""
    (tmp_path / "plan.yaml").write_text(GOOD)
    command, then = line.split(" ", 1) if line.startswith("-") else line.split(".yaml", 1)
    command += ".yaml" * (not line.startswith("-"))
    script = f'"$@" {command} {then}'
    done = subprocess.run(["sh", "-c", script, "sh", *ORDINARY, sys.executable, "-m", "harness"],
                          capture_output=True, text=True, cwd=tmp_path, check=False)  # fmt: skip
    assert (done.returncode, done.stderr) == (0, "")
    assert ("No space left" in done.stdout) == ("full" in line)
    made = sorted(path.name for path in (tmp_path / "out").rglob("*.*"))
    assert len(made) == {"book": 19, "draw": 1}.get(command.split()[0], 0)


def test_a_full_disk_behind_standard_error_changes_nothing(run: Run, tmp_path: Path) -> None:
    (tmp_path / "plan.yaml").write_text(GOOD.replace("rx.1", "nowhere.1"))
    for fault in ({"full": [2]}, {"broken": [2]}, {"full": [1, 2]}):
        done = run("check", "plan.yaml", fault=fault)
        assert (done.code, done.out, done.err) == (2, "", "")
