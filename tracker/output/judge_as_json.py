"""The judge output as JSON values: verdicts for any table of series."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from typing import Protocol

from tracker.engine.series.left_out import LeftOut
from tracker.engine.verdict.verdict import Verdict
from tracker.output.as_json import SCHEMA, Json, add_easy, untested_json, verdict_json
from tracker.technique.pipeline import by_swimmer


class UnusedRow(Protocol):
    """A row of a table that could not be taken: its number, and what is wrong with it."""

    @property
    def row(self) -> int:
        """The row in its file, counting the header as row 1."""

    @property
    def reason(self) -> str:
        """What is wrong with it."""

    @property
    def file(self) -> str:
        """The file it stands in; empty for the table itself."""


def judge_json(
    verdicts: Sequence[Verdict],
    unused: Sequence[UnusedRow],
    as_of: dt.date | None,
    left_out: Sequence[LeftOut] = (),
) -> Json:
    """Return the judge output as JSON values.

    Parameters
    ----------
    unused
        The rows that could not be taken.
    left_out
        The swims that are no tests; who swam no other is too early.
    """
    day = as_of or max((verdict.last for verdict in verdicts), default=None)
    return {
        "schema": SCHEMA,
        "as_of": None if day is None else day.isoformat(),
        "unused": [_unused_json(row) for row in unused],
        "swimmers": judged_json(verdicts, left_out),
    }


def judged_json(verdicts: Sequence[Verdict], left_out: Sequence[LeftOut]) -> list[Json]:
    """Return the swimmers of a table, by name, also those who swam no test."""
    easy = by_swimmer(left_out)
    found = {verdict.swimmer: verdict_json(verdict) for verdict in verdicts}
    found |= {name: untested_json(name) for name in easy if name not in found}
    for name, swims in easy.items():
        add_easy(found[name], swims)
    return [found[name] for name in sorted(found)]


def _unused_json(row: UnusedRow) -> Json:
    return {"row": row.row, "why": row.reason, **({"file": row.file} if row.file else {})}
