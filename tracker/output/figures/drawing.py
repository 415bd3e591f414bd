"""The look of every chart, and a drawn figure as SVG whose bytes depend on nothing but what was drawn.

Colours: black for tests, blue for the line, vermillion for what is uncorrected; sky only as a band.
Lightness apart in grey (Okabe and Ito's palette; L* 0, 46, 54, 70), and each doubled by marker, dash
or word.
"""

from __future__ import annotations

import io
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from typing import TYPE_CHECKING, Any, Final

from wcwidth import wcswidth

from tracker.output.fonts import SYMBOL_FACE, TEXT_FACE, font_files

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

BLACK: Final = "#000000"
BLUE: Final = "#0072B2"
VERMILLION: Final = "#D55E00"
SKY: Final = "#56B4E9"
GREY: Final = "#595959"
PALE: Final = "#E4E4E4"
GRID: Final = "#D0D0D0"

MM: Final = 1 / 25.4
POINT_MM: Final = 0.3528
TEXT_PT: Final = 8.0
"""Smallest letters on paper."""

_LOOK: Final[Any] = {
    "svg.fonttype": "none",
    "svg.hashsalt": "slackwater",
    "font.family": [TEXT_FACE, SYMBOL_FACE],
    "font.size": TEXT_PT,
    "text.parse_math": False,
    "axes.unicode_minus": False,
    "path.simplify": False,
}


@cache
def _faces_known() -> bool:
    """Tell matplotlib about the faces; letters stay letters in the SVG, typst shapes them.

    A variable face is known to matplotlib in one weight only; its bold is the same file.
    """
    from dataclasses import replace

    from matplotlib.font_manager import fontManager

    for path in font_files():
        if path.suffix == ".ttf":
            fontManager.addfont(str(path))
    regular = [face for face in fontManager.ttflist if face.name == TEXT_FACE and face.style == "normal"]
    fontManager.ttflist += [replace(face, weight=700) for face in regular]
    return True


@contextmanager
def look() -> Iterator[None]:
    """Draw within the look of this folder; any warning but that of a missing glyph is an error.

    Text stays text, so that what shows the drawing finds the fonts for it.
    """
    import matplotlib

    _faces_known()
    with matplotlib.rc_context(_LOOK), warnings.catch_warnings():
        warnings.simplefilter("error", UserWarning)
        warnings.filterwarnings("ignore", r"Glyph \d+ .* missing from font", UserWarning)
        yield


def sheet(width_mm: float, height_mm: float) -> Figure:
    """Return an empty figure of that size on paper."""
    from matplotlib.figure import Figure

    return Figure(figsize=(width_mm * MM, height_mm * MM))


def panel(figure: Figure, left_mm: float, top_mm: float, width_mm: float, height_mm: float) -> Axes:
    """Return axes at a fixed place, `top_mm` counted from the upper edge, with nothing drawn yet."""
    width, height = figure.get_figwidth() / MM, figure.get_figheight() / MM
    axes = figure.add_axes(
        (left_mm / width, 1 - (top_mm + height_mm) / height, width_mm / width, height_mm / height)
    )
    for spine in axes.spines.values():
        spine.set_visible(False)
    axes.tick_params(length=0, labelsize=TEXT_PT, pad=2)
    axes.patch.set_visible(False)
    return axes


def svg(figure: Figure) -> bytes:
    """Return the figure as SVG, without a date."""
    buffer = io.BytesIO()
    figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    return buffer.getvalue()


def text_mm(text: str, points: float = TEXT_PT) -> float:
    """Return about how wide `text` is on paper (0.55 em a terminal cell: an overestimate for most)."""
    return 0.55 * max(0, wcswidth(text)) * points * POINT_MM


def shortened(text: str, cells: int) -> str:
    """Return `text` cut to at most `cells` terminal cells, "…" last."""
    if wcswidth(text) <= cells:
        return text
    kept = text
    while kept and wcswidth(kept) > cells - 1:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"
