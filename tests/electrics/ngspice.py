"""Runs a netlist in ngspice, an independent simulator, and reads every volt and ampere of it."""

from __future__ import annotations

import os
import shutil
import struct
import subprocess
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest

MISSING = "ngspice is not installed: apt-get install ngspice (it is the oracle of these tests)"
NEEDED = "HARNESS_NEEDS_NGSPICE"
"""Set where its absence is a failure, as in `.ci/run`; elsewhere its tests are skipped."""


class NoOperatingPointError(AssertionError):
    """It ran, and its iteration did not settle."""


def run(text: str) -> dict[str, float]:
    """Return `v(node)` and `i(source)` by name: the doubles of the raw file, all digits."""
    program = shutil.which("ngspice")
    if program is None:
        (pytest.fail if os.environ.get(NEEDED) else pytest.skip)(MISSING)
    with TemporaryDirectory() as place:
        deck, raw = Path(place, "deck.cir"), Path(place, "deck.raw")
        deck.write_text(text, encoding="utf-8")
        done = subprocess.run(
            [program, "-b", "-r", str(raw), str(deck)],
            capture_output=True,
            text=True,
            check=False,
            timeout=60,
        )
        said = done.stdout[-2000:] + done.stderr[-2000:]
        values = _read(raw.read_bytes()) if raw.exists() else {}
        if not values or "aborted" in said:
            raise NoOperatingPointError(f"ngspice found no operating point:\n{said}")
        return values


def _read(data: bytes) -> dict[str, float]:
    head, _, body = data.partition(b"Binary:\n")
    lines = head.decode().split("\n")
    start = lines.index("Variables:") + 1
    names = [line.split("\t")[2] for line in lines[start:] if line.startswith("\t")]
    if len(body) < 8 * len(names):
        return {}
    values = struct.unpack(f"<{len(names)}d", body[: 8 * len(names)])
    return dict(zip(names, values, strict=True))
