"""What is different from what was told, and how told words held, as JSON values."""

from __future__ import annotations

import datetime as dt
from typing import Any

from tracker.model.told import Told
from tracker.output.sentences.changes import due_line, fault_line, tests_line, word_line
from tracker.output.sentences.link import FaultNames
from tracker.technique.attention import RosterLine
from tracker.technique.told import Changes, link_told
from tracker.technique.track_record import TrackRecord, WordRecord

SCHEMA = 1
"""Version of both outputs."""
Json = dict[str, Any]


def changes_json(found: Changes, names: FaultNames) -> Json:
    """Return the changes; each has the sentence that is printed for it."""
    as_of = found.as_of
    return {
        "schema": SCHEMA,
        "as_of": as_of.isoformat(),
        "since": _iso(found.since),
        "words": [
            {
                "swimmer": one.line.swimmer,
                "change": one.difference.value,
                "told": [told_json(told) for told in one.told],
                "now": _now(one.line),
                "tests": [
                    {
                        "change": test.kind.value,
                        "date": test.date.isoformat(),
                        "distance_m": test.distance_m,
                        "was_s": test.was_s,
                        "now_s": test.now_s,
                    }
                    for test in one.tests
                ],
                "new_tests": [date.isoformat() for date in one.new_days],
                "sentence": word_line(one, names, as_of),
            }
            for one in found.words
        ],
        "faults": [
            {
                "swimmer": one.swimmer,
                "steps": [
                    {
                        "fault": step.fault,
                        "side": step.side,
                        "step": step.step.value,
                        "date": step.date.isoformat(),
                    }
                    for step in one.steps
                ],
                "sentence": fault_line(one, names, as_of),
            }
            for one in found.faults
        ],
        "due": [
            {
                "swimmer": one.swimmer,
                "test": _iso(one.test),
                "review": _iso(one.look),
                "sentence": due_line(one, as_of),
            }
            for one in found.due
        ],
        "tests": [
            {
                "swimmer": one.line.swimmer,
                "since": one.since.isoformat(),
                "days": [date.isoformat() for date in one.days],
                "sentence": tests_line(one, as_of),
            }
            for one in found.tests
        ],
        "still_to_come": [told_json(told) for told in found.ahead],
    }


def told_json(told: Told) -> Json:
    """Return what was told, as in `told.csv`."""
    return {
        "date": told.date.isoformat(),
        "swimmer": told.swimmer,
        "verdict": told.verdict,
        "p": told.p,
        "since": _iso(told.since),
        "link": told.link,
        "where": told.where.value,
        "who": told.who,
    }


def _now(line: RosterLine) -> Json:
    verdict = line.verdict
    tells = verdict is not None and verdict.verdict.tells
    return {
        "verdict": None if verdict is None else verdict.verdict.value,
        "p": None if verdict is None or verdict.p is None else round(verdict.p, 4),
        "since": _iso(verdict.since) if verdict is not None and tells else None,
        "since_low": _iso(verdict.since_low) if verdict is not None and tells else None,
        "since_high": _iso(verdict.since_high) if verdict is not None and tells else None,
        "link": link_told(line.link),
    }


def revisions_json(found: TrackRecord) -> Json:
    """Return the record of each word that was told, then of all."""
    return {
        "schema": SCHEMA,
        "as_of": found.as_of.isoformat(),
        "words": [{"verdict": str(one.word), **_counts(one)} for one in found.words],
        "all": _counts(found.all),
    }


def _counts(record: WordRecord) -> Json:
    return {
        "told": record.told,
        "swimmers": record.swimmers,
        "revised": record.revised,
        "month_later": {
            "compared": record.compared,
            "agreed": record.agreed,
            "otherwise": record.otherwise,
            "unsure": record.unsure,
        },
    }


def _iso(date: dt.date | None) -> str | None:
    return None if date is None else date.isoformat()
