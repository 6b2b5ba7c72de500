"""One-line faults put into a source on purpose: cosmic-ray's operators, and three in its form.

What is no fault by construction is left out (`_is_idle`): annotations and aliases of types,
decorators, the keywords of `IDLE`, and `assert`, which here only tells mypy something. Strings and
docstrings no operator touches. Operators whose faults raise at once (`a + b` to `a >> b`) or whose
meaning hangs on the interpreter (`==` to `is`) are not on the list: they would raise the share.
"""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from difflib import SequenceMatcher
from pathlib import Path
from typing import Any

import parso
from cosmic_ray.ast import ast_nodes, get_ast
from cosmic_ray.mutating import mutate_code
from cosmic_ray.operators.operator import Operator
from cosmic_ray.plugins import get_operator

BINARY = (
    "Add_Sub Sub_Add Mul_Div Div_Mul FloorDiv_Div Mod_FloorDiv Pow_Mul BitOr_BitAnd BitAnd_BitOr"
)
COMPARISON = (
    "Eq_NotEq NotEq_Eq Is_IsNot IsNot_Is Lt_LtE Lt_Gt LtE_Lt LtE_GtE Gt_GtE Gt_Lt GtE_Gt GtE_LtE"
)
OTHERS = (
    "ReplaceUnaryOperator_USub_UAdd ReplaceUnaryOperator_Delete_Not"
    " ReplaceUnaryOperator_Delete_Invert AddNot ReplaceTrueWithFalse ReplaceFalseWithTrue"
    " ReplaceAndWithOr ReplaceOrWithAnd ReplaceBreakWithContinue ReplaceContinueWithBreak"
    " ExceptionReplacer NumberReplacer ZeroIterationForLoop"
)
IDLE = frozenset({"strict", "frozen", "slots", "repr", "kw_only", "maxsize", "lineterm"})
"""Arguments that change nothing a user sees: `zip(strict=True)` guards what already holds."""
EMPTY = frozenset({"0", "0.0", '""', "None", "()", "[]", "{}", "False"})
"""Last words of an `or` that are as good as False."""
SIDES = frozenset({"arith_expr", "term", "power", "expr", "and_expr", "xor_expr", "shift_expr"})
"""Nodes in which `+`, `*` and `|` stand between two values; elsewhere a `*` is no product."""
Place = tuple[tuple[int, int], tuple[int, int]]


def _parsed(text: str) -> Any:
    parse: Any = parso.parse  # it has no types
    return parse(text)


class _Swap(Operator):  # type: ignore[misc]  # cosmic-ray has no types
    """One word for its opposite."""

    words: dict[str, str] = {}  # noqa: RUF012
    called = False
    """Only where it is a function that is called."""

    def mutation_positions(self, node: Any) -> Iterator[Place]:
        call = node.get_next_sibling() if node.parent else None
        if getattr(node, "value", "") in self.words and (
            not self.called or (call is not None and call.get_code().startswith("("))
        ):
            yield node.start_pos, node.end_pos

    def mutate(self, node: Any, index: int) -> Any:
        node.value = self.words[node.value]
        return node

    @classmethod
    def examples(cls) -> tuple[()]:
        return ()


class Opposite(_Swap):
    """The least for the most, any for all."""

    words = {"min": "max", "max": "min", "any": "all", "all": "any"}  # noqa: RUF012
    called = True


class Membership(_Swap):
    """`in` for `not in`, and back."""

    def mutation_positions(self, node: Any) -> Iterator[Place]:
        if node.type == "comparison":
            for word in node.children[1::2]:
                if " ".join(word.get_code().split()) in ("in", "not in"):
                    yield word.start_pos, word.end_pos

    def mutate(self, node: Any, index: int) -> Any:
        at = [place[0] for place in self.mutation_positions(node)][index]
        nth = next(n for n, child in enumerate(node.children) if child.start_pos == at)
        other = " not in" if node.children[nth].get_code().split() == ["in"] else " in"
        node.children[nth] = _parsed(other)
        return node


class LostCondition(_Swap):
    """One condition of several is not asked: `a and b` to `a and True`."""

    def mutation_positions(self, node: Any) -> Iterator[Place]:
        if node.type in ("and_test", "or_test"):
            for child in node.children[::2]:
                if child.get_code().strip() not in EMPTY:
                    yield child.start_pos, child.end_pos
        elif node.type in ("comp_if", "sync_comp_if"):
            yield node.children[1].start_pos, node.children[1].end_pos

    def mutate(self, node: Any, index: int) -> Any:
        at = [place[0] for place in self.mutation_positions(node)][index]
        nth = next(n for n, child in enumerate(node.children) if child.start_pos == at)
        word = "False" if node.type == "or_test" else "True"
        before = node.children[nth].get_first_leaf().prefix
        node.children[nth] = _parsed(before + word)
        return node


OPERATORS: dict[str, Operator] = {
    **{
        name: get_operator(f"core/{name}")()
        for name in (
            *(f"ReplaceBinaryOperator_{pair}" for pair in BINARY.split()),
            *(f"ReplaceComparisonOperator_{pair}" for pair in COMPARISON.split()),
            *OTHERS.split(),
        )
    },
    **{kind.__name__: kind() for kind in (Opposite, Membership, LostCondition)},
}


@dataclass(frozen=True, order=True)
class Mutant:
    """The nth place where an operator has something to do in a file, and where that is.

    `start` is the first line of its statement; `run` is false where importing the module runs it.
    """

    file: str
    line: int
    operator: str
    nth: int
    start: int
    run: bool


@dataclass(frozen=True)
class Change:
    """What a mutant does to its file: the whole text, and the lines that are other."""

    text: str
    before: str
    after: str


def mutants_of(root: Path, file: str) -> list[Mutant]:
    """Every fault that the operators know to put into a file of the tree."""
    met: Counter[str] = Counter()
    found: list[Mutant] = []
    for node in ast_nodes(get_ast((root / file).read_text())):
        for name, operator in OPERATORS.items():
            for (line, _), _ in operator.mutation_positions(node):
                if not _is_idle(node, name):
                    found.append(Mutant(file, line, name, met[name], *_statement(node)))
                met[name] += 1
    return found


def change(root: Path, mutant: Mutant) -> Change | None:
    """What the mutant makes of its file; None where that is no Python, or the same."""
    old = (root / mutant.file).read_text()
    new = mutate_code(old, OPERATORS[mutant.operator], mutant.nth)
    try:
        if new is None or ast.dump(ast.parse(new)) == ast.dump(ast.parse(old)):
            return None
    except SyntaxError:
        return None
    left, right = old.splitlines(), new.splitlines()
    parts = [
        part
        for part in SequenceMatcher(None, left, right, False).get_opcodes()
        if part[0] != "equal"
    ]
    before = " ".join(line.strip() for _, a, b, _, _ in parts for line in left[a:b])
    after = " ".join(line.strip() for *_, a, b in parts for line in right[a:b])
    return Change(new, before, after)


def _statement(node: Any) -> tuple[int, bool]:
    first = node
    while not (
        first.type.endswith(("_stmt", "def"))
        or first.parent is None
        or first.parent.type == "suite"
    ):
        first = first.parent
    function = node.parent
    while function is not None and function.type not in ("funcdef", "lambdef"):
        function = function.parent
    body = function is not None and node.start_pos >= function.children[-1].start_pos
    return min(first.start_pos[0], node.start_pos[0]), body


def _is_idle(node: Any, operator: str) -> bool:
    if "BinaryOperator" in operator and node.parent.type not in SIDES:
        return True
    types = "_Bit" in operator
    child, above = None, node
    while above is not None and not (types and above.type == "funcdef"):
        if above.type in ("decorator", "assert_stmt", "import_from", "tfpdef"):
            return True
        if above.type == "argument" and above.children[0].get_code().strip() in IDLE:
            return True
        if above.type == "annassign" and child is above.children[1]:
            return True
        if child is not None and child is getattr(above, "annotation", None):
            return True
        child, above = above, above.parent
    return types and (above is None or child is above.annotation)
