"""From a path or standard input to a text that is safe to parse."""

from __future__ import annotations

import os
import sys
from errno import EBADF
from pathlib import Path

from harness.base.refusal import MOST_BYTES
from harness.base.span import START, Source, Span
from harness.reading.problems import PlanError, Problem

NEW = "`harness new` prints a plan to start from"


def read_source(path: str, what: str = "a plan", start: str = NEW) -> Source:
    """Read the text at `path`, or standard input for `-`. Raises PlanError.

    `what`: what the file should be; `start`: what helps where it is empty.
    """
    name = "<stdin>" if path == "-" else path
    try:
        data = _read_some(path)
    except OSError as error:
        raise _refused(name, _why(error, what)) from None
    if len(data) > MOST_BYTES:
        size = f"{MOST_BYTES // 1024 // 1024} MB"
        raise _refused(name, f"the file is larger than {size}: not {what}")
    return Source(name, decode(name, data, what, start))


def _read_some(path: str) -> bytes:
    """Read one byte more than a plan may have, never a whole huge file."""
    if path == "-":
        if sys.stdin is None:
            raise OSError(EBADF, "there is no standard input")
        return sys.stdin.buffer.read(MOST_BYTES + 1)
    if Path(path).is_dir():
        raise IsADirectoryError(path)
    with open(path, "rb", opener=_open) as file:
        return file.read(MOST_BYTES + 1)


def _open(path: str, flags: int) -> int:
    """Open without waiting for somebody to write: a pipe that nobody writes to is empty."""
    at_once = getattr(os, "O_NONBLOCK", 0)
    handle = os.open(path, flags | at_once)
    if at_once:
        os.set_blocking(handle, True)
    return handle


def _why(error: OSError, what: str) -> str:
    if isinstance(error, FileNotFoundError):
        return "there is no such file"
    if isinstance(error, IsADirectoryError):
        return f"this is a folder, not {what}"
    if isinstance(error, PermissionError):
        return "the file may not be read: permission denied"
    return f"the file cannot be read: {error.strerror or error}"


def decode(name: str, data: bytes, what: str = "a plan", start: str = NEW) -> str:
    """Return the UTF-8 text in `data`; binaries and other encodings are refused in one line."""
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        raise _refused(name, "the file is UTF-16; save it as UTF-8")
    if b"\0" in data:
        raise _refused(name, f"this is a binary file, not {what} (it holds zero bytes)")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        column = error.start - data.rfind(b"\n", 0, error.start)
        message = f"the file is not UTF-8 (byte 0x{data[error.start]:02x}); save it as UTF-8"
        raise _refused(name, message, Span.at(line, column)) from None
    if not text.strip():
        raise _refused(name, "the file is empty", help=start)
    return text


def _refused(name: str, message: str, span: Span = START, help: str = "") -> PlanError:
    return PlanError(Source(name, ""), [Problem(message, span, help)])
