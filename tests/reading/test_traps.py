"""YAML's old traps are refused, or read as the person meant them.

YAML 1.1 (its type repository: bool, int, float, null, timestamp, merge) turns these plain
words into something else; the plan's reader keeps the text and lets the key decide.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from support import plan_of

from harness.base.span import Source
from harness.plan.load import parse_plan
from harness.reading import nodes
from harness.reading.problems import PlanError, Problem
from harness.reading.text import decode


def refused(text: str) -> list[Problem]:
    """Return the problems of a plan that cannot be read."""
    with pytest.raises(PlanError) as error:
        plan_of(text)
    return error.value.problems


WORDS = [
    "no", "NO", "off", "y", "n", "12:30", "1:30:15", "014", "0o14", "1e3", "0x10", "0b11", "1_000",
    ".inf", ".nan", "2026-10-02", "2026-10-02T10:00:00Z", "=", "<<", "true", "3.10", "+7", "190:20",
]  # fmt: skip


@pytest.mark.parametrize("word", WORDS)
def test_a_text_stays_as_written(word: str) -> None:
    """The words are ones that a YAML 1.1 loader changes, or a text that any loader keeps."""
    assert plan_of(f"plan: 1\naircraft: {word}\n").aircraft == word


def test_most_of_these_words_are_traps() -> None:
    """PyYAML's own YAML 1.1 loader does change them; that makes the test above worth having."""
    changed = [
        word
        for word in WORDS
        if word not in {"<<", "="} and yaml.safe_load(f"a: {word}")["a"] != word
    ]
    assert len(changed) >= 15


@pytest.mark.parametrize("word", ["no", "off", "12", "0x10", "2026-10-02", "1e3", "null-ish"])
def test_an_id_stays_as_written(word: str) -> None:
    assert list(plan_of(f"servos:\n  {word}: {{}}\n").parts) == [word]


@pytest.mark.parametrize("word", ["yes", "Yes", "YES", "on", "On", "true", "True", "TRUE", "'yes'"])
def test_every_yes_is_a_yes(word: str) -> None:
    part = plan_of(f"servos: {{a: {{reversed: {word}}}}}").parts["a"]
    assert part.reversed is True  # type: ignore[attr-defined]


@pytest.mark.parametrize("word", ["no", "No", "NO", "off", "Off", "false", "False", "'no'"])
def test_every_no_is_a_no(word: str) -> None:
    part = plan_of(f"servos: {{a: {{reversed: {word}}}}}").parts["a"]
    assert part.reversed is False  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("number", "hint"),
    [
        ("014", "write 14"), ("0x10", ""), ("1e1", ""), ("4.0", ""), ("12:30", ""), ("+4", ""),
        ("1_0", ""), ("four", ""), ("0o14", ""), ("٤", ""), ("-4", ""), ("", ""), ("~", ""),
        ("null", ""), ("yes", ""), ("[]", ""), ("9" * 30, ""),
    ],
)  # fmt: skip
def test_a_count_is_a_plain_whole_number(number: str, hint: str) -> None:
    (problem,) = refused(f"receivers: {{rx: {{sockets: {number} }}}}")
    assert problem.span.line == 3
    assert problem.help == hint


@pytest.mark.parametrize("empty", ["", "~", "null"])
@pytest.mark.parametrize("key", ["class", "shaft", "stall", "wire", "plug", "reversed", "length"])
def test_a_key_without_a_value_is_told(key: str, empty: str) -> None:
    (problem,) = refused(f"servos:\n  a:\n    {key}: {empty}\n")
    assert problem.span.line == 5
    assert problem.message.startswith("nothing stands here, wanted is ")


@pytest.mark.parametrize(
    ("text", "line", "column"),
    [
        ("plan: 1\naircraft: A\nplan: 1\n", 3, 1),
        ("plan: 1\naircraft: A\nservos: {}\npacks: {}\nservos: {}\n", 5, 1),
        ("plan: 1\naircraft: A\nservos: {a: {}, b: {}, a: {}}\n", 3, 24),
        ("plan: 1\naircraft: A\nservos:\n  a:\n    wire: 22 AWG\n    'wire': 22 AWG\n", 6, 5),
        ("plan: 1\naircraft: A\nservos: {a: {plug: {into: r.1, into: r.2}}}\n", 3, 32),
        ("plan: 1\naircraft: A\nchannels: {1: a, 2: b, '1': c}\n", 3, 24),
    ],
)
def test_duplicate_keys_at_every_level(text: str, line: int, column: int) -> None:
    (problem,) = refused(text)
    assert "stands here twice: first on line" in problem.message
    assert (problem.span.line, problem.span.column) == (line, column)


def test_one_id_in_two_groups() -> None:
    (problem,) = refused("servos: {a: {}}\nmotors:\n  a: {}\n")
    assert problem.message == 'the id "a" is used twice: first on line 3'
    assert (problem.span.line, problem.span.column) == (5, 3)


REFUSED = {
    "merge": ("servos: {a: &a {wire: 22 AWG}, b: {<<: *a}}", "merge keys (<<) are not read"),
    "tag": ("about: !!str no", "the tag tag:yaml.org,2002:str is not read"),
    "own tag": ("servos: !thing {}", "the tag !thing is not read"),
    "python tag": ("about: !!python/object/apply:os.system [ls]", "is not read"),
    "second document": ("about: x\n---\nplan: 1", "a second document starts here"),
    "list as key": ("servos: {[a, b]: {}}", "a list or braces cannot be a key"),
    "mapping as key": ("? {a: b}\n: c", "a list or braces cannot be a key"),
    "unknown alias": ("about: *nowhere", "not YAML: found undefined alias|no anchor &nowhere"),
    "self alias": ("servos: &s {a: *s}", "the alias *s stands inside itself"),
    "deep self alias": ("servos: &s {a: {plug: [*s]}}", "the alias *s stands inside itself"),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_yaml_can_and_a_plan_may_not(name: str) -> None:
    text, said = REFUSED[name]
    (problem,) = refused(text)
    assert any(part in problem.message for part in said.split("|"))
    assert problem.span.line >= 3


def test_a_quoted_merge_key_is_a_wrong_key_only() -> None:
    (problem,) = refused("servos: {b: {'<<': x}}")
    assert problem.message == '"<<" is not a key of a servo'


def test_plain_aliases_work() -> None:
    plan = plan_of("servos:\n  a: {wire: &w 22 AWG}\n  b: &b {wire: *w}\n  c: *b\n")
    assert {part.wire.text for part in plan.parts.values()} == {"22 AWG"}  # type: ignore[attr-defined]


def test_an_anchor_may_be_set_again() -> None:
    """YAML 1.2.2 section 6.9.2: an alias means the last anchor before it."""
    plan = plan_of("servos:\n  a: {about: &w one}\n  b: {about: &w two}\n  c: {about: *w}\n")
    assert [part.about for part in plan.parts.values()] == ["one", "two", "two"]


ENCODINGS = {
    "UTF-8 with a byte order mark": b"\xef\xbb\xbfplan: 1\naircraft: M\xc3\xb6we\n",
    "carriage returns and line feeds": b"plan: 1\r\naircraft: M\xc3\xb6we\r\n",
    "carriage returns": b"plan: 1\raircraft: M\xc3\xb6we\r",
    "no last line end": b"plan: 1\naircraft: M\xc3\xb6we",
    "a document start and end": b"%YAML 1.1\n---\nplan: 1\naircraft: M\xc3\xb6we\n...\n",
}


@pytest.mark.parametrize("name", ENCODINGS)
def test_encodings_that_are_read(name: str) -> None:
    source = Source("plan.yaml", decode("plan.yaml", ENCODINGS[name]))
    assert parse_plan(source).aircraft == "Möwe"


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"], ids=ascii)
def test_lines_are_counted_by_any_line_end(end: str) -> None:
    """YAML 1.2.2 section 5.4: line feed, carriage return, or both."""
    source = Source("plan.yaml", end.join(["plan: 1", "aircraft: A", "wibble: 3", ""]))
    with pytest.raises(PlanError) as error:
        parse_plan(source)
    (problem,) = error.value.problems
    assert source.line(problem.span.line) == "wibble: 3"


@pytest.mark.parametrize("name", ["höhenruder", "方向舵", "руль", "a-ö_1", "🛩", "é"])
def test_ids_in_any_script(name: str) -> None:
    plan = plan_of(f"receivers: {{rx: {{sockets: 1}}}}\nservos: {{{name}: {{plug: rx.1}}}}\n")
    assert plan.parts[name].joins()[0][1].into == "rx.1"


def test_columns_count_characters_not_bytes() -> None:
    """An editor jumps to the right column: SARIF 2.1.0 calls this unicodeCodePoints."""
    (problem,) = refused("servos: {höhe-🛩: {shaft: lft}}")
    assert (problem.span.column, problem.span.end_column) == (26, 29)


@pytest.mark.parametrize("name", ["a b", "a.b", "a:b", "'a,b'", "''", "'a\"b'", "'#a'", "'a\tb'"])
def test_names_that_are_refused(name: str) -> None:
    (problem,) = refused(f"servos: {{{name}: {{}}}}")
    assert "cannot be a name" in problem.message
    assert (problem.span.line, problem.span.column) == (3, 10)


def test_a_reader_without_permission_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """Root may read everything, so the refusal of the system is made here."""
    from harness.plan import load
    from harness.reading import text

    def forbidden(*_: object) -> int:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(text.os, "open", forbidden)
    with pytest.raises(PlanError, match="may not be read: permission denied"):
        load.load_plan("plan.yaml")


EXAMPLES = sorted((Path(__file__).parents[2] / "examples").rglob("*.yaml"))


def test_yaml_without_its_c_library_says_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    """PyYAML's own two parsers, over every example: the same nodes with the same spans."""
    sources = [Source(path.name, path.read_text("utf-8")) for path in EXAMPLES]
    fast = [told(source) for source in sources]
    monkeypatch.setattr(nodes, "_Parser", yaml.BaseLoader)
    slow = [told(source) for source in sources]
    assert len(fast) > 100
    assert fast == slow


def told(source: Source) -> str:
    """Return a tree of nodes as text, or where it is refused."""
    try:
        return repr(nodes.compose(source))
    except PlanError as error:
        return repr([problem.span.line for problem in error.problems])
