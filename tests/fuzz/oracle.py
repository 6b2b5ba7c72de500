"""What must hold of a command, whatever plan it is given: run in this process, and judged."""

from __future__ import annotations

import atexit
import contextlib
import csv
import gc
import io
import json
import os
import re
import shutil
import signal
import sys
import traceback
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from unittest import mock
from xml.etree import ElementTree

import yaml

MOST_SECONDS = 20
"""Processor time of one command on one plan; it is looked at only to find what hangs."""
HEAD = re.compile(r"([^\n:]+):(\d+):(\d+): not understood: \S")
LINE = re.compile(r"harness: \S.*|[^\n:]+: \d+ more places are not understood|no stock named: .*")
NONSENSE = re.compile(r"(?<![\w.-])[-+]?(?:nan|NaN|inf|Infinity)(?![\w-])")
"""What no figure may be printed as."""
WITH_FINDINGS = {"check", "steps", "assign", "compare", "record"}
"""The commands that document exit code 1."""


class Hang(BaseException):
    """A command took more processor time than any may; no `except Exception` keeps it."""


@dataclass
class Outcome:
    """What a command did: exit code, what it said and wrote, and the traceback it ended with."""

    words: tuple[str, ...]
    code: int = -1
    out: bytes = b""
    err: str = ""
    trace: str = ""
    files: dict[str, bytes] = field(default_factory=dict)

    @property
    def raised(self) -> str:
        """The error in one line, and where in the program it was raised."""
        lines = self.trace.strip().splitlines()
        places = [line.strip() for line in lines if re.match(r'\s+File ".*harness/', line)]
        where = re.sub(r'File ".*/(harness/[^"]*)"', r"\1", places[-1]) if places else ""
        return f"{re.sub('[0-9]+', 'N', lines[-1])[:100]} | {where}"


def _stop(*_: object) -> None:
    raise Hang(f"more than {MOST_SECONDS} s of processor time")


@contextlib.contextmanager
def watched() -> Iterator[None]:
    """Raise Hang where the block takes too much processor time."""
    before = signal.signal(signal.SIGPROF, _stop)
    signal.setitimer(signal.ITIMER_PROF, MOST_SECONDS)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def run(folder: Path, *words: str) -> Outcome:
    """Run the command line in this process, in a folder; what it writes into `out/` is taken."""
    from harness.cli.lean import Lean
    from harness.cli.main import main

    done, here, thresholds = Outcome(words), Path.cwd(), gc.get_threshold()
    streams = [io.TextIOWrapper(io.BytesIO(), "utf-8", newline="") for _ in range(2)]
    os.chdir(folder)
    try:
        with (
            mock.patch.object(sys, "argv", ["harness", *words]),
            contextlib.redirect_stdout(streams[0]),
            contextlib.redirect_stderr(streams[1]),
            watched(),
        ):
            main()
    except SystemExit as end:
        done.code = int(end.code or 0)
    except (Exception, Hang):
        done.trace = traceback.format_exc()
    finally:
        os.chdir(here)
        gc.set_threshold(*thresholds)
        atexit.unregister(gc.freeze)
        sys.meta_path[:] = [one for one in sys.meta_path if one is not Lean]
    done.out, err = map(_written, streams)
    done.err = err.decode("utf-8")
    done.files = {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted((folder / "out").rglob("*"))
        if path.is_file()
    }
    shutil.rmtree(folder / "out", ignore_errors=True)
    return done


def _written(stream: io.TextIOWrapper) -> bytes:
    stream.flush()
    raw = stream.buffer
    assert isinstance(raw, io.BytesIO)
    return raw.getvalue()


def faults(done: Outcome, plan: bytes) -> Iterator[str]:
    """Yield what is wrong with what a command did on a plan, each in a line of its own."""
    if done.trace:
        yield done.raised
        return
    command = done.words[0]
    if done.code not in ({0, 1, 2} if command in WITH_FINDINGS else {0, 2}):
        yield f"{command} ends with {done.code}"
    if done.code == 2:
        yield from refusal_faults(done, plan)
        return
    yield from (f"stderr: {line}" for line in done.err.splitlines() if "Warning" in line)
    words = plan.decode("utf-8", "replace")
    for name, content in (done.files or {"": done.out}).items():
        to = Path(name).suffix[1:] or format_of(done.words)
        if to in PARSERS:
            try:
                PARSERS[to](content)
            except Exception as error:
                yield f"{command}: {to} cannot be parsed: {type(error).__name__}: {error}"
        if to not in BINARY and not NONSENSE.search(words):
            for found in NONSENSE.finditer(content.decode("utf-8")):
                yield f"{command}: {found[0]} is printed in {to}"
                break


def format_of(words: tuple[str, ...]) -> str:
    """The format that the words of a command ask for."""
    flags = [n for n, word in enumerate(words) if word in {"--to", "--format"}]
    return words[flags[0] + 1] if flags else "text"


def refusal_faults(done: Outcome, plan: bytes) -> Iterator[str]:
    """Yield what is wrong with a refusal: one clear line first, inside the file; nothing done."""
    if done.files:
        yield f"{done.words[0]} was refused and wrote {', '.join(done.files)}"
    if done.out and format_of(done.words) not in {"json", "sarif"}:
        yield f"{done.words[0]} was refused and printed {done.out[:60]!r}"
    lines = done.err.splitlines()
    heads = [line for line in lines if HEAD.match(line) or LINE.fullmatch(line)]
    if not heads and format_of(done.words) not in {"json", "sarif"}:
        yield f"{done.words[0]} was refused without a clear line: {done.err[:200]!r}"
    if any(len(line) > 400 for line in lines):
        yield f"{done.words[0]} has a line of {max(map(len, lines))} signs"
    text = plan.decode("utf-8", "replace").removeprefix("\ufeff")
    rows = re.split(r"\r\n|[\r\n]", text)
    for line in heads:
        if (head := HEAD.match(line)) and "results" not in head[1]:
            row, column = int(head[2]), int(head[3])
            width = len(rows[row - 1]) if 0 < row <= len(rows) else 0
            if not (0 < row <= len(rows) and 0 < column <= width + 1):
                yield f"a position outside the file: {re.sub('[0-9]+', 'N', line)[:120]}"


class _Tags(HTMLParser):
    """Raises ValueError where a tag is closed that was not open last."""

    VOID = frozenset(
        [
            "area",
            "base",
            "br",
            "col",
            "embed",
            "hr",
            "img",
            "input",
            "link",
            "meta",
            "source",
            "track",
            "wbr",
        ]
    )

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.open += [] if tag in self.VOID else [tag]

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            raise ValueError(f"</{tag}> closes nothing")


def _html(content: bytes) -> None:
    tags = _Tags()
    tags.feed(content.decode("utf-8"))
    if tags.open:
        raise ValueError(f"<{tags.open[-1]}> is never closed")


def _csv(content: bytes) -> None:
    rows = list(csv.reader(io.StringIO(content.decode("utf-8"), newline=""), strict=True))
    if len({len(row) for row in rows if row}) > 1:
        raise ValueError("rows of unlike lengths")


def _json(content: bytes) -> None:
    def refuse(word: str) -> None:
        raise ValueError(word)

    json.loads(content, parse_constant=refuse)


def _pdf(content: bytes) -> None:
    import pypdfium2

    if not len(pypdfium2.PdfDocument(content)):
        raise ValueError("no page")


def _plan(content: bytes) -> None:
    from harness.base.span import Source
    from harness.plan.load import parse_plan

    parse_plan(Source("plan.yaml", content.decode("utf-8")))


def _text(content: bytes) -> None:
    if not content.strip():
        raise ValueError("nothing is said")


def _begins(*heads: bytes) -> Callable[[bytes], None]:
    def parse(content: bytes) -> None:
        if not content.startswith(heads):
            raise ValueError(f"begins with {content[:20]!r}")

    return parse


PARSERS: dict[str, Callable[[bytes], object]] = {
    "json": _json, "sarif": _json, "csv": _csv, "html": _html, "pdf": _pdf, "plan": _plan,
    "svg": ElementTree.fromstring, "yaml": yaml.safe_load,
    "text": _text, "table": _text, "markdown": _text, "png": _begins(b"\x89PNG"),
    "dot": _begins(b"digraph", b"graph", b"strict"), "spice": _text,
}  # fmt: skip
BINARY = {"pdf", "png"}
