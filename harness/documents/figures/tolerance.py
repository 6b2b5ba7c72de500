"""How far figures spread from one aeroplane to the next, and how often limits are passed."""

from __future__ import annotations

from collections.abc import Container, Iterator
from dataclasses import replace
from typing import Any

from harness.documents.figures import figure, percent, plainly
from harness.documents.figures.sentences import title
from harness.electrics.margins import CONTINUOUS, SECONDS
from harness.electrics.rows import LoadRow
from harness.electrics.tolerance import Passing, Tolerance, ToleranceBand
from harness.paper.records import CsvRecord
from harness.paper.sheet import Cell, Figures, PlainRow, Table, amounts, grouped, headings, table

RowKey = tuple[str, str, str]
RECORD = (
    "kind", "part", "port", "label", "name", "quantity", "case", "nominal", "least",
    "five_percent", "median", "ninety_five_percent", "most", "draws",
)  # fmt: skip
BANDS = headings(
    "what", "of", "case", *amounts("as planned", "least", "5 %", "half", "95 %", "most")
)
PASSED = headings("what", "limit", *amounts("how often"), "mostly in")
WORDS = {"share": "share of what it bears", "volts": "volts", "amps": "amps"}
ABOUT = (
    "Half of the aeroplanes built to this plan lie below the middle figure, 5 % below the one "
    "before it, 95 % below the one after it. Each in the case that is worst for it."
)
CORNERS = (
    "Corners: everything at its worst and best ends at once, so least and most are what count; "
    "a limit passed in one corner can be passed."
)


def key_of(row: LoadRow) -> RowKey:
    """Return what tells a row from all others of a plan."""
    return (row.kind, row.part, row.port)


def with_tolerance(load: Figures, found: Tolerance, rows: Container[RowKey]) -> Figures:
    """Return a load document with the spread of its rows; the records of its CSV are the bands."""
    bands = [band for band in found.bands if key_of(band.row) in rows]
    passed = [one for one in found.passed if key_of(one.row) in rows]
    tables = (*_passed(found, passed), _bands(found, bands))
    sheet = replace(
        load.sheet,
        points=(*load.sheet.points, *_points(found, passed)),
        tables=(*load.sheet.tables, *tables),
    )
    data = {**load.data, "tolerance": _data(found, bands, rows)}
    return Figures(sheet, RECORD, tuple(map(_record, bands)), data)


def _points(found: Tolerance, passed: list[Passing]) -> Iterator[Cell]:
    made = f"{found.draws} aeroplanes" if found.kind != "corners" else f"{found.draws} corners"
    if found.draws < found.asked:
        yield Cell(f"{found.draws} draws were made, not {found.asked}: the plan is large")
    if not passed:
        yield Cell(f"tolerance, {made}: no limit is passed", "ok")
    for one in passed[:3]:
        yield Cell(
            f"tolerance, {made}: {title(one.row)} passes its limit ({_limit(one)}) in "
            f"{percent(one.share)} of them, mostly in {one.case}",
            "warning",
        )
    if found.unsolved:
        yield Cell(
            f"tolerance: {found.unsolved_draws} draws have no solution in some case", "danger"
        )


def _limit(one: Passing) -> str:
    what, number = one.margin.what, plainly(one.margin.limit.figure.number)
    if what in {CONTINUOUS, SECONDS}:
        word = "continuously" if what == CONTINUOUS else what
        return f"at most {number} A {word}"
    return f"{'at least' if what.startswith('lowest') else 'at most'} {number} V"


def _passed(found: Tolerance, passed: list[Passing]) -> Iterator[Table]:
    rows = [
        (
            title(one.row),
            _limit(one),
            Cell(f"{percent(one.share)} ({one.draws} of {found.draws})", "warning"),
            one.case,
        )
        for one in passed
    ]
    if rows:
        yield table("Limits passed, the most often passed first", PASSED, rows)


def _bands(found: Tolerance, bands: list[ToleranceBand]) -> Table:
    """What is loaded most comes first; each thing has one row a quantity."""

    def rank(band: ToleranceBand) -> tuple[float, str]:
        high = -band.most if band.quantity != "volts" else band.least
        return float(f"{high:.6g}"), band.row.name

    groups = []
    for quantity, word in WORDS.items():
        chosen = sorted((b for b in bands if b.quantity == quantity), key=rank)
        if chosen:
            groups.append((word, map(_band, chosen)))
    how = "at its corners" if found.kind == "corners" else f"{found.draws} draws, seed {found.seed}"
    about = CORNERS if found.kind == "corners" else ABOUT
    return grouped(f"Spread, {how}", BANDS, groups, about)


def _band(band: ToleranceBand) -> PlainRow:
    write = percent if band.quantity == "share" else figure
    numbers = (band.nominal, band.least, band.low, band.median, band.high, band.most)
    unit = {"share": "share", "volts": "V", "amps": "A"}[band.quantity]
    marked = (_marked(band, write(value), value) for value in numbers)
    return title(band.row), unit, band.case, *marked


def _marked(band: ToleranceBand, text: str, value: float) -> str:
    return f"OVER {text}" if band.quantity == "share" and value > 1 else text


def _record(band: ToleranceBand) -> CsvRecord:
    row = band.row
    return {
        "kind": row.kind,
        "part": row.part,
        "port": row.port,
        "label": row.label,
        "name": row.name,
        "quantity": band.quantity,
        "case": band.case,
        "nominal": band.nominal,
        "least": band.least,
        "five_percent": band.low,
        "median": band.median,
        "ninety_five_percent": band.high,
        "most": band.most,
        "draws": band.draws,
    }


def _data(found: Tolerance, bands: list[ToleranceBand], rows: Container[RowKey]) -> dict[str, Any]:
    return {
        "kind": found.kind,
        "asked_draws": found.asked,
        "draws": found.draws,
        "seed": found.seed,
        "corners": found.names,
        "varied": [
            {
                "group": s.group,
                "unit": s.unit,
                "name": s.name,
                "low": s.low,
                "high": s.high,
                "origin": s.origin,
            }
            for s in found.spans
        ],
        "bands": [_record(band) for band in bands],
        "limits": [
            {
                "kind": one.row.kind,
                "part": one.row.part,
                "port": one.row.port,
                "limit": one.margin.what,
                "number": one.margin.limit.figure.number,
                "origin": one.margin.limit.figure.origin,
                "draws": one.draws,
                "share": one.share,
                "case": one.case or None,
            }
            for one in found.limits
            if key_of(one.row) in rows
        ],
        "not_solved": [
            {"case": u.case, "blamed": u.element, "because": u.why, "draws": u.draws}
            for u in found.unsolved
        ],
    }
