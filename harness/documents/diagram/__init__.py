"""The picture: what plugs into what, drawn as the parts look.

    pictures = draw_pages(report, Wish(view="run"))
    files = render(pictures, "pdf")

`draw_pages` raises Refusal for a name the plan does not have, LayoutError when Graphviz fails.
"""

from harness.documents.diagram.draw import draw_pages
from harness.documents.diagram.findings import Marks, Numbered
from harness.documents.diagram.model import Picture, Wish
from harness.documents.diagram.render import render

__all__ = ["Marks", "Numbered", "Picture", "Wish", "draw_pages", "render"]
