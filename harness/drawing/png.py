"""PDF pages to PNG pictures. Imports pypdfium2, so import this module late."""

import io

import pypdfium2

from harness.drawing.pdf import to_pdf
from harness.drawing.scene import Scene
from harness.drawing.sheet import Paper


def pdf_to_png(data: bytes, *, page: int = 0, dpi: float = 150.0) -> bytes:
    """One page of a PDF as a PNG picture at `dpi` dots per inch."""
    document = pypdfium2.PdfDocument(data)
    try:
        bitmap = document[page].render(scale=dpi / 72)
        picture = io.BytesIO()
        bitmap.to_pil().save(picture, format="PNG", dpi=(dpi, dpi))
        return picture.getvalue()
    finally:
        document.close()


def to_png(scene: Scene, *, paper: Paper = "scene", dpi: float = 150.0) -> bytes:
    """A scene as a PNG picture, the same drawing as in the PDF."""
    return pdf_to_png(to_pdf([scene], paper=paper), dpi=dpi)
