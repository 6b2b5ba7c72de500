"""`harness tidy` at the command line: what it prints, what it writes, and when it refuses."""

from __future__ import annotations

from pathlib import Path

import pytest
from support_cli import Run

from harness.cli.commands import STARTS

LONG = """\
plan: 1
aircraft: Small  # a remark that stays
places:
  wing-left: {side: left}
  wing-right: {side: right}
receivers: {rx: {sockets: 4}}
servos:
  # the first
  aileron-left: {class: 9g-analogue, place: wing-left, moves: aileron, shaft: left, plug: rx.1}
  aileron-right: {class: 9g-analogue, place: wing-right, moves: aileron, shaft: right, plug: rx.2}
"""
SHORT = """\
plan: 1
aircraft: Small  # a remark that stays
places:
  wing-left:
    side: left
    mirrored: yes
    servos:
      # the first
      aileron-left: {class: 9g-analogue, moves: aileron, shaft: left, plug: rx.1,
                     mirrored: {plug: rx.2}}
receivers: {rx: {sockets: 4}}
"""


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "small.yaml"
    path.write_text(LONG)
    return path


def test_it_prints_the_short_form_and_changes_nothing(plan: Path, run: Run) -> None:
    done = run("tidy", str(plan))
    assert (done.code, done.out) == (0, SHORT)
    assert plan.read_text() == LONG


def test_the_long_form_has_every_part_in_its_group(plan: Path, run: Run) -> None:
    plan.write_text(SHORT)
    out = run("tidy", str(plan), "--long").out
    assert "  wing-right: {side: right}\n" in out
    assert "\n  # the first\n  aileron-left: {place: wing-left, " in out
    assert "\n  aileron-right: {" in out
    assert "mirrored" not in out


def test_the_difference_is_shown_when_asked_for(plan: Path, run: Run) -> None:
    out = run("tidy", str(plan), "--to", "diff").out
    assert out.startswith("--- small.yaml (as it is)\n+++ small.yaml (proposed)\n")
    assert "-  wing-right: {side: right}\n" in out


def test_write_writes_once_and_says_what_changed(plan: Path, run: Run) -> None:
    done = run("tidy", str(plan), "--write")
    assert done.code == 0
    assert "+++ small.yaml (proposed)" in done.out
    assert done.out.endswith(f"written: {plan}\n")
    assert plan.read_text() == SHORT
    before = plan.stat()
    again = run("tidy", str(plan), "--write")
    assert (again.code, again.out) == (0, f"nothing to tidy: {plan}\n")
    assert (plan.stat().st_ino, plan.stat().st_mtime_ns) == (before.st_ino, before.st_mtime_ns)


def test_signs_at_the_front_line_ends_and_links_stay(plan: Path, tmp_path: Path, run: Run) -> None:
    plan.write_bytes(b"\xef\xbb\xbf" + LONG.replace("\n", "\r\n").encode())
    link = tmp_path / "link.yaml"
    link.symlink_to(plan)
    assert run("tidy", str(link), "--write").code == 0
    assert link.is_symlink()
    assert plan.read_bytes() == b"\xef\xbb\xbf" + SHORT.replace("\n", "\r\n").encode()


def test_standard_input_is_read_but_not_written(run: Run) -> None:
    assert run("tidy", "-", stdin=LONG.encode()).out == SHORT
    refused = run("tidy", "-", "--write", stdin=LONG.encode())
    assert refused.code == 2
    assert "--write needs a file" in refused.err


def test_a_plan_with_an_error_is_refused_as_everywhere(plan: Path, run: Run) -> None:
    plan.write_text(LONG.replace("moves: aileron, shaft: left", "moves: aileron, shafft: left"))
    done, checked = run("tidy", str(plan), "--write"), run("check", str(plan))
    assert (done.code, done.out) == (2, "")
    assert '"shafft" is' in done.err + done.out
    assert "shafft" in plan.read_text()
    assert checked.code == 2


@pytest.mark.parametrize("word", STARTS)
def test_a_start_is_printed_and_is_a_plan(word: str, run: Run, tmp_path: Path) -> None:
    done = run("new", "--from", word)
    assert done.code == 0
    (tmp_path / "mine.yaml").write_text(done.out)
    assert run("check", "mine.yaml", "--strict").code == 0


def test_a_start_that_is_not_there_names_the_nearest(run: Run) -> None:
    done = run("new", "--from", "glidr")
    assert done.code == 2
    assert 'did you mean "glider"?' in done.err
    assert ", ".join(STARTS) in " ".join(run("new", "--help").out.split())
