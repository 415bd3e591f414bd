"""A chart split in two: the SVG without its text, and the text as labels for typst to set.

The reader of SVG inside typst takes one fallback face for a whole string; typst itself chooses by letter.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from html import unescape
from typing import Final

_TEXT: Final = re.compile(r"<text ([^>]*)>([^<]*)</text>")
_SIZE: Final = re.compile(r'viewBox="0 0 ([\d.]+) ([\d.]+)"')
_PLACE: Final = re.compile(r'x="([-\d.]+)" y="([-\d.]+)"|translate\(([-\d.]+) ([-\d.]+)\)')
_STYLE: Final = re.compile(r"(font-weight|font-size|text-anchor|fill): ([^;\"]+)")


@dataclass(frozen=True)
class Label:
    """One line of letters: where its baseline begins, in points of the drawing, and its look."""

    text: str
    x: float
    y: float
    size: float
    anchor: str
    weight: int
    fill: str


@dataclass(frozen=True)
class LabelledSvg:
    """The picture as SVG, its size in points, and what is written on it."""

    svg: str
    width: float
    height: float
    labels: tuple[Label, ...]


def split_labels(drawn: bytes) -> LabelledSvg:
    """Return the chart with its letters apart.

    Raises
    ------
    ValueError
        If the drawing has no size, or letters that stand nowhere.
    """
    svg = drawn.decode()
    size = _SIZE.search(svg)
    labels = tuple(_label(match[1], unescape(match[2])) for match in _TEXT.finditer(svg))
    bare = _TEXT.sub("", svg)
    if size is None or "<text" in bare:
        raise ValueError("a chart is drawn in a way that its letters can't be read from")
    return LabelledSvg(bare, float(size[1]), float(size[2]), labels)


def _label(attributes: str, text: str) -> Label:
    style = dict(_STYLE.findall(attributes))
    place = _PLACE.search(attributes)
    if place is None:
        raise ValueError(f"the letters {text!r} of a chart stand nowhere")
    x, y = (float(number) for number in place.groups() if number is not None)
    return Label(
        text,
        x,
        y,
        float(style["font-size"].removesuffix("px")),
        style.get("text-anchor", "start"),
        int(style.get("font-weight", "400")),
        style.get("fill", "#000000"),
    )
