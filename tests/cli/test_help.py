"""What the program says of itself: by the job, in 80 columns, and the same to a shell."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from support_cli import Run

from harness.cli.commands import GROUPS, STARTS
from harness.documents.index import BY_NAME

COMMANDS = {command.name: command for commands in GROUPS.values() for command in commands}


def test_a_newcomer_sees_where_to_begin(run: Run) -> None:
    """The first commands named are to begin a plan and to check it, before all lists."""
    shown = run("--help").out
    begin = shown.index("begin with:")
    assert begin < shown.index("harness new > plan.yaml") < shown.index("harness check plan.yaml")
    assert shown.index("harness check plan.yaml") < min(
        shown.index(f"\n{job}:\n") for job in GROUPS
    )


def test_commands_stand_by_their_job(run: Run) -> None:
    blocks = run("--help").out.split("\n\n")
    for job, commands in GROUPS.items():
        (block,) = [block for block in blocks if block.startswith(f"{job}:\n")]
        lines = block.split("\n")[1:]
        assert [line.split()[0] for line in lines] == [command.name for command in commands]
        assert [line.split(maxsplit=1)[1] for line in lines] == [c.about for c in commands]


def test_what_help_begins_with_works(run: Run, tmp_path: Path) -> None:
    """The lines under "begin with" are run as they stand, in their order."""
    shown = run("--help").out
    lines = re.findall(r"^  harness (.*?)(?:  +.*)?$", shown[: shown.index("make a plan")], re.M)
    assert len(lines) == 3
    for line in lines:
        words, _, target = line.partition(" > ")
        ran = run(*words.split())
        assert ran.code == 0, ran.err
        if target:
            (tmp_path / target).write_text(ran.out, "utf-8")
    assert (tmp_path / "out" / "plan" / "book.html").is_file()


@pytest.mark.parametrize("words", [(), *((name,) for name in COMMANDS)], ids=" ".join)
def test_help_fits_eighty_columns_whatever_the_terminal(words: tuple[str, ...], run: Run) -> None:
    ran = run(*words, "--help", COLUMNS="200")
    assert ran.code == 0
    assert max(map(len, ran.out.split("\n"))) <= 80


@pytest.mark.parametrize("name", COMMANDS)
def test_a_command_says_what_it_is_and_which_formats_it_knows(name: str, run: Run) -> None:
    said = " ".join(run(name, "--help").out.split())
    about = COMMANDS[name].about
    assert f"{about[0].upper()}{about[1:]}." in said
    for document in BY_NAME.values():
        if document.command == name and name not in {"trace", "book"}:
            assert f"{{{','.join(document.formats)}}}" in said


def test_every_command_of_the_list_of_documents_is_one(run: Run) -> None:
    named = {document.command.split()[0] for document in BY_NAME.values() if document.command}
    assert named <= set(COMMANDS)
    assert set(COMMANDS) - named == {"new", "keys", "rules", "tidy"}


def completed(line: str, folder: Path) -> set[str]:
    """Return what a shell is offered after a line, by argcomplete's own protocol."""
    answers = folder / "answers"
    environment = {**os.environ, "_ARGCOMPLETE": "1", "_ARGCOMPLETE_STDOUT_FILENAME": str(answers),
                   "_ARGCOMPLETE_IFS": "\n", "COMP_LINE": line, "COMP_POINT": str(len(line)),
                   "COMP_TYPE": "9"}  # fmt: skip
    program = [sys.executable, "-m", "harness"]
    subprocess.run(program, env=environment, cwd=folder, capture_output=True, check=False)
    return {word.strip() for word in answers.read_text().split("\n") if word}


def test_a_shell_completes_commands_options_and_formats(tmp_path: Path) -> None:
    assert set(COMMANDS) <= completed("harness ", tmp_path)
    assert completed("harness eq", tmp_path) == {"equalise"}
    assert {"--case", "--tolerance", "--to", "--out"} <= completed("harness load --", tmp_path)
    assert completed("harness draw --view ", tmp_path) == {"run", "airframe", "power", "control"}
    assert {"--long", "--write", "--to"} <= completed("harness tidy --", tmp_path)
    assert completed("harness tidy --to ", tmp_path) == {"plan", "diff"}
    assert completed("harness new --from ", tmp_path) == set(STARTS)
    for name, to in (("draw", "svg"), ("steps", "html"), ("leads", "markdown")):
        assert to in completed(f"harness {name} --to ", tmp_path)
