"""A fault that a test notices, one that none notices and one that is none are told apart.

The toy is the absolute value, of which arithmetic says what is a fault: 0 is its own opposite, so
`>` for `>=` is none; every other change of a sign or a bound shows at -1, 0, 1 or
between. What comes of `counted` is asked by nobody, but that it ends.
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from mutants.__main__ import drawn
from mutants.changed import changed_lines, parent_of
from mutants.choice import distance
from mutants.faults import change, mutants_of
from mutants.report import equivalents

TOY = '''"""Toy."""

from __future__ import annotations


def size(a: int | float) -> int | float:
    """The absolute value: -1 gives 1."""
    return a if a >= 0 else -a


def counted(n: int) -> int:
    while n > 10:
        n -= 1
    return n
'''
TEST = """
from harness.facts.toy import counted, size

def test_size():
    assert [size(n) for n in (-1, 0, 0.5, 1)] == [1, 0, 0.5, 1]

def test_counted():
    counted(12)
"""
TESTS = Path(__file__).parents[1]


@pytest.fixture
def toy(tmp_path: Path) -> Path:
    """A tree like ours, with one module and one file of tests."""
    for name, text in {
        "harness/__init__.py": "", "harness/facts/__init__.py": "", "harness/facts/toy.py": TOY,
        "tests/facts/test_toy.py": TEST, "pyproject.toml": "[tool.pytest.ini_options]\n",
    }.items():  # fmt: skip
        path = tmp_path / "toy" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    return tmp_path / "toy"


def mutants(toy: Path, *words: str) -> tuple[int, str]:
    """Run the command on the toy."""
    done = subprocess.run(
        [sys.executable, "-m", "mutants", "--tree", str(toy), "--workers", "1", *words],
        env={**os.environ, "PYTHONPATH": str(TESTS)},
        capture_output=True, text=True, timeout=300, check=False,
    )  # fmt: skip
    assert "Traceback" not in done.stderr, done.stderr
    return done.returncode, done.stdout


def test_killed_survived_and_equivalent_are_told_apart(toy: Path, tmp_path: Path) -> None:
    line = "return a if a >= 0 else -a"
    none = tmp_path / "none.txt"
    none.write_text(
        f"harness/facts/toy.py\n- {line}\n+ {line.replace('>=', '>')}\nwhy: 0 is its own opposite\n"
    )
    code, out = mutants(toy, "--equivalent", str(none), "--size", "99")
    assert code == 0
    assert "toy.py:8:" not in out, "killed, or known to be none"
    assert "harness/facts/toy.py:12: ReplaceComparisonOperator_Gt_Lt, 2 tests saw nothing" in out
    assert "    - while n > 10:\n    + while n < 10:\n" in out
    assert " (1 by time); 1 equivalent" in out, "n -= 0 never ends"
    assert (toy / "harness/facts/toy.py").read_text() == TOY


def test_same_seed_same_sample(toy: Path) -> None:
    every = mutants_of(toy, "harness/facts/toy.py")
    assert drawn(every, 4, 3) == drawn(every[::-1], 4, 3) != drawn(every, 5, 3)
    assert len(drawn(every, 4, 999)) == len(every)


def test_what_is_no_fault_is_left_out(toy: Path) -> None:
    lines = {m.line for m in mutants_of(toy, "harness/facts/toy.py")}
    assert lines == {8, 12, 13}, "neither words nor types"
    made = [change(toy, m) for m in mutants_of(toy, "harness/facts/toy.py")]
    assert all(m and m.before != m.after and TOY.count(m.before) == 1 for m in made)


def test_a_line_that_moved_keeps_its_name() -> None:
    known = equivalents("# why\n\na.py\n- x = 1\n+ x = 2\nwhy: never\n  read\n\n")
    assert known == {("a.py", "x = 1", "x = 2"): "never read"}
    with pytest.raises(ValueError, match="why"):
        equivalents("a.py\n- x = 1\n+ x = 2\n")


def test_the_nearest_tests_come_first() -> None:
    module = "harness/rules/motion/wrong_side.py"
    near = ["rules/motion/test_wrong_side.py", "rules/motion/test_other.py", "rules/test_pages.py"]
    assert [distance(f"tests/{file}::test", module) for file in near] == [0, 1, 2]


def git(folder: Path, *words: str) -> None:
    who = ["-c", "user.name=t", "-c", "user.email=t@example.org"]
    subprocess.run(["git", *who, *words], cwd=folder, check=True, capture_output=True)


def test_only_changed_lines_and_nothing_to_compare_with(toy: Path, tmp_path: Path) -> None:
    git(toy, "init", "-q")
    git(toy, "add", ".")
    git(toy, "commit", "-qm", "one")
    code, out = mutants(toy, "--changed")
    assert (code, out) == (0, "no commit before this one in this clone: nothing to compare with\n")
    (toy / "harness/facts/toy.py").write_text(TOY.replace("n > 10", "n > 11"))
    git(toy, "commit", "-qam", "two")
    assert changed_lines(toy, parent_of(toy)) == {"harness/facts/toy.py": {12}}
    code, out = mutants(toy, "--changed")
    assert "0 of " in out
    assert code == 1, "no test asks what the changed line does"
    (toy / "tests/facts/test_toy.py").write_text(TEST + "\n")
    git(toy, "commit", "-qam", "three")
    assert mutants(toy, "--changed")[0] == 0
    git(tmp_path, "clone", "-q", "--depth", "1", f"file://{toy}", "shallow")
    assert parent_of(tmp_path / "shallow") == ""
