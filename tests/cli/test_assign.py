"""`harness assign` at the command line: what it prints, what it writes, and when it refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
import yaml
from support_cli import Run

ROOT = Path(__file__).parents[2]
GODWIT = ROOT / "examples" / "unplugged" / "godwit-16.yaml"
SMALL = """\
plan: 1
aircraft: Small  # a remark that stays
receivers: {rx: {sockets: 4}}
servos:
  # the first
  elevator: {class: 9g-analogue, moves: elevator}
  rudder: {class: 9g-analogue, moves: rudder}
escs:
  esc: {rated: 20 A, cells-max: 3, supply: pack,
        bec: {kind: switching, volts: 5 V, rated: 3 A, burst: 5 A}}
packs: {pack: {chemistry: lipo, cells: 2, capacity: 1 Ah, rate: 25 C}}
"""
TOO_MANY = SMALL.replace("sockets: 4", "sockets: 2")


@pytest.fixture
def small(tmp_path: Path) -> Path:
    path = tmp_path / "small.yaml"
    path.write_text(SMALL)
    return path


def test_nothing_is_changed_without_write(small: Path, run: Run) -> None:
    done = run("assign", str(small))
    assert done.code == 0, done.err
    assert small.read_text() == SMALL
    assert done.out.index("+++ small.yaml (proposed)") < done.out.index("plan: 1\naircraft")


def test_write_writes_what_was_shown_and_then_there_is_nothing_left(small: Path, run: Run) -> None:
    shown = run("assign", str(small), "--to", "plan").out
    done = run("assign", str(small), "--write")
    assert done.code == 0, done.err
    assert "+++ small.yaml (proposed)" in done.out, "a difference is shown all the same"
    assert small.read_text() == shown != SMALL
    assert run("check", str(small)).code == 0
    again = run("assign", str(small), "--to", "diff")
    assert (again.code, again.out) == (0, "")
    kept = [line for line in SMALL.splitlines() if "#" in line]
    assert [line for line in shown.splitlines() if "#" in line and "bought" not in line] == kept


def test_signs_at_the_front_and_line_ends_stay(small: Path, run: Run) -> None:
    small.write_bytes(b"\xef\xbb\xbf" + SMALL.replace("\n", "\r\n").encode())
    assert run("assign", str(small), "--write").code == 0
    data = small.read_bytes()
    assert data.startswith(b"\xef\xbb\xbfplan: 1\r\n")
    assert data.count(b"\n") == data.count(b"\r\n")


def test_a_link_stays_a_link(small: Path, tmp_path: Path, run: Run) -> None:
    link = tmp_path / "link.yaml"
    link.symlink_to(small)
    assert run("assign", str(link), "--write").code == 0
    assert link.is_symlink()
    assert "plug: rx." in small.read_text()


def test_no_plan_ends_with_1_and_says_what_clashes(small: Path, run: Run) -> None:
    small.write_text(TOO_MANY)
    done = run("assign", str(small), "--write")
    assert done.code == 1
    assert "2 free sockets" in done.out
    assert small.read_text() == TOO_MANY
    assert run("assign", str(small), "--to", "plan").out == "", "no text that is no plan"


def test_standard_input_is_planned_but_not_written(run: Run) -> None:
    done = run("assign", "-", "--to", "plan", stdin=SMALL.encode())
    assert done.code == 0
    assert yaml.safe_load(done.out)["servos"]["elevator"]["plug"].startswith("rx.")
    refused = run("assign", "-", "--write", stdin=SMALL.encode())
    assert refused.code == 2
    assert "--write needs a file" in refused.err


def test_a_file_changed_meanwhile_is_left_alone(small: Path) -> None:
    """Somebody saved in an editor while the plan was sought: that work is not overwritten."""
    from harness.cli.exits import CannotRun
    from harness.cli.plans import write_file
    from harness.plan.load import load_plan

    plan = load_plan(str(small))
    small.write_text(SMALL + "# saved meanwhile\n")
    with pytest.raises(CannotRun, match="changed meanwhile"):
        write_file(str(small), "plan: 1\n", plan.source)
    assert small.read_text() == SMALL + "# saved meanwhile\n"


def test_json_holds_the_plan_and_the_reasons(small: Path, run: Run) -> None:
    data = json.loads(run("assign", str(small), "--to", "json").out)
    assert yaml.safe_load(data["plan"])["escs"]["esc"]["plug"] == "rx.3"
    assert data["proven"] is True


def test_the_example_comes_out_without_findings(tmp_path: Path, run: Run) -> None:
    done = run("assign", str(GODWIT), "--to", "plan")
    assert done.code == 0, done.err
    path = tmp_path / "godwit.yaml"
    path.write_text(done.out)
    checked = run("check", str(path), "--strict")
    assert checked.code == 0, checked.out


NO_SUPPLY = SMALL.replace("supply: pack,", "connector: XT60,").replace(
    "25 C}", "25 C, connector: XT60}"
)


def test_the_battery_side_is_proposed_only_on_request(small: Path, run: Run) -> None:
    small.write_text(NO_SUPPLY)
    bare = run("assign", str(small), "--to", "plan")
    assert "supply:" not in bare.out, "never silently"
    done = run("assign", str(small), "--power")
    assert done.code == 0, done.err
    assert small.read_text() == NO_SUPPLY, "nothing is changed without --write"
    for words in ("to be metered before the first connection", "propeller", "makers' instructions"):
        assert words in " ".join(done.out.split())
    assert "not decided here" not in done.out
    assert run("assign", str(small), "--power", "--write").code == 0
    assert yaml.safe_load(small.read_text())["escs"]["esc"]["supply"] == "pack"
    assert run("check", str(small)).code == 0
    data = json.loads(run("assign", str(small), "--power", "--to", "json").out)
    assert data["battery_side"]["feeds"] == [], "and then nothing is left"


def test_no_safe_battery_side_ends_with_1_and_names_the_rule(small: Path, run: Run) -> None:
    small.write_text(NO_SUPPLY.replace("cells: 2", "cells: 6"))
    done = run("assign", str(small), "--power", "--write")
    assert done.code == 1
    assert "[over-voltage]" in done.out
    assert "supply:" not in small.read_text()
    data = json.loads(run("assign", str(small), "--power", "--to", "json").out)
    assert data["plan"] is None
    assert len(data["causes"]) == 1


def test_a_mirrored_esc_is_written_with_its_image(tmp_path: Path, run: Run) -> None:
    """What the left one is plugged into is not taken for the right one's."""
    jet = (ROOT / "examples" / "phalarope-14.yaml").read_text()
    jet = jet.replace("supply: arming-left, ", "")
    jet = jet.replace("throttle: 30 A,", "throttle: 30 A, full-throttle-volts: 22.2 V,")
    path = tmp_path / "jet.yaml"
    path.write_text(jet)
    done = run("assign", str(path), "--power", "--write")
    assert done.code == 0, done.out
    read = run("check", str(path), "--format", "json")
    assert read.code == 0, read.out
    assert "nothing-plugged-in" not in read.out, "both arming plugs are in"
