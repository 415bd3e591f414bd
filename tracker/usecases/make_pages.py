"""The monthly pages of one swimmer, a group or everybody, as files."""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from tracker.errors import UsageError
from tracker.faults.life import spells
from tracker.output.letters import boxes_remark
from tracker.output.numbers import month_name
from tracker.output.pages.making import Format, Made, Order, make
from tracker.output.pages.naming import file_stem
from tracker.output.pages.permission import why_not
from tracker.output.pages.season import Season
from tracker.output.pages.typeset import Paper
from tracker.output.whole_files import whole_file
from tracker.records.event import Event
from tracker.records.fault import FaultStep
from tracker.records.kept import Kept
from tracker.records.review import ReviewItem
from tracker.records.swim import Swim
from tracker.records.swimmer import Consent, Swimmer
from tracker.records.work import Work
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.store.reading import Reader
from tracker.usecases.crew import Crew, all_cores
from tracker.usecases.propose_next import graded_line, step_of
from tracker.usecases.read_evidence import RosterRecord, evidence_of
from tracker.usecases.roster_teaching import roster_teaching
from tracker.usecases.scan_in_parts import PART
from tracker.usecases.weigh_roster import weigh_roster

Progress = Callable[[int, int, str], None]
"""Told how many are done, of how many, and whose page was the last."""


WORTH = 17
"""Fewer pages are made sooner in this process than others start."""


@dataclass(frozen=True)
class PagesMade:
    """What became of every page: the files, and (whose, why) of those failed, left out or with boxes.

    A page with boxes is made: some letters have no face on paper.
    """

    written: tuple[Path, ...]
    failed: tuple[tuple[str, str], ...] = ()
    skipped: tuple[tuple[str, str], ...] = ()
    boxed: tuple[tuple[str, str], ...] = ()

    @property
    def remarks(self) -> tuple[tuple[str, str], ...]:
        """Everything that somebody must be told, by whose page it is about."""
        return (*self.failed, *self.skipped, *self.boxed)


def make_pages(  # noqa: PLR0913 - what the command takes
    store: Store,
    month: dt.date,
    *,
    out: Path,
    as_of: dt.date,
    settings: Settings,
    names: Sequence[str] | None = None,
    group: str | None = None,
    formats: tuple[Format, ...] = ("pdf",),
    paper: Paper = "a4",
    sheets: int = 2,
    crew: Crew | None = None,
    progress: Progress | None = None,
) -> PagesMade:
    """Write a page a swimmer for the month; pages of the same swimmer and month are made anew.

    Parameters
    ----------
    month
        Any day of it.
    out
        Folder for the files; created if need be.
    as_of
        The day the pages are made. A month not yet over is reported as far as it went.
    names, group
        Whose pages; with neither, everybody's who is active.
    sheets
        1 for the front alone, 2 with the figures behind it.
    crew
        Who makes them; None for all cores.

    Raises
    ------
    UsageError
        If the month has not begun.
    UnknownNameError
        If one of the names is nobody's; nothing is written then.
    SlackwaterError
        If the folder cannot be written.
    """
    first = month.replace(day=1)
    if first > as_of:
        raise UsageError(f"{month_name(first)} has not begun on {as_of.isoformat()}; name an earlier month")
    until = min(first.replace(day=calendar.monthrange(first.year, first.month)[1]), as_of)
    order = Order(formats, as_of, paper, sheets)
    written: list[Path] = []
    failed: list[tuple[str, str]] = []
    boxed: list[tuple[str, str]] = []
    taught = roster_teaching(store, as_of=until, settings=settings)
    weighed = weigh_roster(store, as_of=until, settings=settings)
    with store.read() as reader:
        people, skipped = _people(reader, names, group, as_of, settings)
        stems = {
            kept.record.swimmer: file_stem(kept.id, kept.record.swimmer, first, private=settings.private)
            for kept in people
        }
        read = partial(evidence_of, reader, taught, as_of=until, settings=settings, weighed=weighed)
        seasons = _seasons(reader, people, read, (first, until), settings)
        hands = (crew or all_cores()).for_parts(len(people), worth=WORTH)
        for done, made in enumerate(hands.each(partial(make, order=order), seasons), start=1):
            written += _write(made, out, stems[made.swimmer])
            failed += [(made.swimmer, reason) for reason in made.failures]
            boxed += [(made.swimmer, boxes_remark(made.boxed))] if made.boxed else []
            if progress is not None:
                progress(done, len(people), made.swimmer)
    return PagesMade(tuple(written), tuple(failed), tuple(skipped), tuple(boxed))


def _people(
    reader: Reader, names: Sequence[str] | None, group: str | None, day: dt.date, settings: Settings
) -> tuple[list[Kept[Swimmer]], list[tuple[str, str]]]:
    """Return those whose page may be made, and (swimmer, reason) of those whose may not."""
    if names is None:
        found = [kept for kept in reader.all(Swimmer) if group in {None, kept.record.group}]
        # Only where all are archived are they named: else every month would end as one that failed.
        asked = [kept for kept in found if kept.record.archived is None] or found
        asked.sort(key=lambda kept: kept.record.swimmer)
    else:
        asked = list({kept.id: kept for kept in map(reader.swimmer, names)}.values())
    people, skipped = [], []
    for kept in asked:
        label = kept.record.swimmer
        consents = [one.record for one in reader.all(Consent, swimmer=label)]
        reason = why_not(kept.record, consents, day, needed=settings.consent_needed)
        if reason:
            skipped.append((label, reason))
        else:
            people.append(kept)
    return people, skipped


def _seasons(
    reader: Reader,
    people: Sequence[Kept[Swimmer]],
    read: Callable[..., RosterRecord],
    span: tuple[dt.date, dt.date],
    settings: Settings,
) -> Iterator[Season]:
    """Yield one season after the other; `read` gives the record of a part when its turn comes."""
    first, until = span
    for place, kept in enumerate(people):
        if place % PART == 0:
            record = read(among=[one.record.swimmer for one in people[place : place + PART]])
            names = {slug: fault.name for slug, fault in record.catalogue.items()}
        label = kept.record.swimmer
        steps = [one.record for one in reader.all(FaultStep, swimmer=label) if one.record.date <= until]
        swims = [one.record for one in reader.all(Swim, swimmer=label) if one.record.date <= until]
        line = graded_line(record, label, swims, settings)
        yield Season(
            swimmer=kept.record,
            month=first,
            as_of=until,
            line=line,
            names=names,
            step=step_of(record, line, as_of=until, settings=settings),
            spells=spells(steps, until),
            swims=swims,
            steps=steps,
            reviews=[one.record for one in reader.all(ReviewItem, swimmer=label) if one.record.date <= until],
            work=[one.record for one in reader.all(Work, swimmer=label) if one.record.from_date <= until],
            events=[one.record for one in reader.all(Event, swimmer=label)],
            settings=settings,
        )


def _write(made: Made, out: Path, stem: str) -> list[Path]:
    """Write the files of one swimmer, and return where they lie."""
    paths = []
    for ending, content in made.files.items():
        path = out / f"{stem}.{ending}"
        with whole_file(path, force=True) as stream:
            stream.write(content)
        paths.append(path)
    return paths
