"""What a reader would see of the words of a finished drawing."""

from collections.abc import Iterator

from harness.drawing.scene import Scene, Text, walk, word_faults


def texts(scene: Scene) -> Iterator[Text]:
    """Every text that has something to show, in drawing order."""
    for item in walk(scene.items):
        if isinstance(item, Text) and item.text.strip():
            yield item


def overlapping_texts(scene: Scene) -> list[str]:
    """Pairs of texts that lie on one another."""
    return [fault for fault in word_faults(scene) if " lies on " in fault]


def clipped_texts(scene: Scene) -> list[str]:
    """Texts that reach over the edge of the drawing."""
    return [fault for fault in word_faults(scene) if fault.endswith("cut off")]


def smallest_text(scene: Scene) -> float:
    """Size of the smallest text in points; infinite when there is none."""
    return min((item.size for item in texts(scene)), default=float("inf"))
