"""The transmitter sheet: what to set up on each channel, and what must come out."""

from __future__ import annotations

from collections.abc import Iterator

from harness.base.near import capital, spoken
from harness.bench.surfaces import ways_by_servo
from harness.bench.turning import turning_rules
from harness.bench.workbench import Bench
from harness.documents.index import title_of
from harness.documents.transmitter.gear import gear_blocks, gear_data
from harness.documents.transmitter.rows import (
    ChannelRow,
    free_of,
    mixes_of,
    outputs_of,
    rows_of,
    stick_of,
    turns_of,
)
from harness.facts.motion import turning
from harness.paper.blocks import BLANK, Block, Chapter, Heading, Paper, Points, Say
from harness.paper.records import CsvRecord, as_csv, as_json
from harness.paper.sheet import Cell
from harness.paper.tables import PlainRow, noted, table
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
    blocks += [
        *_free(plan, rows),
        *noted("Not told, for want of a fact in the plan", bench.unknown),
    ]
    return Chapter("transmitter", title_of("transmitter"), tuple(blocks))


def _head(plan: Plan) -> Iterator[Block]:
    order, count = plan.transmitter.order, plan.transmitter.channels
    facts = [f"channel order {order}"] if order else []
    facts += [f"{count} channels"] if count else []
    if facts:
        yield Say(f"Set the transmitter to {spoken(facts)}.")
    yield Say(
        f"{capital(turning(plan).off)} until all of it is set and tested. The failsafe is set at"
        " binding, and again after every binding.", "caution",
    )  # fmt: skip


def _channels(rows: list[ChannelRow]) -> Iterator[Block]:
    if not rows:
        yield Say("The plan names no channels.", "warning")
        return
    columns = ("channel", "function", "devices", "switch or stick", "failsafe", "delay")
    legend = "Label codes in brackets; a switch or failsafe left open is to be written in."
    yield table("Channels", columns, map(_channel, rows), legend)
    about = (f"channel {row.name}: {row.about}" for row in rows if row.about)
    yield from noted("Remarks", about)


def _channel(row: ChannelRow) -> PlainRow:
    return (
        row.name, row.function or BLANK, _devices(row),
        row.switch or stick_of(row.function) or BLANK, row.failsafe or BLANK, row.delay or "none",
    )  # fmt: skip


def _devices(row: ChannelRow) -> str:
    pairs = zip(row.devices, row.codes, strict=True)
    return ", ".join(f"{device} [{code}]" if code else device for device, code in pairs) or "none"


def _settings(bench: Bench, rows: list[ChannelRow]) -> Iterator[Block]:
    if not rows:
        return
    columns = ("channel", "function", "servo direction", "neutral", "end points, low / high",
               "rates, low / high")  # fmt: skip
    cells = (
        (row.name, row.function or BLANK, *(getattr(row, w) or BLANK for w in SETTINGS))
        for row in rows
    )
    low, centre, high = (bench.rule("pulse", key) for key in ("low", "centre", "high"))
    about = f"Usual pulses: {low.number:g} us low, {centre.number:g} us at the centre,"
    about += f" {high.number:g} us high ({centre.origin})."
    yield table("Settings", columns, cells, about)


def _outputs(bench: Bench) -> Iterator[Block]:
    rows = outputs_of(bench)
    if rows:
        cells = ((row.name, row.function or BLANK, _devices(row), BLANK) for row in rows)
        yield table("Outputs of the autopilot, set up there",
                    ("output", "function", "devices", "direction"), cells)  # fmt: skip


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
    columns = ("at the transmitter", "what must come out", "seen")
    cells = ((turn.stick, turn.words, BLANK) for turn in turns)
    rules = ". ".join(map(capital, turning_rules(bench, ways_by_servo(bench))))
    yield table("Directions, seen from behind, by the trailing edge", columns, cells, f"{rules}.")


def _free(plan: Plan, rows: list[ChannelRow]) -> Iterator[Block]:
    free, sockets = free_of(plan, rows)
    yield Heading("Free")
    if not free:
        yield Say("No channel is free.")
        return
    there = f"; the receiver has a free socket for {spoken(sockets)}" if sockets else ""
    yield Say(f"Channel{'s' if len(free) > 1 else ''} {spoken(free)}{there}.")


def transmitter_csv(report: Report) -> str:
    """Return one record a channel."""
    return as_csv(COLUMNS, map(_record, rows_of(Bench(report.wiring))))


def _record(row: ChannelRow) -> CsvRecord:
    return {
        "channel": row.name,
        "function": row.function,
        "devices": row.devices,
        "labels": [code for code in row.codes if code],
        **{word: getattr(row, word) for word in (*SETTINGS, *FACTS)},
    }


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
    return as_json(body)


def _data(row: ChannelRow) -> dict[str, object]:
    pairs = zip(row.devices, row.codes, strict=True)
    devices = [{"part": device, "labels": code or None} for device, code in pairs]
    said = {word: getattr(row, word) or None for word in (*SETTINGS, *FACTS)}
    return {"channel": row.name, "function": row.function or None, "devices": devices, **said,
            "line": row.line}  # fmt: skip
