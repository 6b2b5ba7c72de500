"""Imports go one way, and heavy modules are imported late: read from the source itself.

import-linter checks the same layers in `make lint`; this reading is independent of it, and also
sees imports inside functions.
"""

from __future__ import annotations

import ast
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FILES = sorted((ROOT / "harness").rglob("*.py"))
LAYERS = [
    "cli",
    "documents",
    "diagram",
    "planner",
    "bench",
    "changes",
    "rules",
    "facts",
    "electrics",
    "airframe",
    "wiring",
    "plan",
    "parts",
    "reading",
    "paper",
    "drawing",
    "catalogue",
    "base",
]
"""From the top down: a layer imports itself and what stands below."""
LATE = {
    "highspy",
    "networkx",
    "numpy",
    "scipy",
    "reportlab",
    "jsonschema",
    "jsonschema_rs",
    "pypdfium2",
    "rich",
    "matplotlib",
}
EARLY_LAYERS = [
    "cli",
    "rules",
    "facts",
    "airframe",
    "wiring",
    "plan",
    "parts",
    "reading",
    "catalogue",
    "base",
]
"""The layers that `harness check` and `harness rules` load; all others come late."""


def imports(tree: ast.AST) -> Iterator[str]:
    """Yield the full names of the modules a tree imports anywhere, also inside functions."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (name.name for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute"
            yield from (f"{node.module}.{name.name}" for name in node.names)


def layer(path: Path) -> str:
    """Return the layer a file of the package is in, or "" for the package's own front door."""
    steps = path.relative_to(ROOT / "harness").parts
    return steps[0] if len(steps) > 1 else ""


def upward(path: Path, source: str) -> list[str]:
    """Return the imports of a file that go up, or sideways where that is forbidden."""
    here = layer(path)
    if not here:
        return []
    below = LAYERS[LAYERS.index(here) :]
    if here in ("drawing", "paper"):
        below = [here, "drawing", "base"]
    ours = [n for n in imports(ast.parse(source)) if n.startswith("harness.")]
    known = ("harness.__version__", "harness.PLAN_FORMAT", "harness.schemas")
    return [n for n in ours if n not in known and n.split(".")[1] not in below]


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_imports_go_down_only(path: Path) -> None:
    assert upward(path, path.read_text("utf-8")) == []


@pytest.mark.parametrize(
    ("place", "line"),
    [
        ("base/x.py", "from harness.plan.plan import Plan"),
        ("reading/x.py", "def f():\n    import harness.cli.main"),
        ("drawing/x.py", "from harness.plan import plan"),
        ("catalogue/x.py", "from harness.wiring.build import build"),
    ],
)
def test_a_wrong_import_is_seen(place: str, line: str) -> None:
    assert len(upward(ROOT / "harness" / place, line)) == 1


def test_every_folder_is_a_layer() -> None:
    found = {layer(path) for path in FILES} - {""}
    assert found == set(LAYERS)


def test_import_linter_checks_the_same_layers() -> None:
    table = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    contracts = table["tool"]["importlinter"]["contracts"]
    found = [name for line in contracts[0]["layers"] for name in line.split(" | ")]
    assert found == [f"harness.{name}" for name in LAYERS]


def at_load(tree: ast.Module) -> Iterator[str]:
    """Yield the top-level modules imported when a module is loaded, not later or for types."""
    todo: list[ast.AST] = list(tree.body)
    while todo:
        node = todo.pop()
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            continue
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test):
            continue
        if isinstance(node, ast.Import):
            yield from (name.name.partition(".")[0] for name in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield (node.module or "").partition(".")[0]
        todo += ast.iter_child_nodes(node)


@pytest.mark.parametrize(
    "path",
    [path for path in FILES if layer(path) in EARLY_LAYERS],
    ids=lambda p: p.relative_to(ROOT).as_posix(),
)
def test_heavy_modules_are_imported_late(path: Path) -> None:
    assert set(at_load(ast.parse(path.read_text("utf-8")))) & LATE == set()


def test_only_declared_packages_are_imported() -> None:
    """A fresh install has what pyproject.toml names, and nothing else."""
    table = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    declared = {item.split(">")[0].strip() for item in table["project"]["dependencies"]}
    names = {"yaml": "pyyaml", "jsonschema_rs": "jsonschema-rs"}
    found = {n.partition(".")[0] for p in FILES for n in imports(ast.parse(p.read_text("utf-8")))}
    outside = found - set(sys.stdlib_module_names) - {"harness", "_graphviz"}
    assert {names.get(name, name) for name in outside} <= declared
