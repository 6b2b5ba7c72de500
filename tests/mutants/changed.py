"""The lines of the working tree that a change touched, by git."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

HUNK = re.compile(r"^@@ -\S+ \+(\d+)(?:,(\d+))? @@", re.MULTILINE)


def _git(root: Path, *words: str) -> str:
    done = subprocess.run(["git", *words], cwd=root, capture_output=True, text=True, check=False)
    return done.stdout.strip() if done.returncode == 0 else ""


def parent_of(root: Path) -> str:
    """Where the change began: where it left the main branch of origin, else the commit before.

    Empty in a clone that has neither (one commit deep), and where there is no git.
    """
    head = _git(root, "rev-parse", "HEAD")
    forked = _git(root, "merge-base", "HEAD", "origin/main")
    return forked if forked and forked != head else _git(root, "rev-parse", "--verify", "HEAD~1")


def changed_lines(root: Path, parent: str) -> dict[str, set[int]]:
    """By file, the numbers of its lines that are new or other than in `parent`."""
    found: dict[str, set[int]] = {}
    for piece in (
        "\n" + _git(root, "diff", "-U0", "--no-color", "--no-ext-diff", parent, "--", "harness")
    ).split("\ndiff --git ")[1:]:
        name = re.search(r"^\+\+\+ b/(.+)$", piece, re.MULTILINE)
        if name:
            spans = ((int(h[1]), int(h[2] or 1)) for h in HUNK.finditer(piece))
            found[name[1]] = {n for first, count in spans for n in range(first, first + count)}
    return found
