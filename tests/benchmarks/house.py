"""Measures the house: how much there is, where it stands, and what has no home of its own.

`python tests/benchmarks/house.py` prints the figures beside their aims; `tests/test_house.py` holds
those that must not get worse.
"""

from __future__ import annotations

import ast
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
HARNESS = ROOT / "harness"
PARTS = HARNESS / "parts"
LONG = 30
"""Lines of a function from which on it is called long."""


@dataclass(frozen=True)
class Module:
    """One source file: its dotted name, its lines, its tree."""

    name: str
    path: Path
    lines: tuple[str, ...]
    tree: ast.Module

    @property
    def room(self) -> str:
        """The folder of the house it stands in, "" for the front door."""
        steps = self.path.relative_to(HARNESS).parts
        return steps[0] if len(steps) > 1 else ""

    @property
    def code(self) -> int:
        """Lines that are neither blank, comment nor docstring."""
        words = {n for node in ast.walk(self.tree) if _is_words(node) for n in _span(node)}
        numbered = enumerate(self.lines, 1)
        return sum(
            bool(line.strip()) and not line.lstrip().startswith("#") and n not in words
            for n, line in numbered
        )

    @property
    def statements(self) -> int:
        """Statements but docstrings: what there is, in whatever lines it is set."""
        return sum(isinstance(n, ast.stmt) and not _is_words(n) for n in ast.walk(self.tree))


def _is_words(node: ast.AST) -> bool:
    value = node.value if isinstance(node, ast.Expr) else None
    return isinstance(value, ast.Constant) and isinstance(value.value, str)


def _span(node: ast.AST) -> range:
    return range(node.lineno, (node.end_lineno or node.lineno) + 1)  # type: ignore[attr-defined]


def modules() -> list[Module]:
    """Return every module of the package that holds anything, by name."""
    found = []
    for path in sorted(HARNESS.rglob("*.py")):
        text = path.read_text("utf-8")
        steps = path.relative_to(ROOT).with_suffix("").parts
        name = ".".join(steps).removesuffix(".__init__")
        found.append(Module(name, path, tuple(text.splitlines()), ast.parse(text)))
    return found


def kinds_of_part() -> set[str]:
    """Return the names of the classes that are kinds of part, and of the class of them all."""
    found = {"Part"}
    for path in sorted(PARTS.glob("*.py")) * 2:  # twice: a kind may stand on another kind
        for node in ast.parse(path.read_text("utf-8")).body:
            bases = {b.id for b in getattr(node, "bases", ()) if isinstance(b, ast.Name)}
            if isinstance(node, ast.ClassDef) and bases & found:
                found.add(node.name)
    return found


def tests_of_kind(module: Module, kinds: set[str]) -> int:
    """Return how many calls of isinstance in a module ask for a kind of part.

    A name that stands for several kinds, assigned in the module, counts as the kinds do.
    """
    names = set(kinds)
    for node in ast.walk(module.tree):
        if isinstance(node, ast.ImportFrom):
            names |= {a.asname for a in node.names if a.asname and a.name in kinds
                      and (node.module or "").startswith("harness.parts")}  # fmt: skip
        if isinstance(node, ast.Assign | ast.AnnAssign) and node.value is not None:
            held = {n.id for n in ast.walk(node.value) if isinstance(n, ast.Name)}
            targets = node.targets if isinstance(node, ast.Assign) else [node.target]
            if isinstance(node.value, ast.Tuple) and held & kinds:
                names |= {t.id for t in targets if isinstance(t, ast.Name)}
    calls = (n for n in ast.walk(module.tree) if isinstance(n, ast.Call) and len(n.args) == 2)
    asked = (c.args[1] for c in calls if isinstance(c.func, ast.Name) and c.func.id == "isinstance")
    return sum(any(isinstance(n, ast.Name) and n.id in names for n in ast.walk(a)) for a in asked)


def kind_tests(every: list[Module]) -> Counter[str]:
    """Return how many tests for a kind of part each room makes, `parts` itself left out."""
    kinds = kinds_of_part()
    found: Counter[str] = Counter()
    for module in every:
        if module.room != "parts":
            found[module.room] += tests_of_kind(module, kinds)
    return +found


def long_functions(every: list[Module]) -> list[str]:
    """Return the functions of more than LONG lines, docstring and signature included."""
    kinds = (ast.FunctionDef, ast.AsyncFunctionDef)
    return [
        f"{module.name}.{node.name} ({len(_span(node))})"
        for module in every
        for node in ast.walk(module.tree)
        if isinstance(node, kinds) and len(_span(node)) > LONG
    ]


def importers(every: list[Module]) -> dict[str, set[str]]:
    """Return which modules import each module."""
    names = {module.name for module in every}
    found: dict[str, set[str]] = defaultdict(set)
    for module in every:
        for target in imported(module.tree):
            whole = target.rpartition(".")[0]
            at = target if target in names else whole if whole in names else ""
            if at and at != module.name:
                found[at].add(module.name)
    return found


def imported(tree: ast.Module) -> Iterator[str]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def lonely(every: list[Module]) -> list[Module]:
    """Return the modules that only one module of their own folder imports."""
    found = importers(every)
    return [
        module
        for module in every
        if len(found[module.name]) == 1
        and next(iter(found[module.name])).rpartition(".")[0] == module.name.rpartition(".")[0]
    ]


def twice(every: list[Module]) -> dict[str, list[str]]:
    """Return the public class names that stand in two or more modules."""
    found: dict[str, list[str]] = defaultdict(list)
    for module in every:
        for node in module.tree.body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].append(module.name)
    return {name: places for name, places in sorted(found.items()) if len(places) > 1}


def share_of_rooms(every: list[Module]) -> dict[str, float]:
    """Return the share of all lines that stands in each room, the largest first."""
    lines: Counter[str] = Counter()
    for module in every:
        lines[module.room] += len(module.lines)
    return {room: count / lines.total() for room, count in lines.most_common()}


def main() -> None:
    """Print every figure with its aim."""
    every = modules()
    rooms = share_of_rooms(every)
    biggest = next(iter(rooms))
    tests, alone, names = kind_tests(every), lonely(every), twice(every)
    print(f"modules                        {len(every):6}   aim under 400")
    print(f"statements                     {sum(m.statements for m in every):6}")
    print(f"code lines                     {sum(m.code for m in every):6}")
    print(f"all lines                      {sum(len(m.lines) for m in every):6}   aim 50000")
    print(f"functions over {LONG} lines        {len(long_functions(every)):6}")
    print(f"tests for a kind outside parts {tests.total():6}   aim under 100   {dict(tests)}")
    print(
        f"modules with one importer      {len(alone):6}   {sum(len(m.lines) for m in alone)} lines"
    )
    print(f"class names used twice         {len(names):6}   aim 0   {', '.join(names)}")
    print(f"largest room                   {rooms[biggest]:6.1%}   aim under 20 %   {biggest}")
    for room, share in rooms.items():
        print(f"  {room or '(front door)':14} {share:6.1%}")


if __name__ == "__main__":
    main()
