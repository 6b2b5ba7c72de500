"""`harness compare` and `harness kit` as a user runs them: exit codes, files, standard input."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from support_cli import GOOD, Run, runner

MOVED = GOOD.replace("plug: rx.1", "plug: rx.2")


@pytest.fixture
def run(tmp_path: Path) -> Run:
    (tmp_path / "old.yaml").write_text(GOOD)
    (tmp_path / "new.yaml").write_text(MOVED)
    (tmp_path / "same.yaml").write_text(GOOD + "# nothing else\n")
    (tmp_path / "bad.yaml").write_text("plan: 1\n")
    return runner(tmp_path)


def test_exit_codes(run: Run) -> None:
    assert run("compare", "old.yaml", "same.yaml").code == 0
    assert run("compare", "old.yaml", "new.yaml").code == 1
    assert run("compare", "old.yaml", "bad.yaml").code == 2
    assert run("compare", "bad.yaml", "old.yaml").code == 2
    assert run("compare", "old.yaml", "missing.yaml").code == 2


def test_what_is_said(run: Run) -> None:
    assert "a's plug moved from rx.1 to rx.2" in run("compare", "old.yaml", "new.yaml").out
    same = run("compare", "old.yaml", "same.yaml").out
    assert "no change in the wiring: only the text differs" in same
    assert "both files hold the same text" in run("compare", "old.yaml", "old.yaml").out


@pytest.mark.parametrize("words", [("-", "new.yaml"), ("old.yaml", "-")])
def test_one_plan_from_standard_input(run: Run, words: tuple[str, str]) -> None:
    text = GOOD if words[0] == "-" else MOVED
    ran = run("compare", *words, "--to", "json", stdin=text.encode())
    assert ran.code == 1
    texts = [c["text"] for c in json.loads(ran.out)["changes"]]
    assert "a's plug moved from rx.1 to rx.2" in texts


def test_not_both_from_standard_input(run: Run) -> None:
    ran = run("compare", "-", "-", stdin=GOOD.encode())
    assert ran.code == 2
    assert ran.err == "harness: only one of the two plans can come from standard input\n"


@pytest.mark.parametrize(
    ("to", "start"), [("svg", b"<?xml"), ("pdf", b"%PDF"), ("png", b"\x89PNG")]
)
def test_a_picture_is_written(run: Run, tmp_path: Path, to: str, start: bytes) -> None:
    ran = run("compare", "old.yaml", "new.yaml", "--to", to)
    assert ran.code == 1
    assert ran.out.split() == [f"out/new/changes.{to}"]
    assert (tmp_path / "out" / "new" / f"changes.{to}").read_bytes().startswith(start)


def test_same_bytes_each_time_and_from_each_folder(run: Run, tmp_path: Path) -> None:
    (tmp_path / "deep").mkdir()
    (tmp_path / "deep" / "new.yaml").write_text(MOVED)
    first = run("compare", "old.yaml", "new.yaml").out
    assert run("compare", "old.yaml", "deep/new.yaml", PYTHONHASHSEED="7").out == first


def test_kit_in_every_format(run: Run, tmp_path: Path) -> None:
    plan = GOOD + "leads: {läng: {kind: y, plug: rx.3}}\nkit: [{kind: y, count: 2}]\n"
    (tmp_path / "kit.yaml").write_text(plan, encoding="utf-8")
    for to, mark in (("text", "läng"), ("csv", "läng"), ("json", '"läng"'), ("html", "läng")):
        ran = run("kit", "kit.yaml", "--to", to)
        assert (ran.code, ran.err) == (0, "")
        assert mark in ran.out
    ran = run("kit", "-", "--to", "csv", "--out", "here", stdin=plan.encode())
    assert ran.out.split() == ["here/test/kit.csv"]
    ran = run("kit", "kit.yaml", "--to", "pdf")
    assert ran.out.split() == ["out/kit/kit.pdf"]
    assert (tmp_path / "out" / "kit" / "kit.pdf").read_bytes().startswith(b"%PDF")


def test_a_plan_that_is_not_understood(run: Run) -> None:
    ran = run("kit", "bad.yaml")
    assert (ran.code, ran.out) == (2, "")
