"""A command that is a copy of a loaded process says what one says that starts anew."""

from __future__ import annotations

from pathlib import Path

import pytest
from support_cli import GOOD, TWICE, Run


@pytest.mark.parametrize(
    "words",
    [["check", "good.yaml"], ["check", "bad.yaml", "--format", "json"], ["check", "-"],
     ["load", "good.yaml"], ["assign", "gone.yaml"], ["--help"], ["nonsense"]],
    ids=" ".join,
)  # fmt: skip
def test_it_makes_no_difference(words: list[str], run: Run, tmp_path: Path) -> None:
    (tmp_path / "good.yaml").write_text(GOOD)
    (tmp_path / "bad.yaml").write_text(TWICE)
    one, other = (run(*words, stdin="plan: 1\nä".encode(), anew=anew) for anew in (False, True))
    assert (one.code, one.out, one.err) == (other.code, other.out, other.err)
    assert one.out or one.err
