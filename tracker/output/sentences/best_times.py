"""Sentences on best times, and on what a new test did."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from tracker.model.best_times import BestTimes, Raced, Standing
from tracker.model.units import DAYS_PER_MONTH, format_time
from tracker.output.sentences.data import distance_words
from tracker.output.sentences.numbers import capital, count, full_day, month_name, number

if TYPE_CHECKING:
    from tracker.engine.verdict.news import LineNews, NewsOfTest
    from tracker.model.swim import Swim

NO_BEST = "No time that counts is on record yet."
SET_ASIDE = "So far from the line that it does not count: no best time, and no change of the line."
LONG = dt.timedelta(days=60)
"""From so long on "best in 3 months" is said; before, how many slower ones lie between."""


def raced_words(raced: Raced) -> str:
    """Return "400 m SCM"; the suit where there is one."""
    suit = "" if raced.suit == "none" else f", {raced.suit}"
    return f"{distance_words(raced.distance_m, raced.course)} {raced.course}{suit}"


def best_header(season: dt.date) -> tuple[str, ...]:
    """Return the header of the table of best times, which says when the season began."""
    this = f"of the season, since {month_name(season)}"
    return ("distance", "best of all", this, "of the last year", "swims")


def best_cells(best: BestTimes) -> tuple[str, ...]:
    """Return one row of the table."""
    return (
        raced_words(best.raced),
        _time_and_day(best.ever),
        _time_and_day(best.season),
        _time_and_day(best.year),
        str(best.swims),
    )


def best_sentence(best: BestTimes, season: dt.date) -> str:
    """Return one distance's best times in a sentence, which says when the season began."""
    this = "none" if best.season is None else _time_and_day(best.season)
    year = "none" if best.year is None else _time_and_day(best.year)
    return (
        f"{raced_words(best.raced)}: {_time_and_day(best.ever)}; this season, since {month_name(season)}: "
        f"{this}; of the last year: {year}."
    )


def _time_and_day(swim: Swim | None) -> str:
    return "" if swim is None else f"{format_time(swim.time_s)} ({full_day(swim.date)})"


def best_line(best: Sequence[BestTimes], most: int) -> str:
    """Return the best times in one sentence, those swum most often; empty without any."""
    often = sorted(best, key=lambda one: (-one.swims, one.raced))[:most]
    if not often:
        return ""
    return f"Best: {'; '.join(_clause(one) for one in sorted(often, key=lambda one: one.raced))}."


def _clause(best: BestTimes) -> str:
    ever = f"{raced_words(best.raced)} {_time_and_day(best.ever)}"
    if best.season is None:
        return f"{ever}, none this season"
    if best.season == best.ever:
        return ever
    return f"{ever}, this season {format_time(best.season.time_s)}"


def news_line(news: NewsOfTest) -> str:
    """Return what a new test did, in one line: "best in 14 months; 2.1 % above your line; gaining ..."."""
    if news.aside:
        return SET_ASIDE
    several = len(news.standings) > 1
    parts = [_standing(one, named=several) for one in news.standings]
    if news.line is not None:
        parts += _line(news.line)
    said = "; ".join(part for part in parts if part)
    return f"{capital(said)}." if said else ""


def best_yet_words(news: Iterable[tuple[str, NewsOfTest]]) -> str:
    """Return " Best yet: Ines Aalto, Bo Lind." of a squad's tests; empty where nobody swam one."""
    names = [name for name, did in news if any(one.is_best for one in did.standings)]
    return f" Best yet: {', '.join(names)}." if names else ""


def _standing(one: Standing, *, named: bool) -> str:
    what = Raced(one.swim.distance_m, one.swim.course, one.swim.suit)
    head = f"{raced_words(what)}: " if named else ""
    if not one.earlier or one.best is None:
        return f"first {raced_words(what)} on record"
    if one.is_best:
        return f"{head}best yet, by {number(one.best.time_s - one.swim.time_s, 2)} s"
    if one.since is None or not one.slower_since:
        off = one.swim.time_s - one.best.time_s
        return f"{head}{number(off, 2)} s off the best" if off > 0 else f"{head}equals the best"
    apart = one.swim.date - one.since.date
    if apart >= LONG:
        return f"{head}best in {count(round(apart.days / DAYS_PER_MONTH), 'month')}"
    return f"{head}best of the last {one.slower_since + 1}"


def _line(line: LineNews) -> list[str]:
    if line.word is None or line.p_after is None:
        few = line.tests < line.needed
        return [f"test {line.tests} of the {line.needed} that a word needs"] if few else []
    said = []
    if line.above is not None and line.scatters is not None:
        way = "above" if line.above >= 0 else "below"
        times = f"{number(abs(line.scatters), 1)} times the usual scatter of one test"
        said.append(f"{number(abs(line.above), 1)} % {way} your line ({times})")
    before = "" if line.p_before is None else f"{line.p_before:.2f} -> "
    return [*said, f"{line.word} {before}{line.p_after:.2f}"]
