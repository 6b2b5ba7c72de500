"""Keys of every JSON document are written one way: small letters, parts joined by underscores.

Only under the words of `BY_NAME` stand names of the plan or of a case. SARIF has a standard of its
own (OASIS SARIF 2.1.0) and is read by others: it keeps its keys.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from support_cli import Run, runner

from harness.documents.index import DOCUMENTS

ROOT = Path(__file__).parents[2]
PLAN, OTHER = "examples/saltmarsh-19.yaml", "examples/dunlin-4.yaml"
RESULTS = "examples/saltmarsh-19.results.yaml"
SPARE, FAULTY = "examples/unplugged/godwit-16.yaml", "examples/broken/10-plug-turned.yaml"
COMMANDS = {
    "plan": [["check", PLAN, FAULTY], ["check", "-"]],
    "transmitter": [["transmitter", PLAN]],
    "kit": [["kit", SPARE], ["kit", PLAN]],
    "lengths": [["lengths", PLAN]],
    "steps": [["steps", PLAN], ["steps", FAULTY]],
    "field": [["steps", PLAN, "--field"]],
    "load": [["load", PLAN]],
    "timeline": [["timeline", PLAN, "--function", "gear"]],
    "equalise": [["equalise", PLAN]],
    "endurance": [["endurance", PLAN]],
    "protocol": [["protocol", PLAN]],
    "results": [["record", PLAN, RESULTS]],
    "proposal": [["assign", SPARE], ["assign", SPARE, "--power"]],
    "changes": [["compare", PLAN, OTHER]],
}
BY_NAME = {"cases", "shorter_by_seconds", "land_by_seconds", "states", "positions", "volts", "amps"}
STYLE = re.compile(r"[a-z][a-z0-9]*(_[a-z0-9]+)*")


@pytest.fixture(scope="module")
def run() -> Run:
    return runner(ROOT)


def keys_of(body: Any) -> Iterator[str]:
    """Every key of a document that is not a name."""
    if isinstance(body, list):
        for item in body:
            yield from keys_of(item)
    elif isinstance(body, dict):
        yield from body
        for key, value in body.items():
            below = value.values() if key in BY_NAME and isinstance(value, dict) else [value]
            for one in below:
                yield from keys_of(one)


def test_every_document_that_comes_as_json_is_looked_at() -> None:
    assert {d.name for d in DOCUMENTS if "json" in d.formats} == set(COMMANDS)


@pytest.mark.parametrize("name", COMMANDS)
def test_keys_are_written_one_way(name: str, run: Run, tmp_path: Path) -> None:
    for path in (PLAN, RESULTS):  # a record is written beside its plan
        (tmp_path / Path(path).name).write_bytes((ROOT / path).read_bytes())
    for given in COMMANDS[name]:
        to = "--format" if name == "plan" else "--to"
        words = [str(tmp_path / Path(w).name) if w in {PLAN, RESULTS} else w for w in given]
        ran = run(*words, to, "json", stdin=b"plan: 1\n")
        found = set(keys_of(json.loads(ran.out)))
        assert len(found) > 5
        assert {key for key in found if not STYLE.fullmatch(key)} == set()
