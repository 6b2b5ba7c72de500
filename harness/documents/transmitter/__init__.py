"""The transmitter sheet: what to set up on each channel, and what must come out."""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.near import capital, spoken
from harness.bench.surfaces import ways_by_servo
from harness.bench.turning import turning_rules
from harness.bench.workbench import Bench
from harness.documents.figures.machine import json_text
from harness.documents.index import title_of
from harness.documents.transmitter.gear import gear_blocks, gear_data
from harness.documents.transmitter.rows import (
    Row,
    free_of,
    mixes_of,
    outputs_of,
    rows_of,
    stick_of,
    turns_of,
)
from harness.paper.blocks import BLANK, Block, Chapter, Heading, Paper, Points, Say
from harness.paper.forms import csv_text, harmless
from harness.paper.sheet import Cell, Column, Group, Note, Table
from harness.plan.plan import Plan
from harness.rules.run import Report

SETTINGS = ("direction", "neutral", "ends", "rates")
FACTS = ("switch", "failsafe", "delay", "about")
COLUMNS = ("channel", "function", "devices", "labels", *SETTINGS, *FACTS)


def transmitter_paper(report: Report) -> Paper:
    """Return the sheet to print."""
    plan = report.plan
    return Paper(
        f"Transmitter sheet of {plan.aircraft}",
        "What to set up on each channel. An empty line is for what is found while setting up.",
        plan.revision,
        (transmitter_chapter(report),),
    )


def transmitter_chapter(report: Report) -> Chapter:
    """Return the sheet as a chapter."""
    bench, plan = Bench(report.wiring), report.plan
    rows = rows_of(bench)
    blocks: list[Block] = [*_head(plan), *_channels(rows), *_settings(bench, rows)]
    blocks += [*_outputs(bench), *_mixes(plan), *_turns(bench), *gear_blocks(bench)]
    blocks += _free(plan, rows)
    if bench.unknown:
        blocks.append(Note("Not told, for want of a fact in the plan", tuple(bench.unknown)))
    return Chapter("transmitter", title_of("transmitter"), tuple(blocks))


def _head(plan: Plan) -> Iterator[Block]:
    order, count = plan.transmitter.order, plan.transmitter.channels
    facts = [f"channel order {order}"] if order else []
    facts += [f"{count} channels"] if count else []
    if facts:
        yield Say(f"Set the transmitter to {spoken(facts)}.")
    yield Say(
        "Propellers off until all of it is set and tested. The failsafe is set at binding, and"
        " again after every binding.", "caution",
    )  # fmt: skip


def _channels(rows: list[Row]) -> Iterator[Block]:
    if not rows:
        yield Say("The plan names no channels.", "warning")
        return
    titles = ("channel", "function", "devices", "switch or stick", "failsafe", "delay")
    columns = tuple(Column(title) for title in titles)
    group = Group("", tuple(_channel(row) for row in rows))
    legend = "Label codes in brackets; a switch or failsafe left open is to be written in."
    yield Table("Channels", columns, (group,), legend)
    about = tuple(f"channel {row.name}: {row.about}" for row in rows if row.about)
    if about:
        yield Note("Remarks", about)


def _channel(row: Row) -> tuple[Cell, ...]:
    return (
        Cell(row.name), _or_blank(row.function), Cell(_devices(row)),
        _or_blank(row.switch or stick_of(row.function)), _or_blank(row.failsafe),
        Cell(row.delay or "none"),
    )  # fmt: skip


def _devices(row: Row) -> str:
    pairs = zip(row.devices, row.codes, strict=True)
    return ", ".join(f"{device} [{code}]" if code else device for device, code in pairs) or "none"


def _or_blank(text: str) -> Cell:
    return Cell(text) if text else BLANK


def _settings(bench: Bench, rows: list[Row]) -> Iterator[Block]:
    if not rows:
        return
    columns = tuple(Column(t) for t in ("channel", "function", "servo direction", "neutral",
                                        "end points, low / high", "rates, low / high"))  # fmt: skip
    cells = tuple(
        (Cell(row.name), _or_blank(row.function), *(_or_blank(getattr(row, w)) for w in SETTINGS))
        for row in rows
    )
    low, centre, high = (bench.rule("pulse", key) for key in ("low", "centre", "high"))
    about = f"Usual pulses: {low.number:g} us low, {centre.number:g} us at the centre,"
    about += f" {high.number:g} us high ({centre.origin})."
    yield Table("Settings", columns, (Group("", cells),), about)


def _outputs(bench: Bench) -> Iterator[Block]:
    rows = outputs_of(bench)
    if rows:
        columns = (Column("output"), Column("function"), Column("devices"), Column("direction"))
        cells = tuple(
            (Cell(row.name), _or_blank(row.function), Cell(_devices(row)), BLANK) for row in rows
        )
        yield Table("Outputs of the autopilot, set up there", columns, (Group("", cells),))


def _mixes(plan: Plan) -> Iterator[Block]:
    words = mixes_of(plan)
    yield Heading("Mixes")
    if words:
        yield Points(tuple(Cell(text) for text in words))
    else:
        yield Say("None.")


def _turns(bench: Bench) -> Iterator[Block]:
    turns = turns_of(bench)
    if not turns:
        return
    columns = (Column("at the transmitter"), Column("what must come out"), Column("seen"))
    cells = tuple((Cell(turn.stick), Cell(turn.words), BLANK) for turn in turns)
    rules = ". ".join(map(capital, turning_rules(bench, ways_by_servo(bench))))
    yield Table("Directions, seen from behind, by the trailing edge", columns, (Group("", cells),),
                f"{rules}.")  # fmt: skip


def _free(plan: Plan, rows: list[Row]) -> Iterator[Block]:
    free, sockets = free_of(plan, rows)
    yield Heading("Free")
    if not free:
        yield Say("No channel is free.")
        return
    there = f"; the receiver has a free socket for {spoken(sockets)}" if sockets else ""
    yield Say(f"Channel{'s' if len(free) > 1 else ''} {spoken(free)}{there}.")


def transmitter_csv(report: Report) -> str:
    """Return one record a channel."""
    rows = rows_of(Bench(report.wiring))
    return csv_text(COLUMNS, ([harmless(text) for text in _record(row)] for row in rows))


def _record(row: Row) -> list[str]:
    devices, labels = " ".join(row.devices), " ".join(code for code in row.codes if code)
    return [
        row.name,
        row.function,
        devices,
        labels,
        *(getattr(row, w) for w in (*SETTINGS, *FACTS)),
    ]


def transmitter_json(report: Report) -> str:
    """Return the whole sheet; what is to be filled in is null."""
    bench, plan = Bench(report.wiring), report.plan
    rows = rows_of(bench)
    body = {
        "aircraft": plan.aircraft,
        "revision": plan.revision,
        "order": plan.transmitter.order or None,
        "channels": [_data(row) for row in rows],
        "outputs": [_data(row) for row in outputs_of(bench)],
        "mixes": mixes_of(plan),
        "directions": [
            {"stick": t.stick, "moves": [{"part": d, "goes": w} for d, w in t.moves]}
            for t in turns_of(bench)
        ],
        "gear": gear_data(bench),
        "free_channels": free_of(plan, rows)[0],
        "unknown": bench.unknown,
    }
    return json_text(body)


def _data(row: Row) -> dict[str, object]:
    pairs = zip(row.devices, row.codes, strict=True)
    devices = [{"part": device, "labels": code or None} for device, code in pairs]
    said = {word: getattr(row, word) or None for word in (*SETTINGS, *FACTS)}
    return {"channel": row.name, "function": row.function or None, "devices": devices, **said,
            "line": row.line}  # fmt: skip
