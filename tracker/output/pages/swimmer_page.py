"""A season to a page: front, back and footer."""

from __future__ import annotations

import datetime as dt
from importlib.metadata import version

from tracker.model.age import may_be_minor
from tracker.model.text import clean_line
from tracker.output.pages.back import back
from tracker.output.pages.front import front
from tracker.output.pages.page import Page
from tracker.output.pages.season import Season
from tracker.output.sentences.numbers import count, full_day, month_name
from tracker.output.sentences.verdict import NO_ADVICE


def swimmer_page(season: Season, made_on: dt.date, *, sheets: int = 2) -> Page:
    """Return the page of one swimmer for one month.

    Parameters
    ----------
    sheets
        2 adds the figures behind the front, where there are any; 1 is the front alone.
    """
    behind = back(season) if sheets > 1 else None
    name = clean_line(season.swimmer.swimmer)
    month = month_name(season.month)
    group = clean_line(season.swimmer.group)
    private = season.settings.private
    return Page(
        title=f"Monthly page, {month}" if private else f"{name}, {month}",
        name=name,
        subtitle=f"{month}, {group}" if group else month,
        author=group or "slackwater",
        made_on=made_on,
        sheets=(front(season),) if behind is None else (front(season), behind),
        footer=footer(season, made_on),
    )


def footer(season: Season, made_on: dt.date) -> tuple[str, ...]:
    """Return the date of the data, the number of test days, the method, the readers, the day it was made."""
    verdict = season.line.verdict
    last = full_day(verdict.last) if verdict else full_day(season.as_of)
    tests = count(verdict.tests if verdict else 0, "test day")
    return (
        f"Data up to {last}, {tests}.",
        f"Method: labelled segmentation, slackwater {version('slackwater')}.",
        f"For {readers(season)} only.",
        f"Made on {full_day(made_on)}.",
        NO_ADVICE,
    )


def readers(season: Season) -> str:
    """Return who may read the page; a parent or guardian too where the swimmer may be under age."""
    minor = may_be_minor(season.swimmer.born, season.as_of)
    return "the swimmer, a parent or guardian, and the coach" if minor else "the swimmer and the coach"
