"""The coach's summary of a month over a group or the whole roster, as files."""

from __future__ import annotations

import calendar
import datetime as dt
from pathlib import Path

from tracker.errors import UsageError
from tracker.faults.life import spells
from tracker.output.numbers import month_name
from tracker.output.pages.making import Format, Order, made_from
from tracker.output.pages.naming import slug
from tracker.output.pages.roster_page import RosterMonth, roster_page
from tracker.output.pages.typeset import Paper
from tracker.output.whole_files import whole_file
from tracker.pipeline import roster
from tracker.records.catalogue import full_catalogue
from tracker.records.fault import OwnFault
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.make_pages import PagesMade
from tracker.usecases.read_club import read_club


def make_roster_page(  # noqa: PLR0913 - what the command takes
    store: Store,
    month: dt.date,
    *,
    out: Path,
    as_of: dt.date,
    settings: Settings,
    group: str | None = None,
    formats: tuple[Format, ...] = ("pdf",),
    paper: Paper = "a4",
) -> PagesMade:
    """Write the summary of a month; that of the same group and month is made anew.

    Raises
    ------
    UsageError
        If the month has not begun, or nobody is on the roster.
    SlackwaterError
        If the folder cannot be written.
    """
    first = month.replace(day=1)
    if first > as_of:
        raise UsageError(f"{month_name(first)} has not begun on {as_of.isoformat()}; name an earlier month")
    until = min(first.replace(day=calendar.monthrange(first.year, first.month)[1]), as_of)
    with store.read() as reader:
        club = read_club(reader, group=group)
        own = [kept.record for kept in reader.all(OwnFault)]
    if not club.swimmers:
        raise UsageError("there is nobody to make a page for; is the group's name right?")
    before = roster(club, settings, as_of=first - dt.timedelta(days=1))
    steps = {
        name: [step for step in club.steps.get(name, ()) if step.date <= until] for name in club.swimmers
    }
    looks = {item.swimmer for items in club.reviews.values() for item in items if item.date <= until}
    looks |= {name for name, own_steps in steps.items() if any(step.reviewer for step in own_steps)}
    content = RosterMonth(
        month=first,
        as_of=until,
        group=group or "",
        lines=roster(club, settings, as_of=until, detail=True),
        names={fault.slug: fault.name for fault in full_catalogue(own)},
        before={line.swimmer: line.verdict.verdict for line in before if line.verdict is not None},
        spells={name: spells(own_steps, until) for name, own_steps in steps.items()},
        looked=frozenset(looks),
    )
    name = "roster"
    made = made_from(name, lambda: roster_page(content, as_of), Order(formats, as_of, paper))
    stem = "-".join(part for part in (name, slug(group or ""), f"{first:%Y-%m}") if part)
    written = []
    for ending, content_bytes in made.files.items():
        path = out / f"{stem}.{ending}"
        with whole_file(path, force=True) as stream:
            stream.write(content_bytes)
        written.append(path)
    return PagesMade(tuple(written), tuple((name, reason) for reason in made.failures), ())
