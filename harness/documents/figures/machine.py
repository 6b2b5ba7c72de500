"""Figures for other programs: CSV (RFC 4180) and JSON, with full figures."""

from __future__ import annotations

import json
import math
from typing import Any

from harness.paper.forms import csv_text, harmless
from harness.paper.sheet import Figures


def as_csv(figures: Figures) -> str:
    """Return RFC 4180 text: a heading, one record a row, lines ending in CR LF."""
    records = ([_field(record[c]) for c in figures.columns] for record in figures.records)
    return csv_text(figures.columns, records)


def _field(value: str | float | bool | None) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, str):
        return harmless(value)
    known = number(value)
    return "" if known is None else repr(known)


def number(value: float | None) -> float | int | None:
    """Return a figure for machines: nine digits that count, down to 1e-9; None where unknown."""
    if value is None or not math.isfinite(value):
        return None
    if isinstance(value, int):
        return value
    return round(float(f"{float(value):.9g}"), 9) + 0.0


def as_json(figures: Figures) -> str:
    """Return one JSON document; what is not a number is null."""
    return json_text(figures.data)


def json_text(body: Any) -> str:
    """Return data as a JSON document; what is not a number is null."""
    return json.dumps(plain(body), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def plain(value: Any) -> Any:
    """Return data that JSON can hold."""
    if isinstance(value, dict):
        return {key: plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [plain(each) for each in value]
    if value is None or isinstance(value, bool | str):
        return value
    return number(value)
