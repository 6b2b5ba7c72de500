"""Results compared and kept: every verdict, every kind of fault, and nothing ever lost."""

from __future__ import annotations

from pathlib import Path

import pytest
from bench.bench_plan import PLAN, compared, protocol, results_text
from support_cli import runner

from harness.base.span import Source
from harness.bench.compare import FAIL, NOT_DONE, NOT_HERE, PASS, compare
from harness.bench.record import form_text, kept, last_values, record_text
from harness.plan.results import Record, parse_record, parse_results
from harness.reading.problems import PlanError

# id, a value that passes, one that fails: a number too small, one too large, yes or no, a word.
KINDS = [
    ("bec-volts.esc", "5.02 V", "4.80 V"),
    ("bec-volts.esc", "4850 mV", "5.16 V"),
    ("rail-stirred.rx", "4.80 V", "4.79 V"),
    ("rail-stirred.rx", "4800 mV", "4799 mV"),
    ("bec-volts.esc", "5.15 V", "5.151 V"),
    ("lead.y", "yes", "no"),
    ("range", "Yes", "off"),
    ("rotation.motor", "clockwise", "anticlockwise"),
    ("direction.aileron-left.roll", "DOWN", "up"),
    ("failsafe.3", "off", "hold"),
    ("failsafe.3", "no", "neutral"),
]


@pytest.mark.parametrize(("name", "good", "bad"), KINDS)
def test_each_kind_passes_and_fails(name: str, good: str, bad: str) -> None:
    for value, verdict in ((good, PASS), (bad, FAIL)):
        found = compared(f"  {name}: {value}\n")
        (one,) = found.by(verdict)
        assert one.id == name
        assert bool(one.mend) == (verdict == FAIL)
        assert found.passed == (verdict == PASS)
        assert len(found.by(NOT_DONE)) == len(protocol().tests) - 1


def test_a_miss_is_told_in_numbers() -> None:
    (one,) = compared("  bec-volts.esc: 5.40 V\n").by(FAIL)
    assert one.apart == "0.25 V too much"


def test_a_value_within_limits_but_odd_passes_with_a_remark() -> None:
    (one,) = compared("  rest-amps.pack: 1.5 A\n").by(PASS)
    assert one.remark.startswith("more than the plan leads one to expect")


# What cannot be read: text, line and column of the value, what is said.
BAD = [
    ("  bec-volts.esc: 5.02\n", '"5.02" has no unit: write "5.02 V"'),
    ("  bec-volts.esc: 5 A\n", '"5 A" is not a voltage'),
    ("  bec-volts.esc: yes\n", '"yes" is not a voltage'),
    ("  bec-volts.esc: -5 V\n", "has a sign"),
    ("  bec-volts.esc: 5,02 V\n", 'decimal comma: write "5.02 V"'),
    ("  lead.y: maybe\n", '"maybe" is neither yes nor no'),
    ("  rotation.motor: clockwize\n", '"clockwize" is not one of'),
]


@pytest.mark.parametrize(("tests", "said"), BAD)
def test_a_value_that_cannot_be_read_is_told_with_its_place(tests: str, said: str) -> None:
    with pytest.raises(PlanError) as error:
        compared(tests)
    (problem,) = error.value.problems
    assert said in problem.message
    assert problem.span.line == 6
    assert problem.span.column == tests.index(": ") + 3
    assert problem.help


def test_an_unknown_test_is_told_with_the_nearest_name() -> None:
    (one,) = compared("  bec-volt.esc: 5 V\n").by(NOT_HERE)
    assert one.mend == 'did you mean "bec-volts.esc"?'
    assert not compared("  bec-volt.esc: 5 V\n").passed


def test_results_of_another_aeroplane_are_refused() -> None:
    with pytest.raises(PlanError, match='of "Other", the plan is of "Test"'):
        compared("  lead.y: yes\n", aircraft="Other")


def test_the_empty_form_reads_back_as_nothing_done() -> None:
    text = form_text(protocol())
    with pytest.raises(PlanError, match="wanted is a day"):
        parse_results(Source("r.yaml", text))
    results = parse_results(Source("r.yaml", text.replace("\ndate:", "\ndate: 2026-10-02")))
    assert list(results.tests) == list(protocol().tests) == list(results.expected)
    assert {one.measured for one in results.tests.values()} == {""}
    assert results.expected == {n: t.expected.text for n, t in protocol().tests.items()}
    assert results.revision == protocol().revision


def test_the_form_survives_odd_names() -> None:
    long = "ü" * 1200
    odd = PLAN.replace("aircraft: Test", 'aircraft: "no: 1 # \\"x\\""').replace(
        "motor: {", f"? {long}\n: {{"
    )
    odd = odd.replace("motors: {?", "motors:\n ?").replace("plug: esc}}", "plug: esc}")
    odd = odd.replace("\n: {full", "\n : {full")
    text = form_text(protocol(odd)).replace("\ndate:", "\ndate: 2026-10-02")
    results = parse_results(Source("r.yaml", text))
    assert results.aircraft == 'no: 1 # "x"'
    assert f"rotation.{long}" in results.tests


def test_measured_volts_are_offered_for_the_plan() -> None:
    (offer,) = compared("  bec-volts.esc: 5.02 V\n").proposals
    assert (offer.part, offer.write) == (
        "esc",
        "`bec: {kind: switching, volts: 5 V, rated: 3 A, metered: 5.02 V}`",
    )
    same = PLAN.replace("rated: 3 A}", "rated: 3 A, metered: 5.02 V}")
    assert compared("  bec-volts.esc: 5.02 V\n", same).proposals == ()


def test_another_revision_says_which_expectations_changed() -> None:
    form = form_text(protocol()).replace("\ndate:", "\ndate: 2026-10-02")
    form = form.replace("  bec-volts.esc:\n", "  bec-volts.esc: 5.02 V\n")
    other = PLAN.replace("volts: 5 V", "volts: 6 V")
    found = compare(protocol(other), parse_results(Source("r.yaml", form)))
    changed = {c.id: (c.then, c.now) for c in found.changed}
    assert found.other_revision
    assert changed["bec-volts.esc"] == ("4.85 to 5.15 V", "5.82 to 6.18 V")
    assert "lead.y" not in changed
    assert found.by(FAIL)[0].id == "bec-volts.esc"


def test_what_another_revision_expected_may_be_unknown_or_in_the_record() -> None:
    blind = compared("  lead.y: yes\n", revision="00000000")
    assert (blind.other_revision, blind.told) == (True, False)
    before = kept(None, compared("  bec-volts.esc: 5 V\n"))
    assert before is not None
    found = compared("  lead.y: yes\n", PLAN.replace("volts: 5 V", "volts: 6 V"), before,
                     revision=protocol().revision)  # fmt: skip
    assert [c.id for c in found.changed] == ["bec-volts.esc"]


def again(record: Record | None) -> Record:
    assert record is not None
    return parse_record(Source("x.record.yaml", record_text(record)))


def test_recording_twice_changes_nothing() -> None:
    once = compared("  lead.y: {measured: yes, note: 'said: \"fine\"'}\n")
    record = again(kept(None, once))
    assert kept(record, once) is None
    assert record.entries[0].tests["lead.y"].note == 'said: "fine"'
    assert kept(record, compared("  lead.y: no\n")) is not None


def test_entries_stand_in_order_of_date_and_the_last_value_counts() -> None:
    record: Record | None = None
    for day, value in (("2026-10-02", "no"), ("2026-09-01", "no"), ("2026-10-02", "yes")):
        record = kept(record, compared(f"  lead.y: {value}\n", date=day))
        record = again(record)
    assert record is not None
    assert [e.date for e in record.entries] == ["2026-09-01", "2026-10-02", "2026-10-02"]
    day, judged = last_values(record)["lead.y"]
    assert (day, judged.measured, judged.result) == ("2026-10-02", "yes", "pass")


def test_nothing_measured_is_not_kept() -> None:
    assert kept(None, compared("  lead.y:\n")) is None


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "p.yaml").write_text(PLAN)
    (tmp_path / "good.yaml").write_text(results_text("  bec-volts.esc: 5.02 V\n"))
    (tmp_path / "bad.yaml").write_text(results_text("  bec-volts.esc: 5.6 V\n"))
    (tmp_path / "wrong.yaml").write_text(results_text("  bec-volts.esc: 5.02\n"))
    return tmp_path


def test_exit_codes_and_what_is_written(folder: Path) -> None:
    run = runner(folder)
    assert run("record", "p.yaml", "wrong.yaml").code == 2
    assert not (folder / "p.record.yaml").exists()
    good = run("record", "p.yaml", "good.yaml")
    assert (good.code, good.err) == (0, "kept in p.record.yaml\n")
    bytes_before = (folder / "p.record.yaml").read_bytes()
    twice = run("record", "p.yaml", "good.yaml")
    assert (twice.code, (folder / "p.record.yaml").read_bytes()) == (0, bytes_before)
    bad = run("record", "p.yaml", "bad.yaml")
    assert bad.code == 1
    assert "0.45 V too much" in bad.out
    assert "at bad.yaml:6:18" in bad.out
    wrong = run("record", "p.yaml", "wrong.yaml")
    assert wrong.err.startswith("wrong.yaml:6:18: not understood:")


@pytest.mark.parametrize(
    "text", ["not a record\n", "record: 1\n", "", "record: 2\naircraft: Test\nentries: []\n"]
)
def test_a_record_that_is_not_understood_is_never_overwritten(folder: Path, text: str) -> None:
    (folder / "p.record.yaml").write_text(text)
    ran = runner(folder)("record", "p.yaml", "good.yaml")
    assert ran.code == 2
    assert "p.record.yaml:1" in ran.err
    assert (folder / "p.record.yaml").read_text() == text
    shown = runner(folder)("protocol", "p.yaml")
    assert shown.code == 0
    assert "p.record.yaml, line 1" in shown.out


def test_a_record_of_another_aeroplane_is_left_alone(folder: Path) -> None:
    text = "record: 1\naircraft: Other\nentries: []\n"
    (folder / "p.record.yaml").write_text(text)
    assert runner(folder)("record", "p.yaml", "good.yaml").code == 2
    assert (folder / "p.record.yaml").read_text() == text


def test_a_plan_from_standard_input_is_compared_and_not_kept(folder: Path) -> None:
    before = sorted(folder.iterdir())
    ran = runner(folder)("record", "-", "good.yaml", stdin=PLAN.encode())
    assert (ran.code, "nothing is kept" in ran.err) == (0, True)
    assert "1 passed" in ran.out
    assert sorted(folder.iterdir()) == before
    assert runner(folder)("record", "-", "-", stdin=b"").code == 2


def test_the_protocol_shows_the_last_values(folder: Path) -> None:
    run = runner(folder)
    run("record", "p.yaml", "good.yaml")
    shown = run("protocol", "p.yaml").out
    assert "last measured" in shown
    assert "rated: 3 A, metered: 5.02 V}`" in " ".join(shown.split())


def test_results_and_records_in_a_folder_are_no_plans(folder: Path) -> None:
    run = runner(folder)
    run("record", "p.yaml", "good.yaml")
    (folder / "good.yaml").rename(folder / "p.results.yaml")
    (folder / "bad.yaml").unlink(), (folder / "wrong.yaml").unlink()
    ran = run("check", ".")
    assert "not understood" not in ran.err
    assert "p.yaml" in ran.out


def test_a_record_that_is_a_link_stays_one_and_what_it_names_is_written(folder: Path) -> None:
    run, there = runner(folder), folder / "kept" / "all.yaml"
    there.parent.mkdir()
    run("record", "p.yaml", "good.yaml")
    (folder / "p.record.yaml").rename(there)
    (folder / "p.record.yaml").symlink_to(there)
    assert run("record", "p.yaml", "bad.yaml").code == 1
    assert (folder / "p.record.yaml").is_symlink()
    entries = parse_record(Source("x", there.read_text())).entries
    assert [e.tests["bec-volts.esc"].measured for e in entries] == ["5.02 V", "5.6 V"]


def test_a_write_protected_record_is_left_alone(folder: Path) -> None:
    run, path = runner(folder), folder / "p.record.yaml"
    run("record", "p.yaml", "good.yaml")
    before = path.read_bytes()
    path.chmod(0o444)
    ran = run("record", "p.yaml", "bad.yaml")
    assert (ran.code, path.read_bytes()) == (2, before)
    assert "write-protected" in ran.err
    assert "0.45 V too much" in ran.out  # the comparison has been seen at least


def test_a_folder_in_the_place_of_the_record_is_told_in_its_own_words(folder: Path) -> None:
    (folder / "p.record.yaml").mkdir()
    ran = runner(folder)("record", "p.yaml", "good.yaml")
    assert ran.code == 2
    assert "this is a folder, not a record" in ran.err
    (folder / "empty.yaml").write_text("")
    empty = runner(folder)("record", "p.yaml", "empty.yaml")
    assert empty.code == 2
    assert "harness protocol PLAN --to yaml" in empty.err


@pytest.mark.parametrize(
    ("head", "end"), [(b"\xef\xbb\xbf", b"\n"), (b"", b"\r\n"), (b"\xef\xbb\xbf", b"\r\n")]
)
def test_results_as_other_machines_write_them(folder: Path, head: bytes, end: bytes) -> None:
    """A byte order mark (Unicode 23.8), line ends of two signs (YAML 1.2.2, 5.4), tabs as space."""
    text = results_text("  bec-volts.esc:\t5.02 V\t\n").encode()
    (folder / "odd.yaml").write_bytes(head + text.replace(b"\n", end))
    ran = runner(folder)("record", "p.yaml", "odd.yaml")
    assert (ran.code, "1 passed" in ran.out) == (0, True)
    (entry,) = parse_record(Source("x", (folder / "p.record.yaml").read_text())).entries
    assert entry.tests["bec-volts.esc"].measured == "5.02 V"


def test_results_from_standard_input_are_kept_beside_the_plan(folder: Path) -> None:
    stdin = (folder / "good.yaml").read_bytes()
    ran = runner(folder)("record", "p.yaml", "-", stdin=stdin)
    assert (ran.code, ran.err) == (0, "kept in p.record.yaml\n")
    bad = runner(folder)("record", "p.yaml", "-", stdin=stdin.replace(b"5.02 V", b"5.02"))
    assert (bad.code, bad.err.startswith("<stdin>:6:18: not understood")) == (2, True)


def test_a_plan_is_no_results_file(folder: Path) -> None:
    ran = runner(folder)("record", "p.yaml", "p.yaml")
    assert (ran.code, ran.err.startswith("p.yaml:1:1: not understood")) == (2, True)
    assert not (folder / "p.record.yaml").exists()


SIX = PLAN.replace("volts: 5 V", "volts: 6 V")


def test_a_test_that_is_no_more_is_told_too() -> None:
    form = form_text(protocol()).replace("\ndate:", "\ndate: 2026-10-02")
    gone = PLAN.replace("rotation: clockwise, ", "")
    found = compare(protocol(gone), parse_results(Source("r.yaml", form)))
    changed = {one.id: (one.then, one.now) for one in found.changed}
    assert changed["rotation.motor"] == ("clockwise", "not tested any more")


def test_what_an_entry_expected_is_of_the_revision_that_judged_it() -> None:
    """Measured for the 5 V plan, judged by the 6 V plan: kept is what the latter expected."""
    five, six = protocol().revision, protocol(SIX).revision
    late = kept(None, compared("  bec-volts.esc: 6 V\n", SIX, revision=five))
    assert late is not None
    assert (late.entries[0].revision, late.entries[0].judged) == (five, six)
    back = compared("  lead.y: yes\n", PLAN, late, revision=six)
    assert {c.id: (c.then, c.now) for c in back.changed} == {
        "bec-volts.esc": ("5.82 to 6.18 V", "4.85 to 5.15 V")
    }
    seven = PLAN.replace("volts: 5 V", "volts: 7 V")
    assert not compared("  lead.y: yes\n", seven, late, revision=five).told


def test_the_same_values_with_another_meter_are_another_entry() -> None:
    record = again(kept(None, compared("  lead.y: yes\n", about="old meter")))
    assert kept(record, compared("  lead.y: yes\n", about="old meter")) is None
    more = kept(record, compared("  lead.y: yes\n", about="new meter"))
    assert more is not None
    assert [entry.about for entry in more.entries] == ["old meter", "new meter"]
