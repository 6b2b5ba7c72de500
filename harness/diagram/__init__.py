"""The picture: what plugs into what, drawn as the parts look.

    pictures = draw_pages(report, ViewWish(view="run"))
    files = render(pictures, "pdf")

`draw_pages` raises Refusal for a name the plan does not have, LayoutError when Graphviz fails.
"""

from harness.diagram.draw import draw_pages
from harness.diagram.findings import Marks, Numbered
from harness.diagram.printing import render
from harness.diagram.stages import DrawnPage, ViewWish

__all__ = ["DrawnPage", "Marks", "Numbered", "ViewWish", "draw_pages", "render"]
