"""A rule's page, its mended example made from the edit that the docstring gives.

Under "The same, mended" stands only what changes, as a piece of the plan that is laid over the
failing example:

- `esc: {rated: 40 A}` takes the place of the `esc` that is there, with all that stands below it;
- a key that is new comes after the one above it in the edit, without one before the one below
  it, and alone after all its siblings;
- a bare `motors:` with nothing below it stays as it is, and so says where a new key comes;
- `leads: taken out` takes that key out, with all that stands below it;
- a list, or braces over several lines, is written whole.
"""

from __future__ import annotations

import re

HEADINGS = ("What it looks for", "Why it matters", "An example that fails", "The same, mended",
            "Where it comes from")  # fmt: skip
"""The headings every rule's page has, in this order."""

_KEY = re.compile(r' *("?\w[\w-]*"?):(?: |$)')
_Block = tuple[str, list[str]]
"""A key, and its line with the lines below it; without a key in a list or in braces."""


def section(page: str, heading: str) -> list[str]:
    """Return the lines under a heading of a page, without the empty line after them."""
    below = page.split("\n" + heading + "\n", 1)[1].split("\n")
    stop = next((n for n, line in enumerate(below) if line in HEADINGS), len(below) + 1)
    return below[: stop - 1]


def whole_page(written: str) -> str:
    """Return a page with its mended example in full, made from the edit that is written there."""
    fails, mends = HEADINGS[2], HEADINGS[3]
    edit = section(written, mends)
    whole = mended(section(written, fails), edit)
    before, after = written.split(f"\n{mends}\n")
    return "\n".join([before, mends, *whole]) + after.removeprefix("\n".join(edit))


def mended(failing: list[str], edit: list[str]) -> list[str]:
    """Return the lines of a piece of a plan with the lines of an edit laid over them."""
    blocks, laid = _blocks(failing), _blocks(edit)
    if not all(key for key, _ in blocks + laid):
        return edit
    there = [key for key, _ in blocks]
    place = min((there.index(key) for key, _ in laid if key in there), default=len(there))
    for key, lines in laid:
        if key in there:
            place = there.index(key)
            blocks[place] = (key, _laid_over(blocks[place][1], lines))
        else:
            blocks.insert(place, (key, lines))
            there.insert(place, key)
        place += 1
    return [line for _, lines in blocks for line in lines]


def _blocks(lines: list[str]) -> list[_Block]:
    """Return the blocks of some lines: each begins at the indentation of the first line."""
    deep = min((len(line) - len(line.lstrip()) for line in lines), default=0)
    blocks: list[_Block] = []
    for line in lines:
        if line[deep:].startswith(" "):
            blocks[-1][1].append(line)
        else:
            key = _KEY.match(line)
            blocks.append((key[1] if key else "", [line]))
    return blocks


def _laid_over(old: list[str], new: list[str]) -> list[str]:
    head, *below = new
    if head.endswith(": taken out"):
        return []
    if head.endswith(":") and not below:
        return old
    return [head, *mended(old[1:], below)] if old[:1] == [head] and below else new
