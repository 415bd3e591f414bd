"""Tests as points, the fitted line with its 90 % band; faster is up."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from tracker.engine.verdict.verdict import Curve, Point, Verdict
from tracker.output.figures.drawing import BLACK, BLUE, GREY, GRID, SKY, TEXT_PT
from tracker.output.figures.scales import day_number, pace_label, pace_range, pace_ticks
from tracker.output.sentences.numbers import pace

if TYPE_CHECKING:
    from matplotlib.axes import Axes

MARKERS: Final = ("o", "s", "^", "D", "P")
SIGNS: Final = ("●", "■", "▲", "◆", "✚")
"""The markers as letters, for the key."""
TITLE_PT: Final = 17
"""How far the title and the key stand above the panel."""
GAP_DAYS: Final = 60
"""A line is not drawn across a longer gap between tests."""


def kinds_of(points: Sequence[Point]) -> tuple[str, ...]:
    """Return the kinds of tests, the commonest first, at most as many as there are markers."""
    found = sorted({point.kind for point in points}, key=lambda kind: (-_times(points, kind), kind))
    return tuple(found[: len(MARKERS)])


def _times(points: Sequence[Point], kind: str) -> int:
    return sum(point.kind == kind for point in points)


def axis_range(verdict: Verdict) -> tuple[float, float]:
    """Return the fastest and slowest pace shown: all counting tests, and the band."""
    paces = [point.on_line for point in verdict.points if not point.set_aside]
    curve = verdict.curve
    if curve is not None:
        paces += [*curve.fastest, *curve.slowest]
    return pace_range(paces or [verdict.present_pace])


def draw_pace(axes: Axes, verdict: Verdict) -> None:
    """Draw points, line and band on axes whose x is `day_number`."""
    low, high = axis_range(verdict)
    axes.set_ylim(high, low)
    ticks = pace_ticks(low, high)
    axes.set_yticks(list(ticks), [pace_label(tick, low, high) for tick in ticks])
    axes.set_xticks([])
    axes.grid(visible=True, axis="y", color=GRID, linewidth=0.6)
    axes.set_axisbelow(True)
    axes.annotate(
        "▲ faster, min:s per 100 m",
        (0, 1),
        xycoords="axes fraction",
        xytext=(-26, TITLE_PT),
        textcoords="offset points",
        fontsize=TEXT_PT,
        color=BLACK,
    )
    curve = verdict.curve
    if curve is not None:
        _draw_curve(axes, curve, verdict.points)
    _draw_points(axes, verdict.points, (low, high))
    _draw_key(axes, verdict.points)


def _draw_curve(axes: Axes, curve: Curve, points: Sequence[Point]) -> None:
    for begin, end in pieces(curve, points):
        x = [day_number(date) for date in curve.dates[begin:end]]
        axes.fill_between(
            x, curve.fastest[begin:end], curve.slowest[begin:end], color=SKY, alpha=0.35, linewidth=0
        )
        axes.plot(x, curve.pace[begin:end], color=BLUE, linewidth=1.6)
    x_end = (day_number(curve.dates[-1]), curve.pace[-1])
    axes.annotate(
        pace(curve.pace[-1]),
        x_end,
        xytext=(5, 1),
        textcoords="offset points",
        va="bottom",
        fontsize=9,
        fontweight="bold",
        color=BLUE,
        annotation_clip=False,
    )
    axes.annotate(
        "90 % band",
        x_end,
        xytext=(5, -1),
        textcoords="offset points",
        va="top",
        fontsize=TEXT_PT,
        color=BLUE,
        annotation_clip=False,
    )


def pieces(curve: Curve, points: Sequence[Point]) -> list[tuple[int, int]]:
    """Return index ranges of the curve without a gap of more than `GAP_DAYS` between tests."""
    days = sorted({day_number(point.date) for point in points})
    gaps = [(a, b) for a, b in pairwise(days) if b - a > GAP_DAYS]
    knots = [day_number(date) for date in curve.dates]
    cuts = [
        i + 1
        for i, (a, b) in enumerate(pairwise(knots))
        if any(a <= begin and end <= b for begin, end in gaps)
    ]
    edges = [0, *cuts, len(knots)]
    return [(begin, end) for begin, end in pairwise(edges) if end > begin]


def _draw_points(axes: Axes, points: Sequence[Point], limits: tuple[float, float]) -> None:
    kinds = kinds_of(points)
    size = 13 if len(points) <= 120 else 7
    groups: dict[tuple[str, bool], list[Point]] = {}
    for point in points:
        marker = MARKERS[kinds.index(point.kind)] if point.kind in kinds else "x"
        groups.setdefault((marker, point.set_aside), []).append(point)
    for (marker, aside), group in groups.items():
        hollow = aside and marker != "x"
        axes.scatter(
            [day_number(point.date) for point in group],
            [min(max(point.on_line, limits[0]), limits[1]) for point in group],
            s=size + 5 if aside else size,
            marker=marker,
            facecolors="none" if hollow else BLACK,
            linewidths=0.9 if hollow or marker == "x" else 0,
            edgecolors=BLACK if hollow else None,
            clip_on=False,
            zorder=3,
        )
    for point in points:
        if not limits[0] <= point.on_line <= limits[1]:
            _beyond(axes, point, limits[0] if point.on_line < limits[0] else limits[1])


def _beyond(axes: Axes, point: Point, edge: float) -> None:
    """Name a test that lies outside the axis at the edge it lies beyond."""
    above = point.on_line < edge
    axes.annotate(
        f"{'▲' if above else '▼'} {pace(point.on_line)}",
        (day_number(point.date), edge),
        xytext=(4, -2 if above else 2),
        textcoords="offset points",
        va="top" if above else "bottom",
        fontsize=TEXT_PT,
        color=GREY,
    )


def _draw_key(axes: Axes, points: Sequence[Point]) -> None:
    """Name the markers at the upper right, where there is more than one kind or one set aside."""
    kinds = kinds_of(points)
    words = [f"{sign} {kind}" for sign, kind in zip(SIGNS, kinds, strict=False) if kind]
    if any(point.set_aside for point in points):
        words.append("hollow: set aside")
    axes.annotate(
        ", ".join(words),
        (1, 1),
        xycoords="axes fraction",
        xytext=(0, TITLE_PT),
        textcoords="offset points",
        ha="right",
        fontsize=TEXT_PT,
        color=BLACK,
    )
