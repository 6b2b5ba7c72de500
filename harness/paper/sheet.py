"""A page of figures or a list as plain data: sentences, tables, notes. All forms are made of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from harness.paper.records import CsvRecord


@dataclass(frozen=True, slots=True)
class Cell:
    """A short text, its lines parted by line ends, and its tone.

    `tone`: "", "danger", "warning", "ok" or "faint". `side`: "left" or "right", where its row is
    about one side of the aeroplane, which has a colour.
    """

    text: str
    tone: str = ""
    side: str = ""


@dataclass(frozen=True, slots=True)
class Column:
    """A heading, and whether figures stand below it."""

    title: str
    figures: bool = False


Row = tuple[Cell, ...]


@dataclass(frozen=True, slots=True)
class RowGroup:
    """Rows that belong together, under a heading of their own unless it is empty."""

    title: str
    rows: tuple[Row, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table; its first column says what a row is about."""

    title: str
    columns: tuple[Column, ...]
    groups: tuple[RowGroup, ...]
    about: str = ""


@dataclass(frozen=True, slots=True)
class Note:
    """A heading and what is listed under it, after the tables."""

    title: str
    lines: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FigureSheet:
    """A page for people. `points`: the sentences it begins with, what matters first."""

    title: str
    revision: str
    points: tuple[Cell, ...]
    tables: tuple[Table, ...]
    notes: tuple[Note, ...] = ()
    foot: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Figures:
    """One document in all its forms.

    `sheet` for people; `columns` and `records` for a CSV; `data` for JSON, with units in the
    names of its keys.
    """

    sheet: FigureSheet
    columns: tuple[str, ...]
    records: tuple[CsvRecord, ...]
    data: Mapping[str, Any] = field(default_factory=dict)
