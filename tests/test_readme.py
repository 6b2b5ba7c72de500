"""What the README shows is what the program does."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")


def block(language: str, after: str) -> str:
    """Return the first fenced block of a language after a text."""
    rest = README[README.index(after) :]
    found = re.search(rf"```{language}\n(.*?)```", rest, re.DOTALL)
    assert found is not None
    return found[1]


def test_the_twelve_line_plan_gives_what_is_printed(tmp_path: Path) -> None:
    plan = block("yaml", "## A plan of twelve lines")
    assert len(plan.strip().split("\n")) == 12
    (tmp_path / "pipit.yaml").write_text(plan, "utf-8")
    command = [sys.executable, "-m", "harness", "check", "pipit.yaml"]
    done = subprocess.run(command, cwd=tmp_path, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert done.stdout.strip() == block("text", "says:").strip()


def test_the_python_lines_run() -> None:
    code = block("python", "## From Python")
    done = subprocess.run(
        [sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert done.stdout == "rx.6\npack lead of main hot\n", done.stderr


@pytest.mark.parametrize("name", ["saltmarsh-19.svg", "saltmarsh-19-worst.svg"])
def test_the_picture_shows_the_plan_as_it_is(name: str) -> None:
    """The revision printed in the picture's title block is that of the plan."""
    from harness import load_plan

    plan = load_plan(str(ROOT / "examples" / "saltmarsh-19.yaml"))
    picture = (ROOT / "examples" / name).read_text("utf-8")
    assert f"(examples/{name})" in README
    assert f"plan {plan.revision}" in picture


def test_its_commands_are_those_of_help_word_for_word() -> None:
    from harness.cli.parser import overview

    jobs = "".join(overview()).strip("\n")
    assert "\n".join(f"    {line}" if line else "" for line in jobs.split("\n")) in README


def test_its_table_of_documents_is_the_list() -> None:
    from harness.documents.index import DOCUMENTS

    rest = README[README.index("| document | command |") :]
    rows = rest[: rest.index("\n\n")].split("\n")[2:]
    assert rows == [
        f"| {one.title} | `harness {one.command}` | {', '.join(one.formats)} |"
        f" {'yes' if one.in_book else ''} |"
        for one in DOCUMENTS
        if one.command
    ]


def test_every_example_is_named() -> None:
    plans = sorted(p.name for p in (ROOT / "examples").glob("*.yaml") if "." not in p.stem)
    assert [name for name in plans if name not in README] == []
