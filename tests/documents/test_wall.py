"""The wall sheet: one page, read back from the PDF, with the words of the other documents on it."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from diagram.big_plan import big_plan
from documents.test_one_voice import EXAMPLES, report_at
from paper.pdf_reading import pages_of, reader, squashed
from support_cli import runner

from harness.base.refusal import Refusal
from harness.base.span import Source
from harness.documents.leads import lead_list
from harness.documents.steps import steps_json
from harness.documents.transmitter import transmitter_json
from harness.documents.wall import cards, wall_files, wall_scene
from harness.drawing.pdf import to_pdf
from harness.drawing.scene import Group, Scene, Text, walk, word_faults
from harness.plan.load import parse_plan
from harness.rules.run import Report, check

SOUND = [path for path in EXAMPLES if path.parent.name == "examples"]
PAPERS = {"A4": (595, 842), "Letter": (612, 792)}
"""ISO 216 and ANSI Y14.1, points."""
PICTURE, LISTS = 6.5, 8.0
"""The least size of text on paper, points."""
each_sound = pytest.mark.parametrize("path", SOUND, ids=lambda p: p.stem)
each_paper = pytest.mark.parametrize("page", PAPERS)


@cache
def sheet(path: Path, page: str) -> bytes:
    data = wall_files(report_at(path), page)["wall.pdf"]
    assert isinstance(data, bytes)
    return data


def words_on(path: Path, page: str) -> str:
    """Return all words in the order in which they were drawn."""
    (lines,) = pages_of(sheet(path, page))
    return squashed("".join(line.text for line in lines))


def told(text: str) -> Report:
    return check(parse_plan(Source("plan.yaml", text)))


@each_paper
@each_sound
def test_it_is_one_page_that_can_be_read(path: Path, page: str) -> None:
    """The sizes are those of the PDF; pypdfium2 reads them back."""
    (one,) = reader(sheet(path, page)).pages
    assert tuple(sorted(map(round, (one.mediabox.width, one.mediabox.height)))) == PAPERS[page]
    scene = wall_scene(report_at(path), page)
    assert word_faults(scene) == []
    assert "itsbatterysideisleftout" not in words_on(path, page)
    wide, high = (float(side) - 28 for side in (one.mediabox.width, one.mediabox.height))
    scale = min(wide / scene.width, high / scene.height)
    for group in (item for item in scene.items if isinstance(item, Group)):
        words = [item for item in walk([group]) if isinstance(item, Text)]
        least = LISTS if "list" in group.classes else PICTURE
        assert min(item.size for item in words) * scale >= least - 0.01


@each_paper
@each_sound
def test_its_channels_are_those_of_the_transmitter_sheet(path: Path, page: str) -> None:
    text, said = words_on(path, page), json.loads(transmitter_json(report_at(path)))
    for row in (*said["channels"], *said["outputs"]):
        named = [one["labels"] or one["part"] for one in row["devices"]]
        for words in (row["channel"], row["function"], row["switch"], row["failsafe"], *named):
            assert squashed(words or "") in text
    table = next(card for card in cards(report_at(path)) if card.heads[0] == "channel")
    rows = {row[0]: row for row in table.rows}
    for row in said["channels"]:
        assert rows[row["channel"]][4] == (row["failsafe"] or "______")
        assert all(
            code in rows[row["channel"]][2]
            for code in (one["labels"] or "" for one in row["devices"])
        )


@each_paper
@each_sound
def test_every_pulled_pin_and_every_pack_is_on_it(path: Path, page: str) -> None:
    """As the lead list has the pins, and the steps the plugs of the packs."""
    report, text = report_at(path), words_on(path, page)
    out = {
        row["label"]: row["A pulled"] for row in lead_list(report.wiring).rows if row["A pulled"]
    }
    assert out or not any(mate.join.pulled for mate in report.wiring.mates)
    pins = next((card for card in cards(report) if card.heads[0] == "pin of"), None)
    rows = pins.rows if pins else ()
    assert {row[0] for row in rows} == set(out)
    for row in rows:
        assert squashed("".join(row)) in text
        assert row[2].endswith(" OUT")
    steps = [s for s in json.loads(steps_json(report))["steps"] if s["plug"]]
    packs = {pack.id for pack in report.plan.parts.values() if pack.holds_cells}
    joined = [s["text"] for s in steps if any(f'pack "{pack}"' in s["text"] for pack in packs)]
    assert len(joined) >= len(packs)
    assert all(squashed(words) in text for words in joined)
    assert [text.index(squashed(w)) for w in joined] == sorted(
        text.index(squashed(w)) for w in joined
    )


def _inked(scene: Scene, page: str, lists: bool) -> np.ndarray:  # type: ignore[type-arg]
    """Where a page has ink from the lists alone, or from all but them; its paper is left out."""
    kept = tuple(item for item in scene.items if isinstance(item, Group)
                 and ("list" in item.classes) is lists)  # fmt: skip
    data = to_pdf([Scene(scene.width, scene.height, kept)], paper=page, margin=14, max_scale=9)  # type: ignore[arg-type]
    return np.asarray(pypdfium2.PdfDocument(data)[0].render(scale=2, grayscale=True).to_pil()) < 250


@each_paper
@each_sound
def test_no_list_lies_on_the_picture(path: Path, page: str) -> None:
    """By the ink of both, drawn apart."""
    scene = wall_scene(report_at(path), page)
    lists, picture = (_inked(scene, page, both) for both in (True, False))
    assert lists.any()
    assert picture.any()
    assert not (lists & picture).any()


def _never(text: str) -> str:
    return " ".join(line for _, line in next(c for c in cards(told(text)) if c.grave).rows)


HEAD = "plan: 1\naircraft: Test\nchannels: {3: {function: throttle, failsafe: off}}\n"
MOTOR = (
    HEAD
    + """\
receivers: {rx: {sockets: 4, supply-sockets: 1}}
packs: {main: {chemistry: lipo, cells: 3, capacity: 2 Ah, rate: 30 C}}
escs: {esc: {rated: 40 A, bec: {kind: switching, volts: 5 V, rated: 3 A}, plug: rx.3, supply: main}}
motors: {m: {full-throttle: 20 A, plug: esc}}
"""
)


def test_what_is_never_done_is_this_aeroplanes_own() -> None:
    """Wirings by hand: what each adds is told, and only there."""
    plain = _never(MOTOR)
    assert "propellers on" in plain
    assert "plug a pack in but with nobody" in plain
    assert "another pack than 3S lipo" in plain
    assert "channel 3 throttle: off" in plain
    assert 'pack "main" before a meter' in plain
    assert "arming" not in plain
    assert "pin back" not in plain
    armed = MOTOR.replace("supply: main}", "supply: arm}") + (
        "power-leads: {arm: {kind: arming, supply: main}}\n"
    )
    assert "Never fit the arming plug ARM but last of all" in _never(armed)
    bec = MOTOR.replace("plug: rx.3", "plug: {into: rx.3, pulled: positive}") + (
        "regulators: {reg: {kind: switching, volts: 6 V, supply: hub.2, plug: rx.batt}}\n"
        "power-leads: {hub: {kind: parallel, ways: 2, supply: main}}\n"
    )
    bec = bec.replace("supply: main}}\nmotors", "supply: hub.1}}\nmotors")
    assert "into ESC: both esc and reg would feed one rail" in _never(bec)
    alone = bec.replace("plug: rx.batt", "plug: rx.4").replace(
        "bec: {kind: switching, volts: 5 V, rated: 3 A}", "bec: none"
    )
    assert "pin back" not in _never(alone)
    two = MOTOR.replace("supply: main}", "supply: {0}}").replace(
        "packs: {", "packs: {two: {like: main}, "
    )
    side = two.replace("{0}", "y") + "power-leads: {y: {kind: parallel, supply: [main, two]}}\n"
    assert "Never join main and two more than 0.05 V a cell apart" in _never(side)
    stack = two.replace("{0}", "s") + "power-leads: {s: {kind: series, supply: [main, two]}}\n"
    assert "one alone of main and two" in _never(stack)
    assert "joined to another" in _never(stack)
    assert "joined to another" not in plain


def test_what_must_be_mended_stands_first_and_no_pack_is_plugged() -> None:
    broken = Path(__file__).parents[2] / "examples" / "broken" / "reversed-pack.yaml"
    found = list(cards(report_at(broken)))
    assert "mend it first" in found[0].rows[0][0] + found[1].rows[0][1]
    assert "mended" in found[-1].rows[0][1]
    assert len(found[-1].rows) == 1


def test_the_arming_plug_stays_out_until_all_packs_are_in() -> None:
    """As the order of work has it: what lies behind it is dead when its lead goes into the pack."""
    for name, leads_ in (("phalarope-14", 2), ("breakwater-12", 1), ("spindrift-7", 1)):
        rows = [
            row[1]
            for row in list(cards(report_at(next(p for p in SOUND if p.stem == name))))[-1].rows
        ]
        assert rows[-1].startswith("Fit the arming plug")
        assert "last of all" in rows[-1]
        leads = [row for row in rows if row.startswith("Plug ARM")]
        assert len(leads) == leads_ == len(rows[-1].partition(",")[0].split(" and "))
        assert all("its arming plug stays out" in row and "spark" not in row for row in leads)


def many(count: int) -> str:
    """A plan with so many ESCs, eight on each pack: mostly battery side."""
    numbers, packs = range(1, count + 1), range(-(-count // 8))
    rows = [
        f"plan: 1\naircraft: Many\nreceivers: {{rx: {{sockets: {count}}}}}\npacks:",
        *(f"  main-{k}: {{chemistry: lipo, cells: 4, capacity: 5 Ah, rate: 35 C}}" for k in packs),
        "power-leads:",
        *(f"  hub-{k}: {{kind: parallel, ways: 8, supply: main-{k}}}" for k in packs), "escs:",
        *(f"  e{n}: {{rated: 20 A, bec: none, plug: rx.{n},"
          f" supply: hub-{(n - 1) // 8}.{(n - 1) % 8 + 1}}}" for n in numbers), "motors:",
        *(f"  m{n}: {{full-throttle: 10 A, plug: e{n}}}" for n in numbers),
    ]  # fmt: skip
    return "\n".join(rows) + "\n"


def test_without_room_the_battery_side_is_left_out_and_that_is_said() -> None:
    scene = wall_scene(told(many(16)))
    words = " ".join(item.text for item in walk(scene.items) if isinstance(item, Text))
    assert "its battery side is left out here, harness draw PLAN --view power draws it" in words
    assert scene.height > scene.width, "many plugs in a column stand on an upright page"
    data = wall_files(told(many(16)))["wall.pdf"]
    (one,) = reader(data).pages  # type: ignore[arg-type]
    assert (round(one.mediabox.width), round(one.mediabox.height)) == PAPERS["A4"]


def test_what_is_too_large_for_a_page_is_refused(tmp_path: Path) -> None:
    (tmp_path / "big.yaml").write_text(big_plan(60), "utf-8")
    done = runner(tmp_path)("book", "big.yaml", "--sheet", "wall")
    assert (done.code, done.out) == (2, "")
    assert "59 parts have no room on one A4 page" in done.err
    assert "harness draw PLAN" in done.err
    with pytest.raises(Refusal):
        wall_scene(told(big_plan(60)), "Letter")


def test_the_command_writes_the_sheet_and_nothing_else(tmp_path: Path) -> None:
    done = runner(tmp_path)("book", str(SOUND[0]), "--sheet", "wall", "--page", "Letter")
    assert done.code == 0
    (line,) = done.out.splitlines()
    assert (tmp_path / line).read_bytes() == sheet(SOUND[0], "Letter")
