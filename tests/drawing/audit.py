"""Faults of a finished drawing that a reader would see: text on text, text cut off."""

from collections.abc import Iterator

from harness.drawing.scene import Box, Scene, Text, text_box, walk

TOUCH = 0.5  # boxes may share this much, points: letters do not fill their line


def texts(scene: Scene) -> Iterator[Text]:
    """Every text that has something to show, in drawing order."""
    for item in walk(scene.items):
        if isinstance(item, Text) and item.text.strip():
            yield item


def overlapping_texts(scene: Scene) -> list[tuple[str, str]]:
    """Pairs of texts that lie on one another."""
    boxes = sorted(((text_box(item), item.text) for item in texts(scene)), key=lambda row: row[0])
    found: list[tuple[str, str]] = []
    for index, (box, name) in enumerate(boxes):
        for other, second in boxes[index + 1 :]:
            if other[0] >= box[2] - TOUCH:
                break
            if other[1] < box[3] - TOUCH and box[1] < other[3] - TOUCH:
                found.append((name, second))
    return found


def clipped_texts(scene: Scene) -> list[str]:
    """Texts that reach over the edge of the drawing."""
    return [item.text for item in texts(scene) if not _inside(text_box(item), scene)]


def _inside(box: Box, scene: Scene) -> bool:
    level = box[0] >= 0 and box[2] <= scene.width
    return level and box[1] >= 0 and box[3] <= scene.height


def smallest_text(scene: Scene) -> float:
    """Size of the smallest text in points; infinite when there is none."""
    return min((item.size for item in texts(scene)), default=float("inf"))
