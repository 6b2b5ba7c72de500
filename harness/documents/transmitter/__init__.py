"""The transmitter sheet: what to set up on each channel, what must come out, what the gear does."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from harness.base.near import capital, spoken
from harness.base.units import TIME, format_quantity
from harness.bench.directions import STEER, turning_rules
from harness.bench.gear import lines_of
from harness.bench.surfaces import ways_by_servo
from harness.bench.workbench import Bench
from harness.documents.cautions import faults_first
from harness.documents.index import title_of
from harness.documents.transmitter.rows import (
    ChannelRow,
    free_of,
    mixes_of,
    outputs_of,
    printed_at,
    rows_of,
    turns_of,
)
from harness.electrics.gear.power_up import NEVER, wakings
from harness.electrics.gear.timeline import TimeLine
from harness.facts.homes import against_order
from harness.facts.motion import turning
from harness.facts.signals import radio_order
from harness.paper.blocks import BLANK, Block, Chapter, Heading, Paper, Points, Say
from harness.paper.records import CsvRecord, as_csv, as_json
from harness.paper.sheet import Cell, PlainRow, noted, table
from harness.parts.part import of_kind
from harness.parts.retract import Retract
from harness.parts.sequencer import Sequencer
from harness.plan.plan import Plan
from harness.rules.run import Report
from harness.wiring.gear import DIRECTIONS

SETTINGS = ("direction", "neutral", "ends", "rates")
FACTS = ("switch", "failsafe", "delay", "about")
COLUMNS = ("channel", "function", "devices", "labels", *SETTINGS, *FACTS)


def transmitter_paper(report: Report) -> Paper:
    """Return the sheet to print."""
    plan = report.plan
    about = "What to set up on each channel. An empty line is for what is found while setting up."
    chapters = (transmitter_chapter(report),)
    return Paper(f"Transmitter sheet of {plan.aircraft}", about, plan.revision, chapters)


def transmitter_chapter(report: Report) -> Chapter:
    """Return the sheet as a chapter."""
    bench, plan = Bench(report.wiring), report.plan
    rows = rows_of(bench)
    blocks: list[Block] = [*faults_first(report), *_head(plan), *_channels(rows)]
    blocks += [*_settings(bench, rows), *_outputs(bench), *_mixes(plan), *_turns(bench)]
    blocks += [*gear_blocks(bench), *_free(plan, rows)]
    blocks += noted("Not told, for want of a fact in the plan", bench.unknown)
    return Chapter("transmitter", title_of("transmitter"), tuple(blocks))


def _head(plan: Plan) -> Iterator[Block]:
    order, count = plan.transmitter.order, plan.transmitter.channels
    apart = against_order(plan)
    facts = [f"channel order {order}"] if order and not apart else []
    facts += [f"{count} channels"] if count else []
    if facts:
        yield Say(f"Set the transmitter to {spoken(facts)}.")
    for channel, (sent, ours) in list(apart.items())[:1]:
        yield Say(
            f"Which order the radio is set to is open: {radio_order(plan)[0]} puts {sent} on"
            f" channel {channel}, the plan {ours}. Settle that first.",
            "warning",
        )
    yield Say(
        f"{capital(turning(plan).off)} until all of it is set and tested. The failsafe is set at"
        " binding, and again after every binding.",
        "caution",
    )


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
        row.label,
        row.function or BLANK,
        _devices(row),
        row.switch or row.stick or BLANK,
        row.failsafe or BLANK,
        row.delay or "none",
    )


def _devices(row: ChannelRow) -> str:
    pairs = zip(row.devices, row.codes, strict=True)
    return ", ".join(f"{device} [{code}]" if code else device for device, code in pairs) or "none"


def _settings(bench: Bench, rows: list[ChannelRow]) -> Iterator[Block]:
    if not rows:
        return
    columns = (
        "channel",
        "function",
        "servo direction",
        "neutral",
        "end points, low / high",
        "rates, low / high",
    )
    cells = (
        (row.label, row.function or BLANK, *(getattr(row, w) or BLANK for w in SETTINGS))
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
        yield table(
            "Outputs of the autopilot, set up there",
            ("output", "function", "devices", "direction"),
            cells,
        )


def _mixes(plan: Plan) -> Iterator[Block]:
    words = mixes_of(plan)
    yield Heading("Mixes") if words else Say("No mixes.")
    yield from [Points(tuple(map(Cell, words)))] if words else []


def _turns(bench: Bench) -> Iterator[Block]:
    turns = turns_of(bench)
    if not turns:
        return
    columns = ("at the transmitter", "what must come out", "seen")
    cells = ((turn.stick, turn.words, BLANK) for turn in turns)
    rules = ". ".join(map(capital, turning_rules(bench, ways_by_servo(bench))))
    wheel = "; of a wheel, where it steers" if STEER.words in {t.stick for t in turns} else ""
    title = f"Directions, seen from behind, by the trailing edge{wheel}"
    yield table(title, columns, cells, f"{rules}.")


def _free(plan: Plan, rows: list[ChannelRow]) -> Iterator[Block]:
    free, sockets = free_of(plan, rows)
    if not free:
        yield Say("No channel is free.")
        return
    named = [f"{n} ({said})" if (said := printed_at(plan, n)) else n for n in sockets]
    there = f"; the receiver has a free socket for {spoken(named)}" if sockets else ""
    yield Say(f"Free: channel{'s' if len(free) > 1 else ''} {spoken(free)}{there}.")


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
    return {
        "channel": row.name,
        "function": row.function or None,
        "devices": devices,
        **said,
        "line": row.line,
    }


def gear_blocks(bench: Bench) -> Iterator[Block]:
    """Yield a table of switch positions for every function with legs or a sequencer."""
    for function, line in lines_of(bench, DIRECTIONS).items():
        rows = ((f"switch {way}", BLANK, _events(line, way)) for way in DIRECTIONS)
        columns = ("position", "written on the switch", "what happens")
        yield table(
            f"Positions of {function}",
            columns,
            rows,
            "In seconds from the switch, as the time line has it.",
        )
        yield from noted(f"When the supply comes on ({function})", powered_lines(bench, line))
        yield from noted(f"Steering ({function})", _steered(bench, line))


def _events(line: TimeLine, way: str) -> str:
    """Say when each part has arrived, parts that arrive together at once."""
    found: dict[tuple[float, str], list[str]] = {}
    for event in line.run(way).events:
        if event.what.startswith("is ") and event.what != "is switched off":
            found.setdefault((event.time, event.what), []).append(event.part)
    return "; ".join(
        f"{format_quantity(time, TIME)} {', '.join(parts)} {what.removeprefix('is ')}"
        for (time, what), parts in sorted(found.items())
    )


def powered_lines(bench: Bench, line: TimeLine) -> Iterator[str]:
    """Say what each box, and each leg without one, does when the supply comes on."""
    said = {w.box.id if w.box else "": w.words for w in wakings(bench.wiring)}
    for box in of_kind(Sequencer, (bench.plan.parts[name] for name in line.boxes)):
        still = "holds until the switch is moved"
        if not box.power_up:
            still = "does something that the plan does not tell: try it on a stand"
        yield said.get(box.id, f"{box.id}: {still}")
    if "" in said and any(bench.plan.parts[name].is_leg for name in line.movers):
        yield f"{said['']}: {NEVER}"


def _steered(bench: Bench, line: TimeLine) -> Iterator[str]:
    for leg in of_kind(Retract, (bench.plan.parts[name] for name in line.movers)):
        if leg.steered_by:
            free = "has no lock stated: it must not turn while the gear is up"
            how = {
                True: "is locked by the leg itself while the gear is up: no mix for it",
                "transmitter": "is centred while the gear is up: set that up in the transmitter",
            }.get(leg.steering_lock, free)
            yield f"{leg.steered_by} on {leg.id}: {how}"


def gear_data(bench: Bench) -> list[dict[str, Any]]:
    """Return the same for JSON."""

    def told(line: TimeLine, way: str) -> dict[str, Any]:
        events = (
            {"time_seconds": e.time, "part": e.part, "what": e.what} for e in line.run(way).events
        )
        return {"switch": way, "events": list(events)}

    return [
        {"function": function, "positions": [told(line, way) for way in DIRECTIONS]}
        for function, line in lines_of(bench, DIRECTIONS).items()
    ]
