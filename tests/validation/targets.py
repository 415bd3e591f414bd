"""The figures to reach, read from the tables of the study: what was asked for, what is, and whether it is."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from pathlib import Path

from tests.validation.long_record import HISTORIES
from tests.validation.table import Table, read_table

_FIGURE = re.compile(r"(-?\d+(?:\.\d+)?)(?: ± (\d+(?:\.\d+)?))?")
LARGEST = float("inf")


@dataclass(frozen=True)
class Cell:
    """Where a figure stands: a table, the beginning of its row, its column."""

    table: str
    row: tuple[str, ...]
    column: str


@dataclass(frozen=True)
class Target:
    """What is to be reached: between `low` and `high`, told in `reach`; what it was `before`."""

    what: str
    before: str
    reach: str
    low: float
    high: float
    at: Cell


def _random(name: str, column: str) -> Cell:
    return Cell("random_dates", (name, "learned"), column)


def _held(column: str) -> Cell:
    return Cell("held_word", ("stationary", "learned", "held, as the tool says it"), column)


LOSS = {
    "stationary": (".91", 0.75), "quick": (".78", 0.62), "slow": (".70", 0.62), "joint": (".78", 0.66),
}  # fmt: skip
GAINERS = "P(flat) >= .80 of those gaining > .3"
COVERS = "90 % rate interval covers"
TARGETS = (
    *(Target(f"log loss, {name}", before, f"<= {most}", 0, most, _random(name, "log loss"))
      for name, (before, most) in LOSS.items()),
    *(Target(f"calibration error, {name}", ".08-.094", f"<= {most}", 0, most,
             _random(name, "calibration error"))
      for name, most in (("stationary", 0.03), ("quick", 0.05), ("slow", 0.05), ("joint", 0.05))),
    *(Target(f"90 % interval of the rate covers, {name}", ".77-.85", "0.87-0.94", 0.87, 0.94,
             _random(name, COVERS)) for name in LOSS),
    Target("P(flat) >= .80 said of those gaining > .3, stationary", ".08-.15", "<= 0.03", 0, 0.03,
           _random("stationary", GAINERS)),
    Target("held word, stationary: changes a year", "6.8", "<= 3.4", 0, 3.4, _held("changes a year")),
    Target("held word: detours of four weeks or less a year", "1.9", "<= 0.4", 0, 0.4,
           _held("detours a year")),
    Target("held word: spoken", ".61", ">= 0.60", 0.60, 1, _held("spoken")),
    Target("held word: wrong of the weeks spoken", ".146", "<= 0.18", 0, 0.18, _held("wrong of spoken")),
    Target("steady .5 called a plateau a year, built in", ".13", "<= 0.05", 0, 0.05,
           Cell("false_alarms", ("0.5", "plain", "built in"), "called plateau")),
    Target("the same, correlated weeks", ".38", "<= 0.15", 0, 0.15,
           Cell("false_alarms", ("0.5", "correlated", "built in"), "called plateau")),
    Target("the same, priors learned", "", "<= 0.05", 0, 0.05,
           Cell("false_alarms", ("0.5", "plain", "learned"), "called plateau")),
    Target("the same, priors learned, correlated weeks", "", "<= 0.15", 0, 0.15,
           Cell("false_alarms", ("0.5", "correlated", "learned"), "called plateau")),
    Target("steady .5 called slowed a year, built in", ".04", "<= 0.05", 0, 0.05,
           Cell("false_alarms", ("0.5", "plain", "built in"), "called slowed")),
    Target("the same, correlated weeks, slowed", ".18", "<= 0.15", 0, 0.15,
           Cell("false_alarms", ("0.5", "correlated", "built in"), "called slowed")),
    Target("after .6 -> 0, weekly, built in: half named, months", "3.6", "<= 4.9", 0, 4.9,
           Cell("detection", ("0.6", "built in", "weekly"), "median, months")),
    Target("the same: named by six months", ".93", ">= 0.82", 0.82, 1,
           Cell("detection", ("0.6", "built in", "weekly"), "by 6 months")),
    Target("hour changed and logged, 5.5 weeks on: gainers' wrong words", ".46", "<= 0.05", 0, 0.05,
           Cell("switches", ("evenings to mornings", "5.5 weeks"), "gainers: wrong word")),
    Target("the same: the flat's wrong words", ".46", "<= 0.05", 0, 0.05,
           Cell("switches", ("mornings to evenings", "5.5 weeks"), "flat: wrong word")),
    Target("effort changed and logged: gainers' wrong words", ".46", "<= 0.05", 0, 0.05,
           Cell("switches", ("effort 9-10 to 8", "5.5 weeks"), "gainers: wrong word")),
    Target("the same: the flat's wrong words", ".46", "<= 0.05", 0, 0.05,
           Cell("switches", ("effort 9-10 to 8", "5.5 weeks"), "flat: wrong word")),
)  # fmt: skip
BESIDE = {
    "AUC of P(flat), flat 8 weeks or longer against moving": (0.01, True),
    "F1 of flat stretches of 6 weeks or longer, half overlap": (0.01, True),
    "onset of named plateaus, median error, weeks (engine)": (0.2, False),
}
"""Figures of the guard that may be worse than landed by so much; whether more is better."""
RIGHT = {"quick": 0.97, "slow": 0.93}
LONG, SHORT = "20", "2"
WITHIN = 0.05


def number(cell: str) -> tuple[float, float] | None:
    """Return figure and error of a cell; None where it has none."""
    found = _FIGURE.match(cell)
    return (float(found[1]), float(found[2] or 0.0)) if found else None


def reached(cell: str, low: float, high: float) -> str:
    """Return whether a figure lies between two bounds: yes, no, or no by less than its error."""
    figure = number(cell)
    if figure is None:
        return "–"
    value, error = figure
    if low <= value <= high:
        return "yes"
    return "no, by less than the error" if low - error <= value <= high + error else "no"


def figures(folder: Path) -> Table:
    """Return the figures to reach, as the tables in the folder have them."""
    rows: list[tuple[str, ...]] = []
    for target in TARGETS:
        cell = _cell(folder, target.at)
        rows.append((target.what, target.before, target.reach, cell, reached(cell, target.low, target.high)))
    rows += [*_long(folder), *_guard(folder)]
    return Table(
        "figures_to_reach",
        "Figures to reach",
        "Read from the tables below. Before: the engine of 26 November 2026, on other swimmers. ± is a "
        "Monte-Carlo standard error. The guard compares the same swimmers.",
        ("figure", "before", "reach", "now", "reached"),
        tuple(rows),
    )


def _cell(folder: Path, at: Cell) -> str:
    path = folder / f"{at.table}.csv"
    if not path.exists():
        return "–"
    table = read_table(path)
    own = [row for row in table.rows if row[: len(at.row)] == at.row]
    return own[0][table.columns.index(at.column)] if own else "–"


def _long(folder: Path) -> list[tuple[str, ...]]:
    out: list[tuple[str, ...]] = []
    for history in HISTORIES:
        short, long = (
            _cell(folder, Cell("long_record", (years, history), "called plateau")) for years in (SHORT, LONG)
        )
        a, b = number(short), number(long)
        verdict = "–" if a is None or b is None else _beside(a, b)
        out.append((f"six months flat named after {LONG} years beside {SHORT}, before: {history}", ".13, .72",
                    f"{WITHIN} less at most", f"{long}; {short}", verdict))  # fmt: skip
    return out


def _beside(short: tuple[float, float], long: tuple[float, float]) -> str:
    lost, error = short[0] - long[0], math.hypot(short[1], long[1])
    return reached(f"{lost:.3f} ± {error:.3f}", -LARGEST, WITHIN)


def _guard(folder: Path) -> list[tuple[str, ...]]:
    path = folder / "guard.csv"
    if not path.exists():
        return []
    table = read_table(path)
    by_title = {row[0]: row for row in table.rows}
    places = [(k, name.removesuffix(": now")) for k, name in enumerate(table.columns) if name.endswith("now")]
    out: list[tuple[str, ...]] = []
    for title, (slack, more) in BESIDE.items():
        for k, name in places:
            landed, now = float(by_title[title][k - 1]), by_title[title][k]
            low, high = (landed - slack, LARGEST) if more else (-LARGEST, landed + slack)
            reach = f"{'>=' if more else '<='} {low if more else high:.3f}"
            out.append((f"guard: {title}, {name}", f"{landed:.3f}", reach, now, reached(now, low, high)))
    title = "right when it speaks, cut 0.80"
    for k, name in places:
        least = RIGHT.get(name.split()[0])
        if least is not None:
            row = by_title[title]
            out.append((f"guard: {title}, {name}", row[k - 1], f">= {least}", row[k],
                        reached(row[k], least, 1.0)))  # fmt: skip
    return out
