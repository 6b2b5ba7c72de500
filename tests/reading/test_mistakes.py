"""The corpus of first-hour mistakes: each gets the message that was written down for it before."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from harness.base.finding import Severity
from harness.base.span import Source
from harness.cli.plans import by_label_codes
from harness.plan.load import parse_plan
from harness.reading.problems import PlanError
from harness.rules.run import check

HEAD = "plan: 1\naircraft: Test\nreceivers: {rx: {sockets: 8}}\n"
JARGON = re.compile(r"\b(mapping|scalar|sequence|flow|block|token|yaml|node|parse[dr]?)\b", re.I)
Said = tuple[int, int, str, str]


@dataclass
class Mistake:
    """One block. `said`: line, column, message and help; `read`: part.field and value."""

    text: str
    said: list[Said] = field(default_factory=list)
    read: list[tuple[str, str]] = field(default_factory=list)


def corpus() -> Iterator[tuple[str, Mistake]]:
    whole = (Path(__file__).parent / "mistakes.txt").read_text("utf-8")
    for block in whole.split("\n## ")[1:]:
        name, _, body = block.partition("\n")
        lines = body.rstrip("\n").split("\n")
        plan = [line for line in lines if line[:2] not in {"> ", "= "} and line[:4] != "do: "]
        yield name, _mistake("\n".join(plan).rstrip("\n") + "\n", lines)


def _mistake(text: str, lines: list[str]) -> Mistake:
    text = re.sub(r"\\(t|u[0-9a-f]{4})", lambda m: m[0].encode().decode("unicode_escape"), text)
    text = text if text.startswith(("plan", "[[-", "[[a]]irc")) else HEAD + text
    start = text.find("[[")
    line, column = text.count("\n", 0, start) + 1, start - text.rfind("\n", 0, start)
    end = text.find("]]", start)
    while text[end + 2 : end + 3] == "]":
        end += 1
    plain = text if start < 0 else text[:start] + text[start + 2 : end] + text[end + 2 :]
    found = Mistake(plain)
    for row in lines:
        if row.startswith("> "):
            found.said.append((line, column, row[2:], ""))
        elif row.startswith("do: "):
            found.said[-1] = (*found.said[-1][:3], row[4:])
        elif row.startswith("= "):
            what, _, value = row[2:].partition(" ")
            found.read.append((what, value))
    return found


CORPUS = dict(corpus())


def said_of(text: str) -> list[Said]:
    """Everything the program says is wrong with a plan: not understood, or an error of a socket."""
    try:
        plan = parse_plan(Source("plan.yaml", text))
    except PlanError as error:
        return [
            (p.span.line, p.span.column, p.message, p.help) for p in by_label_codes(error).problems
        ]
    return [(f.span.line, f.span.column, f.message, f.help) for f in check(plan).findings
            if f.severity >= Severity.ERROR]  # fmt: skip


def test_there_are_enough_of_them() -> None:
    assert len(CORPUS) >= 60
    assert all(mistake.said or mistake.read for mistake in CORPUS.values())


@pytest.mark.parametrize("name", CORPUS)
def test_the_message_is_the_one_written_down(name: str) -> None:
    mistake = CORPUS[name]
    if mistake.said:
        assert said_of(mistake.text) == mistake.said
    else:
        plan = parse_plan(Source("plan.yaml", mistake.text))
        for what, value in mistake.read:
            part, _, key = what.partition(".")
            here = getattr(plan.parts[part], key)
            assert str(getattr(here, "into", here)) == value


@pytest.mark.parametrize("name", CORPUS)
def test_a_message_has_no_word_of_a_parser(name: str) -> None:
    for *_, message, help_ in CORPUS[name].said:
        assert not JARGON.search(message) and not JARGON.search(help_)


CURE = re.compile(r'^(?:write|did you mean) (?:"([^"]+)"|([\w-]+))(?:[?:]|$| or )')


def _cured(name: str) -> str:
    """Return a text with its advice followed to the letter, "" where that is more than a word."""
    mistake = CORPUS[name]
    if len(mistake.said) != 1 or not (said := CURE.match(mistake.said[0][3])):
        return ""
    line, column = mistake.said[0][:2]
    rows = mistake.text.split("\n")
    row = rows[line - 1]
    wrong = re.match(r'"([^"]+)"', mistake.said[0][2])
    if wrong is None or not row.startswith(wrong[1], column - 1):
        return ""
    rows[line - 1] = row[: column - 1] + (said[1] or said[2]) + row[column - 1 + len(wrong[1]) :]
    return "\n".join(rows)


FOLLOWED = [name for name in CORPUS if _cured(name) and not name.startswith(("two ", "the dash"))]
"""Neither those with a second mistake in them, nor one whose next lines move as well."""


def test_many_cures_are_followed() -> None:
    assert len(FOLLOWED) >= 25


@pytest.mark.parametrize("name", FOLLOWED)
def test_advice_followed_to_the_letter_is_understood(name: str) -> None:
    parse_plan(Source("plan.yaml", _cured(name)))
