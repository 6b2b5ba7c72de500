"""What every picture of every example comes to: crossings, bends, text on paper, pages, time.

    python tests/benchmarks/drawing_bench.py [--view run] [EXAMPLE ...]

Time is processor time of this process and its children against Graphviz's own for the same graph.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from time import perf_counter

sys.path.insert(0, str(Path(__file__).parents[1]))

from diagram.looking import GOOD, VIEWS, report_of
from diagram.measured import measured

from harness.diagram import ViewWish
from harness.diagram.draw import Press

HEAD = ("plan", "view", "page", "leads", "cross", "bends", "hair", "1.5x", "near", "text", "pt",
        "pages", "s")  # fmt: skip


def main() -> None:
    """Print the table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("names", nargs="*", default=GOOD)
    parser.add_argument("--view", action="append", choices=VIEWS)
    parser.add_argument("--page", action="append", choices=("A4", "Letter"))
    wanted = parser.parse_args()
    print(("{:16} {:8} {:6}" + " {:>5}" * 10).format(*HEAD))
    for name in wanted.names:
        for view in wanted.view or VIEWS:
            for page in wanted.page or ("A4", "Letter"):
                start = perf_counter()
                press = Press(report_of(name), ViewWish(view=view, page=page))
                m = measured(press, press.pages())
                took = perf_counter() - start
                print(f"{name:16} {view:8} {page:6} {m.leads:5} {m.crossings:5} {m.bends:5} "
                      f"{m.hairpins:5} {m.detours:5} {m.near:5} {m.overlaps:5} {m.small:5.1f} "
                      f"{m.pages:5} {took:5.2f}", flush=True)  # fmt: skip


if __name__ == "__main__":
    main()
