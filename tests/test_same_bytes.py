"""Every document is the same, byte for byte, on another machine and for another user.

What OpenBLAS reads of its environment (OPENBLAS_CORETYPE, its manual: "USAGE.md") stands for other
processors, SOURCE_DATE_EPOCH (reproducible-builds.org) for whoever dates what is built.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest
from kept import path_of

HERE = Path(__file__).parent
ASKED = {"every": "twite-2", "solved": "saltmarsh-19"}
"""Plans small enough: two packs side by side, diodes; and sixteen cases, retracts, flights."""
USUAL = {"OPENBLAS_CORETYPE": "Haswell", "PYTHONHASHSEED": "1", "OPENBLAS_NUM_THREADS": "1"}
ELSEWHERE = {"OPENBLAS_CORETYPE": "Nehalem", "PYTHONHASHSEED": "2", "OPENBLAS_NUM_THREADS": "2",
             "SOURCE_DATE_EPOCH": "1000000000", "TZ": "Asia/Kathmandu", "LC_ALL": "tr_TR.UTF-8",
             "HOME": "/nonexistent", "USER": "somebody", "LOGNAME": "somebody"}  # fmt: skip
OLDEST = {"OPENBLAS_CORETYPE": "Prescott", "PYTHONHASHSEED": "3", "SOURCE_DATE_EPOCH": "yesterday",
          "LANG": "C"}  # fmt: skip


@cache
def sums(which: str, **told: str) -> dict[str, str]:
    told = {name: value for name, value in os.environ.items() if not name.startswith("OMP")} | told
    told["PYTHONPATH"] = os.pathsep.join((str(HERE.parent), str(HERE)))
    line = [sys.executable, str(HERE / "every_document.py"), which, str(path_of(ASKED[which]))]
    done = subprocess.run(line, env=told, capture_output=True, text=True, check=True)
    found: dict[str, str] = json.loads(done.stdout)
    return found


@pytest.mark.parametrize(
    ("which", "told", "least"),
    [("every", ELSEWHERE, 150), ("solved", ELSEWHERE, 15), ("solved", OLDEST, 15)],
    ids=["every-elsewhere", "solved-elsewhere", "solved-oldest"],
)
def test_every_document_is_the_same_elsewhere(which: str, told: dict[str, str], least: int) -> None:
    usual, there = sums(which, **USUAL), sums(which, **told)
    assert len(usual) >= least
    assert [name for name in usual if there[name] != usual[name]] == []


def test_kernels_are_really_others() -> None:
    """Else the test above would compare a thing with itself: plain algebra differs there."""
    code = (
        "import numpy as np; r = np.random.default_rng(1).random((60, 60));"
        "print(np.linalg.solve(r, r[0]).tobytes().hex())"
    )
    bits = {
        subprocess.run([sys.executable, "-c", code], env={**os.environ, "OPENBLAS_CORETYPE": core},
                       capture_output=True, check=True).stdout
        for core in ("Haswell", "Nehalem", "Prescott")
    }  # fmt: skip
    assert len(bits) > 1
