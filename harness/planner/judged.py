"""An answer with what the rules say about it."""

from __future__ import annotations

from dataclasses import dataclass

from harness.planner.answer import Answer
from harness.planner.edits import Edit
from harness.planner.writing import Writing
from harness.rules.run import Report


@dataclass(frozen=True)
class JudgedAnswer:
    """An answer with its edits, the text they make, and what the rules say about it.

    `gap`: why the search was not finished; `doubt`: why the answer may not be the best.
    """

    answer: Answer
    edits: tuple[Edit, ...]
    text: str
    report: Report
    writing: Writing
    gap: str = ""
    doubt: str = ""
