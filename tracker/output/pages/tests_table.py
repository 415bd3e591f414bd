"""The month's tests as a table, and the critical swim speed of its last pair."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from tracker.engine.verdict.counted_swims import SwimStatus
from tracker.errors import SlackwaterError
from tracker.model.css import Css, critical_speed, set_paces
from tracker.model.swim import Swim
from tracker.model.units import format_time
from tracker.output.pages.page import Block, Paragraph, Table
from tracker.output.pages.season import Season
from tracker.output.sentences.data import CAVEAT, css_sentence, distance_words, set_rows
from tracker.output.sentences.next_step import no_sets
from tracker.output.sentences.numbers import MONTHS, capital, count, number, pace
from tracker.output.sentences.reasons import why_not

MOST_ROWS: Final = 10
PAGE_SETS: Final = (100, 200, 400)
PAGE_RESTS: Final = (10, 20)
CSS_LASTS_DAYS: Final = 90
"""Set paces are not drawn from an older pair (assumption)."""


def tests_blocks(season: Season) -> tuple[Block, ...]:
    """Return the month's tests; columns that nobody filled in are left out."""
    tests = by_set(season.month_statuses)
    if not tests:
        return (Paragraph("No test this month."),)
    shown = tests[-MOST_ROWS:]
    swum = [[one.swim for one in test] for test in shown]
    both = list(zip(swum, shown, strict=True))
    columns = [
        ("date", [_day(swims[0]) for swims in swum]),
        ("swum", [f"{_swum(swims)}{'' if test[0].counts else '*'}" for swims, test in both]),
        ("time", [_time(swims) for swims in swum]),
        ("per 100 m", [pace(_mean([swim.pace for swim in swims])) for swims in swum]),
        ("strokes", [_strokes(swims) for swims in swum]),
        ("c/min", [_rate(swims) for swims in swum]),
    ]
    filled = [(title, cells) for title, cells in columns if any(cells)]
    rows = zip(*(cells for _, cells in filled), strict=True)
    notes = []
    if any(_strokes(swims) or _rate(swims) for swims in swum):
        notes.append("strokes: a length; c/min: cycles of two arm strokes a minute.")
    if len(tests) > len(shown):
        notes.append(f"{count(len(tests) - len(shown), 'earlier test')} of the month not listed.")
    notes += [
        f"* {_day(test[0].swim)}: does not count; {why}." for test in shown if (why := why_not(test[0]))
    ]
    return (
        Table(tuple(title for title, _ in filled), tuple(rows)),
        *(Paragraph(note, "small") for note in notes),
    )


def by_set(swims: Sequence[SwimStatus]) -> list[list[SwimStatus]]:
    """Return swims one by one, the repeats of one set together where all count or none does."""
    tests: list[list[SwimStatus]] = []
    for one in swims:
        last, swim = tests[-1][-1] if tests else None, one.swim
        if last is not None and last.counts == one.counts and _of_one_set(last.swim, swim):
            tests[-1].append(one)
        else:
            tests.append([one])
    return tests


def _of_one_set(one: Swim, other: Swim) -> bool:
    alike = (one.test, one.set_id, one.distance_m) == (other.test, other.set_id, other.distance_m)
    return alike and one.test == "reps" and one.set_id != ""


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)


def _time(test: Sequence[Swim]) -> str:
    """Return the time to the tenth, or as exact as it was taken; of repeats their mean."""
    if len(test) > 1:
        return f"{format_time(_mean([swim.time_s for swim in test]), 1)} each"
    seconds = test[0].time_s
    return format_time(seconds, 2 if round(100 * seconds) % 10 else 1)


def _strokes(test: Sequence[Swim]) -> str:
    counts = [float(count) for swim in test for count in swim.strokes.split()]
    return number(_mean(counts), 1) if counts else ""


def _rate(test: Sequence[Swim]) -> str:
    rates = [swim.rate_cpm for swim in test if swim.rate_cpm]
    return number(_mean(rates), 1) if rates else ""


def _day(swim: Swim) -> str:
    return f"{swim.date.day} {MONTHS[swim.date.month - 1][:3]}"


def _swum(test: Sequence[Swim]) -> str:
    swim = test[0]
    times = f"{len(test)} x " if len(test) > 1 else ""
    suit = " wetsuit" if swim.suit == "wetsuit" else ""
    return f"{times}{distance_words(swim.distance_m, swim.course)} {swim.course}{suit}"


def last_css(season: Season) -> tuple[Css, Swim] | None:
    """Return the CSS of the latest pair within `CSS_LASTS_DAYS`, and its first swim."""
    pairs: dict[str, list[Swim]] = {}
    for swim in season.counted:
        recent = 0 <= (season.as_of - swim.date).days <= CSS_LASTS_DAYS
        if swim.test == "css" and swim.set_id and recent:
            pairs.setdefault(swim.set_id, []).append(swim)
    for pair in sorted(pairs.values(), key=lambda pair: pair[0].date, reverse=True):
        try:
            found = critical_speed([swim.distance_m for swim in pair], [swim.time_s for swim in pair])
        except SlackwaterError:
            continue
        return found, pair[0]
    return None


def css_blocks(season: Season) -> tuple[Block, ...]:
    """Return the CSS with interval and distances, and what it is not."""
    found = last_css(season)
    if found is None:
        return ()
    css, swim = found
    own = season.line.verdict.own_noise if season.line.verdict else None
    return (
        Paragraph(f"{_day(swim)}: {css_sentence(css, swim.course, own=own)}."),
        Paragraph(CAVEAT, "small"),
    )


def set_blocks(season: Season) -> tuple[Block, ...]:
    """Return what to swim and when to leave at the latest CSS."""
    found = last_css(season)
    if found is None:
        return (Paragraph("Set paces come from a 400 and a 200 swum as one test; there is none of late."),)
    if why := no_sets(season.line.due):
        return (Paragraph(capital(why)),)
    rows = set_rows(set_paces(found[0].pace, PAGE_SETS, PAGE_RESTS))
    header = ("distance", "in", *(f"leave on, {rest} s rest" for rest in PAGE_RESTS))
    return (Table(header, tuple(rows)),)
