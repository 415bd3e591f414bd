"""A row a fault, a line a spell; its style and word say the state."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any, Final, assert_never

from tracker.model.vocabularies import Phase, State
from tracker.output.figures.drawing import BLACK, BLUE, GREY, TEXT_PT, VERMILLION, shortened, text_mm
from tracker.output.figures.scales import day_number
from tracker.output.sentences.link import FaultNames, fault_name
from tracker.output.sentences.numbers import capital
from tracker.technique.fault_timeline import Spell

if TYPE_CHECKING:
    from matplotlib.axes import Axes

ROW_MM: Final = 8.0
MOST_ROWS: Final = 5

KEY: Final = (State.OPEN, State.IN_WORK, State.PARKED, State.CORRECTED)

Row = tuple[str, str, tuple[Spell, ...]]


def style_of(state: State) -> dict[str, Any]:
    """Return how the line of a state is drawn; its word tells those of one phase apart."""
    match state.phase:
        case Phase.WAITING:
            return {"color": VERMILLION, "linewidth": 3.6, "linestyle": "solid"}
        case Phase.IN_WORK:
            return {"color": BLUE, "linewidth": 3.6, "linestyle": (0, (2.2, 0.8))}
        case Phase.PARKED:
            return {"color": GREY, "linewidth": 1.6, "linestyle": (0, (5, 2, 1, 2))}
        case Phase.CLOSED:
            return {"color": GREY, "linewidth": 1.2, "linestyle": (0, (1, 2))}
        case other:
            assert_never(other)


def rows_of(spells: Sequence[Spell], first: dt.date, last: dt.date) -> tuple[Row, ...]:
    """Return (fault, side, spells) of what was uncorrected at some time within [first, last].

    At most `MOST_ROWS`, those whose last spell began latest kept, in the order given.
    """
    grouped: dict[tuple[str, str], list[Spell]] = {}
    for spell in spells:
        if spell.begins <= last and (spell.ends is None or spell.ends >= first):
            grouped.setdefault((spell.fault, spell.side), []).append(spell)
    rows = [
        (fault, side, tuple(own))
        for (fault, side), own in grouped.items()
        if any(spell.state.phase is not Phase.CLOSED for spell in own)
    ]
    latest = sorted(rows, key=lambda row: row[2][-1].begins, reverse=True)[:MOST_ROWS]
    return tuple(row for row in rows if row in latest)


def draw_spells(
    axes: Axes, rows: Sequence[Row], names: FaultNames, edges: tuple[dt.date, dt.date], width_mm: float
) -> None:
    """Draw the rows; the name stands over its line, where the first spell begins."""
    axes.set_ylim(len(rows), 0)
    axes.set_yticks([])
    axes.set_xticks([])
    left, right = (day_number(edge) for edge in edges)
    per_day = width_mm / (right - left)
    for y, (fault, side, own) in enumerate(rows):
        for spell in own:
            begins = max(left, day_number(spell.begins))
            ends = right if spell.ends is None else min(right, day_number(spell.ends))
            axes.plot([begins, ends], [y + 0.74, y + 0.74], solid_capstyle="butt", **style_of(spell.state))
            axes.plot([begins, begins], [y + 0.6, y + 0.88], color=BLACK, linewidth=0.8)
        name = shortened(capital(fault_name(fault, side, names)), 60)
        begins = max(left, day_number(own[0].begins))
        words = _state_words(own, begins, right, per_day, text_mm(name) + 3)
        fits = (right - begins) * per_day > text_mm(f"{name} {words}")
        axes.annotate(
            f"{name}: {words}",
            (begins if fits else right, y + 0.5),
            xytext=(0, 0),
            textcoords="offset points",
            ha="left" if fits else "right",
            va="bottom",
            fontsize=TEXT_PT,
            color=BLACK,
        )


def _state_words(own: Sequence[Spell], begins: float, right: float, per_day: float, name_mm: float) -> str:
    """Return the states in order, as many of the last as there is room for beside the name."""
    states = [spell.state for spell in own]
    room = max((right - begins) * per_day, 90.0) - name_mm
    while len(states) > 1 and text_mm(", ".join(states)) > room:
        states = states[1:]
    return ", ".join(states)


def draw_key(axes: Axes) -> None:
    """Draw what each style of line means."""
    axes.set_xlim(0, 100)
    axes.set_ylim(0, 1)
    axes.set_xticks([])
    axes.set_yticks([])
    for i, state in enumerate(KEY):
        x = 25 * i
        axes.plot([x, x + 6], [0.5, 0.5], solid_capstyle="butt", **style_of(state))
        axes.annotate(state, (x + 7, 0.5), va="center_baseline", fontsize=TEXT_PT, color=GREY)
