"""The command line, run in an empty folder."""

from __future__ import annotations

from pathlib import Path

import pytest
from support_cli import Run, runner


@pytest.fixture
def run(tmp_path: Path) -> Run:
    """Return a function that runs `harness` with arguments."""
    return runner(tmp_path)
