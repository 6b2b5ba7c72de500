"""What every document has in common as text, as CSV and as an HTML page."""

from __future__ import annotations

import csv
import io
import textwrap
from collections.abc import Iterable
from html import escape


def wrapped(text: str, width: int, indent: str = "") -> list[str]:
    """Break a text into lines, never inside a word; further lines begin with `indent`."""
    return textwrap.wrap(
        text, width, subsequent_indent=indent, break_long_words=False, break_on_hyphens=False
    )


def csv_text(columns: Iterable[str], records: Iterable[Iterable[str]]) -> str:
    """Return RFC 4180 text: a heading, one record a line, lines ending in CR LF."""
    out = io.StringIO(newline="")
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(columns)
    writer.writerows(records)
    return out.getvalue()


def harmless(text: str) -> str:
    """A leading sign of a formula would be computed by a spreadsheet (CWE-1236)."""
    return f"'{text}" if text[:1] in {"=", "+", "-", "@", "\t", "\r"} else text


def html_page(title: str, style: str, body: str) -> str:
    """Return one page that needs nothing else; `title` is plain text, `body` is HTML."""
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(title)}</title>\n<style>{style}</style>\n</head>\n"
        f"<body>\n{body}\n</body>\n</html>\n"
    )
