"""The tool's own track record: how many of the words that were told were later revised."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from dataclasses import replace

from tracker.app.executor import IN_PROCESS, Executor
from tracker.app.scan import scan, scan_in_parts
from tracker.app.session import Session
from tracker.engine.verdict.verdict import Verdict
from tracker.model.told import Told
from tracker.technique.told import contradicts, word_told
from tracker.technique.track_record import Later, TrackRecord, month_later, track_record

MONTH = dt.timedelta(days=30)
"""How long the tests after a word are waited for; the same span as the verdict's word of a month ago."""


def revisions(session: Session, *, executor: Executor = IN_PROCESS) -> TrackRecord:
    """Return how the words that were told held: by what is said of those days now, and a month later.

    A word counts once for a swimmer and a day, to however many it was told. Words about days to come, and of
    swimmers who are not on the roster any more, count for nothing.
    """
    with session.store.read() as reader:
        rows = [row.record for row in reader.all(Told)]
        there = set(reader.labels())
    told = {(one.swimmer, one.date, one.verdict): one for one in rows}
    counted = [
        one
        for one in told.values()
        if one.date <= session.today and one.swimmer in there and word_told(one).tells
    ]
    now = {line.swimmer: line.verdict for line in scan(session, executor=executor)} if counted else {}
    later = _months_later(session, counted, executor)
    return track_record(
        [
            (one, _revised(one, now.get(one.swimmer)), later[one.swimmer, one.date, one.verdict])
            for one in counted
        ],
        as_of=session.today,
    )


def _revised(told: Told, verdict: Verdict | None) -> bool:
    return verdict is not None and contradicts(told, verdict)


def _months_later(
    session: Session, told: Iterable[Told], executor: Executor
) -> Mapping[tuple[str, dt.date, str], Later]:
    """Return for each word what the verdict of a month later says of the day it was about.

    The swimmers told of one day are judged together, each with what is on record today up to that day.
    """
    by_day: dict[dt.date, list[Told]] = {}
    for one in told:
        by_day.setdefault(one.date, []).append(one)
    found: dict[tuple[str, dt.date, str], Later] = {}
    for day, own in by_day.items():
        verdicts: dict[str, Verdict | None] = {}
        if day + MONTH <= session.today:
            then = replace(session, today=day + MONTH)
            names = {one.swimmer for one in own}
            for part in scan_in_parts(then, names=names, executor=executor):
                verdicts |= {line.swimmer: line.verdict for line in part.lines}
        for one in own:
            found[one.swimmer, one.date, one.verdict] = month_later(one, verdicts.get(one.swimmer))
    return found
