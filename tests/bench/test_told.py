"""What a record tells: lines to paste, failures in full, passes in few lines, plain words."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from bench.bench_plan import PLAN, bench_test, compared, protocol, results_text
from support import plan_of
from support_cli import runner

from harness.documents.results import result_lines
from harness.parts.bec import Bec
from harness.parts.esc import Esc
from harness.reading.problems import PlanError

TWIN = (
    PLAN.replace("rated: 3 A}, plug: rx.3,", "rated: 3.5 A, burst: 8 A}, plug: rx.3,")
    .replace(
        "motors:",
        "  second: {like: esc, plug: {into: rx.4, pulled: positive}, supply: other}\nmotors:",
    )
    .replace("packs: {", "packs: {other: {chemistry: lipo, cells: 3, connector: XT60}, ")
)


@pytest.mark.parametrize(("name", "old"), [("second", "like: esc,"), ("esc", None)])
def test_the_line_that_is_offered_can_be_pasted(name: str, old: str | None) -> None:
    """Applied to the plan, it is read, and the BEC is as it was, but metered."""
    (offer,) = compared(f"  bec-volts.{name}: 5.02 V\n", TWIN).proposals
    (line,) = re.findall(r"`(.*?)`", offer.write)
    if old:
        text = TWIN.replace(old, f"{old} {line},")
    else:
        text = TWIN.replace("bec: {kind: switching, volts: 5 V, rated: 3.5 A, burst: 8 A}", line, 1)
    assert text != TWIN
    before, after = (plan_of(each).parts[name] for each in (TWIN, text))
    assert isinstance(before, Esc) and isinstance(after, Esc)
    assert isinstance(before.bec, Bec) and isinstance(after.bec, Bec)
    for word in ("kind", "volts", "rated", "burst"):
        assert getattr(after.bec, word) == getattr(before.bec, word), word
    assert after.bec.metered == 5.02


def test_passes_are_told_in_few_lines_and_failures_in_full() -> None:
    lines = "".join(f"  {name}: {test.expected.text}\n" for name, test in protocol().tests.items()
                    if test.expected.kind != "number")  # fmt: skip
    lines = lines.replace("rotation.motor: clockwise", "rotation.motor: anticlockwise")
    found = compared(lines + "  rest-amps.pack: 1.5 A\n")
    told = list(result_lines(found))
    assert any(line.startswith("FAIL  rotation.motor") for line in told)
    assert any("odd: more than the plan leads" in line for line in told)
    passed = [one.id for one in found.compared if one.verdict == "pass" and not one.remark]
    assert len(passed) > 10
    start = next(n for n, line in enumerate(told) if line.startswith("passed"))
    block = told[start : next(n for n in range(start + 1, len(told)) if told[n][0] != " ")]
    assert len(block) < len(passed) / 2
    assert all(name in " ".join(block) for name in passed)
    assert f"{len(passed)} tests" in block[0]


def test_a_number_without_a_unit_is_told_the_one_a_meter_shows() -> None:
    with pytest.raises(PlanError) as error:
        compared("  pack-volts.pack: 12.5\n")
    assert error.value.problems[0].message == '"12.5" has no unit: write "12.5 V"'


def test_words_are_a_builders() -> None:
    assert bench_test("full-throttle-volts.throttle.pack").title.startswith('volts of pack "pack"')
    title = bench_test("no-hum.aileron").title
    assert title.startswith("aileron-left and aileron-right go to both ends")


def test_the_book_shows_what_was_measured(tmp_path: Path) -> None:
    (tmp_path / "p.yaml").write_text(PLAN)
    (tmp_path / "r.yaml").write_text(results_text("  bec-volts.esc: 5.02 V\n"))
    run = runner(tmp_path)
    assert run("record", "p.yaml", "r.yaml").code == 0
    made = run("book", "p.yaml", "--out", "book")
    assert made.code in {0, 1}, made.err
    (page,) = (tmp_path / "book").rglob("book.html")
    assert "5.02 V on 2026-10-02: pass" in page.read_text("utf-8")


def test_a_damaged_record_is_refused_with_its_place(tmp_path: Path) -> None:
    (tmp_path / "p.yaml").write_text(PLAN)
    (tmp_path / "p.record.yaml").write_text("record: 1\n")
    made = runner(tmp_path)("book", "p.yaml", "--out", "book")
    assert made.code == 2
    assert "p.record.yaml:1" in made.err
    assert not list((tmp_path / "book").rglob("*"))
