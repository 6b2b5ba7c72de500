"""Spoiled plans over `check` and every document: an answer or one clear line, whatever it is.

`make fuzz` looks on for an hour; here the seeds are fixed, and the plans of documents small.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest
from fuzz.campaign import Campaign, every_line
from fuzz.mutate import mutant, seeds
from fuzz.oracle import Outcome, faults, run
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from strategies import Data, as_yaml, plans
from support_cli import runner

from harness.documents.index import DOCUMENTS

CHECKED, MADE = 500, 20
"""Spoiled plans that are checked, and of which a document is made, for each seed."""


@pytest.mark.parametrize("seed", [0])
def test_a_spoiled_plan_is_judged_or_refused(seed: int, tmp_path: Path) -> None:
    tries = Campaign(tmp_path, random.Random(seed))
    found = [fault for _ in range(CHECKED) for fault in tries.checked()]
    assert [f"{fault.what} [{fault.how}]" for fault in found] == []
    assert CHECKED / 20 < tries.accepted < CHECKED  # else it says little


@pytest.mark.parametrize("seed", [101])
def test_every_document_of_a_spoiled_plan_is_whole(seed: int, tmp_path: Path) -> None:
    tries = Campaign(tmp_path, random.Random(seed))
    found = [fault for _ in range(MADE) for fault in tries.document()]
    assert [f"harness {' '.join(f.words)}: {f.what}" for f in found] == []


@settings(
    derandomize=True, max_examples=60, deadline=None, database=None,
    phases=[Phase.generate, Phase.shrink], suppress_health_check=list(HealthCheck),
)  # fmt: skip
@given(plans(), st.randoms(use_true_random=False))
def test_a_generated_plan_is_spoiled_too(data: Data, chance: random.Random) -> None:
    """Plans that no example is like; hypothesis makes a failing one small by itself."""
    from tempfile import TemporaryDirectory

    spoiled = mutant(chance, as_yaml(data, None))
    with TemporaryDirectory() as folder:
        (Path(folder) / "plan.yaml").write_bytes(spoiled.data)
        done = run(Path(folder), "check", "plan.yaml")
    assert list(faults(done, spoiled.data)) == []


def test_the_real_command_says_the_same(tmp_path: Path) -> None:
    """A few spoiled plans in a process of their own, as a builder runs it."""
    chance = random.Random(7)
    for text in chance.sample(list(seeds().values()), 12):
        (tmp_path / "plan.yaml").write_bytes(mutant(chance, text).data)
        here = run(tmp_path, "check", "plan.yaml")
        there = runner(tmp_path)("check", "plan.yaml")
        assert (there.code, there.out, there.err) == (here.code, here.out.decode(), here.err)


def test_every_document_of_the_list_is_tried() -> None:
    lines = every_line(seeds()["examples/turnstone-4.yaml"], random.Random(1))
    commands = {document.command.split()[0] for document in DOCUMENTS if document.command}
    assert {line[0] for line in lines} == commands | {"tidy"}


@pytest.mark.parametrize(
    ("done", "wrong"),
    [
        (Outcome(("load",), 0, b"volts: nan V"), "nan is printed"),
        (Outcome(("load", "--to", "json"), 0, b'{"a": NaN}'), "cannot be parsed"),
        (Outcome(("load", "--to", "csv"), 0, b"a,b\nc\n"), "cannot be parsed"),
        (Outcome(("leads", "--to", "html"), 0, b"<p><b></p>"), "cannot be parsed"),
        (Outcome(("check",), 0, b""), "cannot be parsed"),
        (Outcome(("leads",), 1, b"x"), "ends with 1"),
        (Outcome(("check",), 3, b"x"), "ends with 3"),
        (Outcome(("check",), 2, b"", "oh\n"), "without a clear line"),
        (Outcome(("check",), 2, b"x", "p.yaml:1:1: not understood: x\n"), "and printed"),
        (Outcome(("check",), 2, b"", "p.yaml:9:1: not understood: x\n"), "outside the file"),
        (Outcome(("check",), 2, b"", "p.yaml:1:9: not understood: x\n"), "outside the file"),
        (Outcome(("draw",), 2, files={"out/a.svg": b""}), "and wrote out/a.svg"),
        (Outcome(("check",), trace="Traceback\nValueError: no"), "ValueError: no"),
    ],
)
def test_the_judge_sees(done: Outcome, wrong: str) -> None:
    assert any(wrong in what for what in faults(done, b"plan: 1"))


def test_what_hangs_is_stopped(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from fuzz import oracle

    def forever(*_: object) -> None:
        while True:
            pass

    monkeypatch.setattr("harness.cli.checking.judged", forever)
    monkeypatch.setattr(oracle, "MOST_SECONDS", 0.2)
    (tmp_path / "plan.yaml").write_text(seeds()["examples/turnstone-4.yaml"])
    assert "Hang" in run(tmp_path, "check", "plan.yaml").trace
