"""Pages of swimmers: make, list, preview."""

from __future__ import annotations

import calendar
import datetime as dt
import tempfile
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

from tracker.app.executor import Executor, all_cores
from tracker.app.learned_priors import learned_priors
from tracker.app.next_step import graded_line, step_of
from tracker.app.read_evidence import RosterRecord, evidence_of
from tracker.app.roster_evidence import learn_roster_evidence
from tracker.app.scan import PART
from tracker.app.session import Session
from tracker.app.told import tell, told_by
from tracker.errors import SlackwaterError, UsageError
from tracker.model.base import StoredRow
from tracker.model.event import Event
from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Consent, Swimmer
from tracker.model.told import Told
from tracker.model.vocabularies import ItemKind, ToldBy
from tracker.model.work import Work
from tracker.output.glyphs import boxes_remark
from tracker.output.pages.file_names import file_stem
from tracker.output.pages.permission import why_not
from tracker.output.pages.rendering import Format, PageOptions, RenderedPage, make
from tracker.output.pages.season import Season
from tracker.output.pages.typeset import Paper
from tracker.output.sentences.evidence import beside_the_club
from tracker.output.sentences.numbers import count, month_name
from tracker.output.whole_files import whole_file
from tracker.settings import Settings
from tracker.store.reading import Reader
from tracker.technique.club_norms import club_norms
from tracker.technique.fault_timeline import spells_of, timelines
from tracker.technique.pipeline import by_swimmer
from tracker.technique.privacy import in_evidence
from tracker.technique.reviewing import look_changes, own_errors

Progress = Callable[[int, int, str], None]
"""Called with the number of pages done, of all, and the swimmer of the last."""


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
        """All remarks, by the swimmer whose page they are about."""
        return (*self.failed, *self.skipped, *self.boxed)


def make_pages(  # noqa: PLR0913 - what the command takes
    session: Session,
    month: dt.date,
    *,
    out: Path,
    names: Sequence[str] | None = None,
    group: str | None = None,
    formats: tuple[Format, ...] = ("pdf",),
    paper: Paper = "a4",
    sheets: int = 2,
    executor: Executor | None = None,
    progress: Progress | None = None,
    telling: bool = True,
) -> PagesMade:
    """Write a page a swimmer for the month; pages of the same swimmer and month are replaced.

    A month not yet over is reported as far as it went. What the pages tell is kept.

    Parameters
    ----------
    month
        Any day of it.
    out
        Folder for the files; created if need be.
    names, group
        Whose pages; with neither, everybody's who is active.
    sheets
        1 for the front alone, 2 with the figures behind it.
    executor
        Who makes them; None for all cores.
    telling
        Whether people will act on them; what a preview tells is not kept.

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
    if first > session.today:
        raise UsageError(
            f"{month_name(first)} has not begun on {session.today.isoformat()}; name an earlier month"
        )
    until = min(first.replace(day=calendar.monthrange(first.year, first.month)[1]), session.today)
    order = PageOptions(formats, session.today, paper, sheets)
    written: list[Path] = []
    failed: list[tuple[str, str]] = []
    boxed: list[tuple[str, str]] = []
    then = replace(session, today=until)
    learned = learned_priors(then)
    roster_evidence = learn_roster_evidence(then)
    told: dict[str, list[Told]] = {}
    told_on_paper: list[Told] = []
    with session.store.read() as reader:
        people, skipped = _people(reader, names, group, session.today, session.settings)
        stems = {
            row.record.swimmer: file_stem(row.id, row.record.swimmer, first, private=session.settings.private)
            for row in people
        }
        read = partial(
            evidence_of,
            reader,
            learned,
            as_of=until,
            settings=session.settings,
            roster_evidence=roster_evidence,
        )
        seasons = _noting(_seasons(reader, people, read, (first, until), session.settings), session, told)
        workers = (executor or all_cores()).for_parts(len(people), worth=WORTH)
        for done, made in enumerate(workers.each(partial(make, order=order), seasons), start=1):
            paths = _write(made, out, stems[made.swimmer])
            written += paths
            told_on_paper += told.pop(made.swimmer) if paths else []
            failed += [(made.swimmer, reason) for reason in made.failures]
            boxed += [(made.swimmer, boxes_remark(made.boxed))] if made.boxed else []
            if progress is not None:
                progress(done, len(people), made.swimmer)
    if telling:
        tell(
            session,
            told_on_paper,
            f"keep what {count(len(told_on_paper), 'page')} of {month_name(first)} told",
        )
    return PagesMade(tuple(written), tuple(failed), tuple(skipped), tuple(boxed))


def _noting(seasons: Iterator[Season], session: Session, told: dict[str, list[Told]]) -> Iterator[Season]:
    """Yield the seasons, and note in `told` what the page of each will tell."""
    for season in seasons:
        told[season.swimmer.swimmer] = told_by([season.line], session, ToldBy.PAGE)
        yield season


def _people(
    reader: Reader, names: Sequence[str] | None, group: str | None, day: dt.date, settings: Settings
) -> tuple[list[StoredRow[Swimmer]], list[tuple[str, str]]]:
    """Return those whose page may be made, and (swimmer, reason) of those whose may not."""
    if names is None:
        found = [row for row in reader.all(Swimmer) if group in {None, row.record.group}]
        # Only where all are archived are they named: else every month would end as one that failed.
        asked = [row for row in found if row.record.archived is None] or found
        asked.sort(key=lambda row: row.record.swimmer)
    else:
        asked = list({row.id: row for row in map(reader.swimmer, names)}.values())
    people, skipped = [], []
    for row in asked:
        label = row.record.swimmer
        consents = [one.record for one in reader.all(Consent, swimmer=label)]
        reason = why_not(row.record, consents, day, needed=settings.consent_needed)
        if reason:
            skipped.append((label, reason))
        else:
            people.append(row)
    return people, skipped


def _seasons(
    reader: Reader,
    people: Sequence[StoredRow[Swimmer]],
    read: Callable[..., RosterRecord],
    span: tuple[dt.date, dt.date],
    settings: Settings,
) -> Iterator[Season]:
    """Yield one season after the other; `read` gives the record of a part when its turn comes."""
    first, until = span
    rows = reader.all(ReviewItem, kind=ItemKind.MEASURE)
    read_off = [one.record for one in rows if one.record.date <= until]
    errors, norms = own_errors(read_off), club_norms(read_off, until=until)
    by_label = by_swimmer(read_off)
    for index, row in enumerate(people):
        if index % PART == 0:
            record = read(among=[one.record.swimmer for one in people[index : index + PART]])
            names = {slug: fault.name for slug, fault in record.catalogue.items()}
        label = row.record.swimmer
        steps = [one.record for one in reader.all(FaultStep, swimmer=label) if one.record.date <= until]
        swims = [one.record for one in reader.all(Swim, swimmer=label) if one.record.date <= until]
        line = graded_line(record, label, swims, settings)
        reviews = [one.record for one in reader.all(ReviewItem, swimmer=label) if one.record.date <= until]
        faults = timelines(steps, until, reviews)
        changes = look_changes(by_label.get(label, ()), errors, until=until)
        yield Season(
            swimmer=row.record,
            month=first,
            as_of=until,
            line=line,
            names=names,
            step=step_of(record, line, as_of=until, settings=settings),
            spells=tuple(spell for one in faults for spell in spells_of(one)),
            disputes=tuple(dispute for one in faults for dispute in one.disputes),
            swims=swims,
            steps=steps,
            reviews=reviews,
            beside_club=beside_the_club(changes, norms, errors),
            work=[one.record for one in reader.all(Work, swimmer=label) if one.record.from_date <= until],
            events=in_evidence((one.record for one in reader.all(Event, swimmer=label)), settings),
            settings=settings,
        )


def _write(made: RenderedPage, out: Path, stem: str) -> list[Path]:
    """Write the files of one swimmer, and return where they lie."""
    paths = []
    for ending, content in made.files.items():
        path = out / f"{stem}.{ending}"
        with whole_file(path, force=True) as stream:
            stream.write(content)
        paths.append(path)
    return paths


@dataclass(frozen=True)
class PageDue:
    """A swimmer and the reason why no page may be made; "" where one may."""

    swimmer: str
    group: str
    why_not: str


def list_pages(session: Session) -> list[PageDue]:
    """Return everybody in order of label, and why they get no page today, of whatever month."""
    with session.store.read() as reader:
        consents: dict[str, list[Consent]] = {}
        for row in reader.all(Consent):
            consents.setdefault(row.record.swimmer, []).append(row.record)
        people = sorted((row.record for row in reader.all(Swimmer)), key=lambda who: who.swimmer)
    needed = session.settings.consent_needed
    return [
        PageDue(
            who.swimmer, who.group, why_not(who, consents.get(who.swimmer, ()), session.today, needed=needed)
        )
        for who in people
    ]


def preview_page(session: Session, month: dt.date, name: str) -> str:
    """Return the text twin of the page.

    Raises
    ------
    UsageError
        If the month has not begun.
    SlackwaterError
        If the page may not be made, with the reason.
    """
    with tempfile.TemporaryDirectory(prefix="slackwater-") as folder:
        made = make_pages(session, month, out=Path(folder), names=[name], formats=("txt",), telling=False)
        if not made.written:
            reason = next((why for _, why in made.remarks), "nothing was made")
            raise SlackwaterError(f"no page for {name}: {reason}")
        return made.written[0].read_text(encoding="utf-8")
