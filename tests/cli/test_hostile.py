"""Files that are no plan: each gets one clear line in about a second, and no traceback.

The list is the one of the project's requirements; what YAML allows is by the YAML 1.2.2
specification.
"""

from __future__ import annotations

import os
import re
from pathlib import Path

import pytest
from support_cli import GOOD, Run

DEEP = 100_000
BOMB = "plan: 1\naircraft: A\nabout: &x0 [x, x, x, x, x, x, x, x, x]\n" + "".join(
    f"k{n + 1}: &x{n + 1} [{', '.join([f'*x{n}'] * 9)}]\n" for n in range(12)
)
HOSTILE: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "the file is empty"),
    "blank": (b" \n\n \t\n", "the file is empty"),
    "only comments": (b"# nothing\n# here\n", "only comments"),
    "zero bytes": (bytes(4096), "binary file"),
    "picture": (b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR", "binary file"),
    "UTF-16 little-endian": (GOOD.encode("utf-16"), "UTF-16"),
    "UTF-16 big-endian": (b"\xfe\xff" + GOOD.encode("utf-16-be"), "UTF-16"),
    "UTF-16 without a mark": (GOOD.encode("utf-16-le"), "binary file"),
    "Latin-1": ("plan: 1\naircraft: Möwe\n".encode("latin-1"), "not UTF-8"),
    "50 MB": (b"a: b\n" * 10_000_000, "larger than"),
    "one line of 3 MB": (b"plan: 1\naircraft: A\nabout: [" + b"x" * 3_000_000 + b"]\n", "wanted"),
    "a key of 3 MB": (
        b"plan: 1\naircraft: A\n? " + b"x" * 3_000_000 + b"\n: 1\n",
        "not a key of a plan",
    ),
    "a number of 5,000 digits": (b"plan: " + b"1" * 5000 + b"\naircraft: A\n", "known version"),
    "brackets": (b"plan: " + b"[" * DEEP, "nested deeper"),
    "braces": (b"plan: " + b"{" * DEEP, "nested deeper"),
    "braces with keys": (b"{a: " * DEEP, "nested deeper"),
    "dashes": (b"- " * DEEP + b"x\n", "nested deeper"),
    "indents": ("".join(f"{' ' * n}a:\n" for n in range(1500)).encode(), "nested deeper"),
    "alias bomb": (BOMB.encode(), "expands to more"),
    "tab indent": (b"plan: 1\nservos:\n\ta: {}\n", "tab"),
    "many documents": (b"--- {}\n" * 100_000, "second document"),
    "a million dashes": (b"-" * 1_000_000, "a plan begins with"),
    "a wrong escape": (b'plan: 1\naircraft: "\\q"\n', "this cannot be read"),
    "an open quote": (b'plan: 1\naircraft: "A\n' + b"b: c\n" * 1000, "never closed"),
    "bell": (b"plan: 1\naircraft: A\x07B\n", "a sign nobody sees stands here (U+0007)"),
    "a text": (b"just some words\n", "a plan begins with"),
    "a list": (b"- plan\n", "a plan begins with"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_file_gets_one_clear_line(name: str, run: Run, tmp_path: Path) -> None:
    content, said = HOSTILE[name]
    (tmp_path / "bad.yaml").write_bytes(content)
    ran = run("check", "bad.yaml")
    lines = ran.err.splitlines()
    heads = [line for line in lines if re.match(r"bad\.yaml:\d+:\d+: not understood: ", line)]
    assert (ran.code, ran.out) == (2, "")
    assert said.lower() in heads[0].lower()
    assert "Traceback" not in ran.err
    assert max(map(len, lines)) < 250
    assert ran.cpu < 1.3
    assert [path.name for path in tmp_path.iterdir()] == ["bad.yaml"]


def test_thousands_of_faults_are_told_at_once_and_in_short(run: Run, tmp_path: Path) -> None:
    """3,000 wrong sockets, each near 3,000 right names: the search for names must not explode."""
    servos = "".join(f"  servo-{n:04}: {{plug: servo-{n:04}x.1}}\n" for n in range(3000))
    (tmp_path / "bad.yaml").write_text(f"plan: 1\naircraft: A\nservos:\n{servos}")
    ran = run("check", "bad.yaml")
    assert ran.code == 2
    assert ran.err.endswith("bad.yaml: 2950 more places are not understood\n")
    assert ran.cpu < 3.8


def test_a_long_chain_of_likes_is_refused(run: Run, tmp_path: Path) -> None:
    servos = "".join(f"  s{n}: {{like: s{n + 1}}}\n" for n in range(2000))
    (tmp_path / "bad.yaml").write_text(f"plan: 1\naircraft: A\nservos:\n{servos}  s2000: {{}}\n")
    ran = run("check", "bad.yaml")
    assert ran.code == 2
    assert "repeats a part that repeats" in ran.err.splitlines()[0]
    assert ran.cpu < 2.3


@pytest.mark.parametrize(
    ("path", "said"),
    [
        ("missing.yaml", "there is no such file"),
        ("", "this is a folder"),
        ("/dev/zero", "larger than"),
        ("/dev/null", "the file is empty"),
        ("pipe", "the file is empty"),
        ("x" * 300, "name too long"),
        ("GOOD.yaml/x", "cannot be read"),
        ("loop.yaml", "cannot be read"),
    ],
)
def test_a_path_that_is_no_plan(path: str, said: str, run: Run, tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    (tmp_path / "GOOD.yaml").write_text(GOOD)
    (tmp_path / "loop.yaml").symlink_to("loop.yaml")
    ran = run("check", path)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err.splitlines()[0]
    assert "Traceback" not in ran.err


@pytest.mark.parametrize("command", ["draw", "leads", "book", "labels"])
def test_a_folder_is_no_plan_for_a_command_that_takes_one(
    command: str, run: Run, tmp_path: Path
) -> None:
    ran = run(command, ".")
    assert ran.code == 2
    assert "this is a folder, not a plan" in ran.err
    assert list(tmp_path.iterdir()) == []


def test_no_standard_input(tmp_path: Path) -> None:
    """With descriptor 0 closed, Python has no sys.stdin at all."""
    import subprocess
    import sys

    line = f'"{sys.executable}" -m harness check - <&-'
    done = subprocess.run(["sh", "-c", line], capture_output=True, cwd=tmp_path, check=False)
    assert done.returncode == 2
    assert b"there is no standard input" in done.stderr


ESCAPES = ["\x1b[31m", "\x9b31m", "\x1b]0;title\x07", "\x7f", "\x85", "\u2028", "\u202e", "\ufeff"]
PLACES = [
    'aircraft: "@"',
    'aircraft: A\nservos: {"a@": {}}',
    'aircraft: A\nservos: {a: {class: "x@"}}',
    'aircraft: A\nservos: {a: {"cl@": 1}}',
    'aircraft: A\nservos: {a: {plug: "x@.1"}}',
    "aircraft: A\nabout: !a%1B@b c",
    "aircraft: A\nservos: {a: {class: x@}} # @",
]


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("sign", ESCAPES, ids=ascii)
def test_no_message_steers_the_terminal(sign: str, place: str) -> None:
    """ECMA-48 control sequences, and the direction signs of Unicode's UAX #9."""
    from harness.base.span import Source
    from harness.cli.frames import problem_lines
    from harness.plan.load import parse_plan
    from harness.reading.problems import PlanError

    escaped = "".join(f"\\u{ord(c):04x}" for c in sign) if '"' in place else sign
    source = Source(f"{sign}.yaml", "plan: 1\n" + place.replace("@", escaped) + "\n")
    with pytest.raises(PlanError) as refused:
        parse_plan(source)
    lines = list(problem_lines(refused.value))
    plain = [re.sub(r"\x1b\[[0-9;]*m", "", line) for line in lines]
    assert lines
    assert all(line.isprintable() for line in plain), plain


def test_a_file_name_steers_no_terminal_either(run: Run, tmp_path: Path) -> None:
    (tmp_path / "\x1b[31mx.yaml").write_text(GOOD)
    name = os.fsdecode(b"\x1b[31m\xff.yaml")
    ran = run("check", "\x1b[31mx.yaml", name)
    assert ran.code == 2
    assert "\x1b" not in ran.out + ran.err
    assert run("check", name, "--format", "sarif").out.isascii()
