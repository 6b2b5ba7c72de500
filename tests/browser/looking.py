"""What a rendered page shows, measured in the page itself; judged in Python."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any

TEXTS = """() => {
  const found = [];
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const seen = new Set();
  const looks = new Map();
  const lookOf = (el) => {
    if (!el) return { grounds: [], opacity: 1 };
    let look = looks.get(el);
    if (!look) {
      const own = getComputedStyle(el);
      const about = lookOf(el.parentElement);
      const image = own.backgroundImage !== "none" ? ["image"] : [];
      look = { colour: own.color, size: parseFloat(own.fontSize), weight: Number(own.fontWeight),
        grounds: [own.backgroundColor, ...image, ...about.grounds],
        opacity: Number(own.opacity) * about.opacity };
      looks.set(el, look);
    }
    return look;
  };
  for (let node = walker.nextNode(); node; node = walker.nextNode()) {
    const el = node.parentElement;
    if (seen.has(el) || !node.textContent.trim()) continue;
    if (el.closest("svg, script, style, .unseen, option, optgroup")) continue;
    if (!el.checkVisibility({ visibilityProperty: true })) continue;
    seen.add(el);
    const { colour, grounds, opacity, size, weight } = lookOf(el);
    found.push([node.textContent.trim().slice(0, 40), colour, grounds, opacity, size, weight]);
  }
  for (const el of document.querySelectorAll("select, input[type=text]")) {
    if (!el.checkVisibility({ visibilityProperty: true })) continue;
    const look = getComputedStyle(el);
    found.push([el.className, look.color, [look.backgroundColor], 1, parseFloat(look.fontSize),
      Number(look.fontWeight)]);
  }
  return found;
}"""
DRAWN = """() => [...document.querySelectorAll(".frame svg text")]
  .filter((el) => el.checkVisibility() && el.textContent.trim())
  .map((el) => { const { a, b } = el.getScreenCTM();
    return [el.textContent, Number(el.getAttribute("font-size")) * Math.hypot(a, b)]; })"""
TARGETS = """() => [...document.querySelectorAll("a, button, input, select, label, [tabindex='0']")]
  .filter((el) => el.checkVisibility({ visibilityProperty: true }) && !el.closest("svg, .skip"))
  .map((el) => { const r = el.getBoundingClientRect();
    return [el.outerHTML.slice(0, 120), r.width, r.height]; })"""
BEYOND = """(wide) => [...document.querySelectorAll("body *")]
  .filter((el) => el.checkVisibility() && !el.closest(
    ".frame, .map svg, .wide.rows, .wide.plain, .unseen"))
  .filter((el) => { const r = el.getBoundingClientRect();
    return r.width && (r.right > wide + 0.5 || r.left < -0.5); })
  .filter((el) => !el.matches(".skip"))
  .map((el) => el.outerHTML.slice(0, 120))"""


@dataclass(frozen=True)
class Shown:
    """A text with the colours it is rendered in."""

    text: str
    ratio: float
    size: float
    bold: bool

    @property
    def needs(self) -> float:
        """WCAG 2.x 1.4.3: 3 for text of 24 px, or 18.66 px and bold; else 4.5."""
        return 3.0 if self.size >= 24 or (self.bold and self.size >= 18.66) else 4.5


def shown_texts(page: Any) -> list[Shown]:
    """Return every visible text of the page itself; drawings lie on white sheets of their own."""
    found = []
    for text, ink, grounds, opacity, size, weight in page.evaluate(TEXTS):
        assert opacity == 1, f"{text!r} is half transparent"
        ground = flattened(tuple(grounds))
        found.append(Shown(text, contrast(over(rgba(ink), ground), ground), size, weight >= 700))
    return found


Rgb = tuple[float, float, float]


@cache
def rgba(text: str) -> tuple[float, float, float, float]:
    numbers = [float(part) for part in re.findall(r"[\d.]+", text)]
    assert text.startswith("rgb") and len(numbers) in {3, 4}, text
    red, green, blue, *alpha = numbers
    return red, green, blue, (alpha[0] if alpha else 1.0)


def over(colour: tuple[float, float, float, float], ground: Rgb) -> Rgb:
    *parts, alpha = colour
    mixed = [c * alpha + g * (1 - alpha) for c, g in zip(parts, ground, strict=True)]
    return mixed[0], mixed[1], mixed[2]


@cache
def flattened(grounds: tuple[str, ...]) -> Rgb:
    """Lay the backgrounds over one another, the innermost first; the canvas is white."""
    ground: Rgb = (255.0, 255.0, 255.0)
    for text in reversed(grounds):
        assert text != "image", "text on a background picture cannot be judged"
        ground = over(rgba(text), ground)
    return ground


def contrast(one: Rgb, other: Rgb) -> float:
    """WCAG 2.x: (L1 + 0.05) / (L2 + 0.05), L = 0.2126 R + 0.7152 G + 0.0722 B."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def luminance(colour: Rgb) -> float:
    """c <= 0.04045: c / 12.92, else ((c + 0.055) / 1.055) ** 2.4 (WCAG 2.x)."""
    parts = [c / 255 for c in colour]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
