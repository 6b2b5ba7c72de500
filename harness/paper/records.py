"""Records for other programs, of any document: CSV (RFC 4180) and JSON, numbers in full."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

CsvRecord = Mapping[str, Any]
"""One line of a CSV: text, a number, yes or no, a list of words, or None for nothing."""


def as_csv(columns: Sequence[str], records: Iterable[CsvRecord]) -> str:
    """Return RFC 4180 text: a heading, one record a line, lines ending in CR LF."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows([_field(record[column]) for column in columns] for record in records)
    return out.getvalue()


def _field(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list | tuple):
        return _harmless(" ".join(value))
    if isinstance(value, str):
        return _harmless(value)
    known = number(value)
    return "" if known is None else repr(known)


def _harmless(text: str) -> str:
    """A leading sign of a formula would be computed by a spreadsheet (CWE-1236)."""
    return f"'{text}" if text[:1] in {"=", "+", "-", "@", "\t", "\r"} else text


def number(value: float | None) -> float | int | None:
    """Return a figure for machines: seven digits that count, down to 1e-9; None where unknown."""
    if value is None or not math.isfinite(value):
        return None
    if isinstance(value, int):
        return value
    return round(float(f"{float(value):.7g}"), 9) + 0.0


def as_json(body: Any) -> str:
    """Return data as one JSON document; what is not a number is null."""
    return json.dumps(_plain(body), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _plain(value: Any) -> Any:
    """Return what JSON can hold; an array is a list."""
    if isinstance(value, Mapping):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(each) for each in value]
    if value is None or isinstance(value, bool | str):
        return value
    return _plain(value.tolist()) if hasattr(value, "tolist") else number(value)
