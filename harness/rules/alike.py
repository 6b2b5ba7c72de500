"""Findings that say one thing of parts made alike, told once with all their names.

Left and right, and parts that repeat one another with `like:` or `mirrored:`, have the same fault
as a rule: it is one thing to read and one to do. Only names, sockets and plan lines may differ
between two texts that are told as one; a figure that differs makes two findings of them.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterable

from harness.base.data import replace
from harness.base.finding import Finding
from harness.plan.plan import Plan

_NAME = re.compile(r"[^\W_][\w-]*(?:\.[\w-]+)*")
_WORD = re.compile(rf'`[^`]*`|"[^"]*"|{_NAME.pattern}|.', re.DOTALL)
_SIDE = re.compile(r"(?<![^\W_])(left|right|port|starboard)(?![^\W_])")
_SIDE_OF_ID = re.compile(r"(?<![^\W_])(left|right|port|starboard|l|r)(?![^\W_])", re.IGNORECASE)
_LINE = re.compile(r"\blines? \d+")


def told_once(plan: Plan, findings: Iterable[Finding]) -> list[Finding]:
    """Return the findings in their order, those that are alike as one that names all of them."""
    groups: dict[tuple[object, ...], list[list[Finding]]] = {}
    order: list[list[Finding]] = []
    for finding in findings:
        key = _sense(plan, finding)
        told = groups.setdefault(key, [])
        others = (g for g in told if finding.parts[:1] not in [f.parts[:1] for f in g])
        if (group := next(others, None)) is None:
            order.append(group := [])
            told.append(group)
        group.append(finding)
    return [_as_one(group) for group in order]


def _sense(plan: Plan, finding: Finding) -> tuple[object, ...]:
    """What a finding says, without the names that differ between parts made alike.

    In what to do only its own parts count as alike: where else a plug goes must be twins' place.
    """
    own = finding.parts
    first = family(plan, own[0]) if own else ""
    said = _neutral(plan, finding.message, plan.parts)
    return finding.rule, finding.severity, first, said, _neutral(plan, finding.help, own)


def family(plan: Plan, part: str) -> str:
    """Return the name that left and right have together, and all that repeat one part."""
    root = list(plan.likes[part].bases)[-1] if part in plan.likes else part
    return _SIDE_OF_ID.sub("side", root)


def _neutral(plan: Plan, text: str, alike: Container[str]) -> tuple[str, ...]:
    """Return the words of a text without sockets and sides, those of `alike` by their family."""

    def name(found: re.Match[str]) -> str:
        part, dot, _ = found[0].partition(".")
        if part in alike:
            return family(plan, part) + dot
        return _SIDE_OF_ID.sub("side", part) + dot if part in plan.parts else _side(found[0])

    return tuple(_NAME.sub(name, word) for word in _WORD.findall(_LINE.sub("line 0", text)))


def _side(text: str) -> str:
    return _SIDE.sub("side", text)


def _as_one(group: list[Finding]) -> Finding:
    """Tell a group as its first, with what the others have in place of each of its words."""
    if len(group) == 1:
        return group[0]
    first, *others = group
    names = [part for f in group for part in (*f.parts[:1], f"line {f.span.line}")[:1]]
    message = _with_others(names, [f.message for f in group])
    if message == first.message:
        message += f" (and {', '.join(names[1:])})"
    lines = sorted({f.span.line for f in others} - {first.span.line})
    where = f" (also on line {', '.join(map(str, lines))})" if lines else ""
    parts = tuple(dict.fromkeys(part for f in group for part in f.parts))
    help = _with_others(names, [f.help for f in group])
    return replace(first, message=message + where, help=help, parts=parts)


def _with_others(names: list[str], texts: list[str]) -> str:
    """Return the first text; where others have another word, it follows the first time.

    Of a socket, or of what is to be written, it is said whose it is: none goes into both.
    """
    told: set[tuple[str, ...]] = set()
    found = []
    for words in zip(*(_WORD.findall(text) for text in texts), strict=True):
        whose = {w: [n for n, own in zip(names, words, strict=True) if own == w] for w in words}
        others = [word for word in dict.fromkeys(words) if word != words[0] and words not in told]
        if any(sign in words[0] for sign in ".`"):
            also = ", ".join(f"{', '.join(whose[word])}: {word}" for word in others)
        else:
            also = "and " * bool(others) + ", ".join(word.strip('"') for word in others)
        found.append(f"{words[0]} ({also})" if also else words[0])
        told.add(words)
    return "".join(found)
