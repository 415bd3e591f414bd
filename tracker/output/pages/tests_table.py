"""The month's tests as a table, and the critical swim speed of its last pair."""

from __future__ import annotations

from tracker.errors import SlackwaterError
from tracker.output.css_words import CAVEAT, css_sentence, distance_words, set_rows
from tracker.output.numbers import MONTHS, number, pace
from tracker.output.pages.page import Block, Said, Table
from tracker.output.pages.season import Season
from tracker.records.css import TRIAL_ERROR, Css, critical_speed, set_paces
from tracker.records.swim import Swim
from tracker.records.units import format_time

MOST_ROWS = 10
PAGE_SETS = (100, 200, 400)
PAGE_RESTS = (10, 20)
CSS_LASTS_DAYS = 90
"""Set paces are not drawn from an older pair (assumption)."""


def tests_blocks(season: Season) -> tuple[Block, ...]:
    """Return the month's tests; columns that nobody filled in are left out."""
    swims = season.month_swims
    if not swims:
        return (Said("No test this month."),)
    shown = swims[-MOST_ROWS:]
    columns: list[tuple[str, list[str]]] = [
        ("date", [_day(swim) for swim in shown]),
        ("swum", [_swum(swim) for swim in shown]),
        ("time", [format_time(swim.time_s) for swim in shown]),
        ("per 100 m", [pace(swim.pace) for swim in shown]),
    ]
    for title, cells in (
        ("strokes", [swim.strokes for swim in shown]),
        ("cycles/min", [number(swim.rate_cpm, 1) if swim.rate_cpm else "" for swim in shown]),
    ):
        if any(cells):
            columns.append((title, cells))
    table = Table(
        tuple(title for title, _ in columns), tuple(zip(*(cells for _, cells in columns), strict=True))
    )
    notes = []
    if len(swims) > len(shown):
        notes.append(f"{len(swims) - len(shown)} earlier swims of the month are not listed.")
    if any(swim.decision == "aside" for swim in shown):
        notes.append("* set aside, does not count.")
    return (table, *(Said(note, "small") for note in notes))


def _day(swim: Swim) -> str:
    return f"{swim.date.day} {MONTHS[swim.date.month - 1][:3]}"


def _swum(swim: Swim) -> str:
    words = [distance_words(swim.distance_m, swim.course), swim.course]
    if swim.suit == "wetsuit":
        words.append("wetsuit")
    return " ".join(words) + ("*" if swim.decision == "aside" else "")


def last_css(season: Season) -> tuple[Css, Swim] | None:
    """Return the CSS of the latest pair within `CSS_LASTS_DAYS`, and its first swim."""
    pairs: dict[str, list[Swim]] = {}
    for swim in season.swims:
        recent = 0 <= (season.as_of - swim.date).days <= CSS_LASTS_DAYS
        if swim.test == "css" and swim.set_id and recent and swim.decision != "aside":
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
    return (Said(f"{_day(swim)}: {css_sentence(css, TRIAL_ERROR, swim.course)}."), Said(CAVEAT, "small"))


def set_blocks(season: Season) -> tuple[Block, ...]:
    """Return what to swim and when to leave at the latest CSS."""
    found = last_css(season)
    if found is None:
        return (Said("Set paces come from a 400 and a 200 swum as one test; there is none of late."),)
    rows = set_rows(set_paces(found[0].pace, PAGE_SETS, PAGE_RESTS))
    header = ("distance", "in", *(f"leave on, {rest} s rest" for rest in PAGE_RESTS))
    return (Table(header, tuple(rows)),)
