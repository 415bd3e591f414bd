"""What is different from what was told, and which tests did it.

Read when it is asked for: a scan knows nothing of it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tracker.app.executor import IN_PROCESS, Executor, Progress
from tracker.app.scan import scan
from tracker.app.session import Session
from tracker.errors import UsageError
from tracker.model.base import StoredRow
from tracker.model.fault import FaultStep
from tracker.model.told import Told
from tracker.model.vocabularies import Step, ToldBy
from tracker.store.reading import Reader
from tracker.store.swim_changes import SwimChange, entries_of, swim_changes
from tracker.technique.attention import RosterLine
from tracker.technique.due import Due
from tracker.technique.pipeline import by_swimmer
from tracker.technique.told import (
    Changes,
    Difference,
    FaultChanges,
    FellDue,
    NewTests,
    TestChange,
    TestChangeKind,
    WordChange,
    difference,
)

LAST = "last"
"""Since this person's own last look."""
_ORDER = {kind: rank for rank, kind in enumerate(Difference)}


def changes(
    session: Session,
    *,
    since: dt.date | None = None,
    mine: bool = False,
    executor: Executor = IN_PROCESS,
    progress: Progress | None = None,
) -> Changes:
    """Return what is different from what was told: words, faults, what fell due, tests.

    Parameters
    ----------
    since
        Against what was told by that day; None: against what was told last, of each swimmer.
    mine
        Only against what this person was told, or told by a page.
    """
    lines = {line.swimmer: line for line in scan(session, detail=True, executor=executor, progress=progress)}
    with session.store.read() as reader:
        rows = reader.all(Told)
        ahead = [row.record for row in rows if row.record.date > session.today]
        counted = [
            row
            for row in rows
            if row.record.date <= min(since or session.today, session.today)
            and (not mine or row.record.who == session.who)
        ]
        known = _last_told(counted)
        steps: Mapping[str, Sequence[FaultStep]] = by_swimmer(row.record for row in reader.all(FaultStep))
        entries = entries_of(reader, Told, (row.id for own in known.values() for row in own))
        words: list[WordChange] = []
        faults: list[FaultChanges] = []
        due: list[FellDue] = []
        tests: list[NewTests] = []
        for name, line in lines.items():
            own = known.get(name, ())
            found = _words(line, own) if rows else []
            words += [_with_tests(reader, one, entries) for one in found]
            begins = since or max((row.record.date for row in own), default=None)
            if begins is None:
                continue
            faults += _faults(name, steps.get(name, ()), begins, session.today)
            due += _fell_due(name, line.due, begins, session.today)
            if (days := _days_tested(line, begins)) and not found:
                tests.append(NewTests(line, days, begins))
    words.sort(key=lambda one: _ORDER[one.difference])  # within each kind as the roster stands
    return Changes(session.today, since, bool(rows), words, faults, due, tests, ahead)


def _days_tested(line: RosterLine, begins: dt.date) -> tuple[dt.date, ...]:
    """Return the days after `begins` with a test that counts or could."""
    points = line.verdict.points if line.verdict else ()
    return tuple(sorted({point.date for point in points if point.date > begins}))


def last_look(session: Session) -> dt.date:
    """Return the day on which this person last marked something as seen.

    Raises
    ------
    UsageError
        If they never did.
    """
    with session.store.read() as reader:
        seen = [row.record.date for row in reader.all(Told, where=ToldBy.SEEN, who=session.who)]
    days = [day for day in seen if day <= session.today]
    if not days:
        raise UsageError(f"{session.who} has marked nothing as seen yet; give a day instead")
    return max(days)


def _last_told(rows: Sequence[StoredRow[Told]]) -> dict[str, list[StoredRow[Told]]]:
    """Return by swimmer what each person was told last; of one day the later row."""
    last: dict[tuple[str, str], StoredRow[Told]] = {}
    for row in rows:  # by date and number
        last[row.record.swimmer, row.record.who] = row
    found: dict[str, list[StoredRow[Told]]] = {}
    for (name, _), row in sorted(last.items(), key=lambda one: (one[1].record.date, one[1].id)):
        found.setdefault(name, []).append(row)
    return found


@dataclass(frozen=True)
class _Found:
    """A difference, and the rows of what was told."""

    line: RosterLine
    difference: Difference
    told: tuple[StoredRow[Told], ...]


def _words(line: RosterLine, own: Sequence[StoredRow[Told]]) -> list[_Found]:
    """Return how a line differs from what each person was told: one for all who were told one word."""
    if not own:
        found = difference(None, line.verdict, line.link)
        return [_Found(line, found, ())] if found else []
    alike: dict[tuple[Difference, str], list[StoredRow[Told]]] = {}
    for row in own:
        if kind := difference(row.record, line.verdict, line.link):
            alike.setdefault((kind, row.record.verdict), []).append(row)
    return [_Found(line, kind, tuple(rows)) for (kind, _), rows in alike.items()]


def _with_tests(reader: Reader, found: _Found, entries: Mapping[int, int]) -> WordChange:
    """Return a difference with what became of the tests since the latest of it was told."""
    told = tuple(row.record for row in found.told)
    if not told:
        return WordChange(found.line, found.difference, (), (), ())
    last = found.told[-1]
    entry = entries.get(last.id)
    changed = [] if entry is None else swim_changes(reader, found.line.swimmer, after=entry)
    tests = tuple(test for one in changed if (test := _test_change(one, last.record.date)))
    new = _days_tested(found.line, last.record.date)
    return WordChange(found.line, found.difference, told, tests, new)


_BESIDE = {"note", "set_id"}
"""What of a swim no verdict rests on."""


def _test_change(change: SwimChange, told: dt.date) -> TestChange | None:
    """Return what became of a swim of before; None of one swum since, and where no verdict rests on it."""
    before, after = change.before, change.after
    swim = min((one for one in (before, after) if one), key=lambda one: one.date)
    if swim.date > told:
        return None
    if before is None:
        kind = TestChangeKind.ADDED_LATE
    elif after is None:
        kind = TestChangeKind.DELETED
    elif before.model_dump(exclude=_BESIDE) != after.model_dump(exclude=_BESIDE):
        kind = TestChangeKind.CORRECTED
    else:
        return None
    was, now = (None if one is None else one.time_s for one in (before, after))
    return TestChange(kind, swim.date, swim.distance_m, was, now)


def _faults(name: str, steps: Sequence[FaultStep], begins: dt.date, today: dt.date) -> list[FaultChanges]:
    """Return the steps after `begins` by which faults were opened, corrected or back."""
    found = tuple(
        step
        for step in steps
        if begins < step.date <= today and step.step in {Step.OPEN, Step.CORRECTED, Step.BACK}
    )
    return [FaultChanges(name, found)] if found else []


def _fell_due(name: str, due: Due, begins: dt.date, today: dt.date) -> list[FellDue]:
    """Return what fell due after `begins`, and is due still."""
    test = due.test if due.test_due(today) and due.test is not None and due.test > begins else None
    look = due.review if due.look_due(today) and due.review is not None and due.review > begins else None
    return [FellDue(name, test, look)] if test or look else []
