"""Verdicts for any table of series: no database, no roster, no limit of rows.

From Python::

    import pandas as pd
    from tracker.app.judge import judge

    verdicts = judge(pd.read_csv("series.csv", dtype=str))
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from tracker.engine.series.left_out import LeftOut, LeftOutReason
from tracker.engine.verdict.verdict import Verdict
from tracker.entry.series_table import SeriesTable, UnusedRow, read_series_table
from tracker.model.units import LEAST_EFFORT
from tracker.settings import DEFAULT, Settings

if TYPE_CHECKING:
    import pandas as pd

    from tracker.engine.series.rows import Rows


@dataclass(frozen=True)
class Judged:
    """Verdicts in the order of the swimmers' names, and what they leave out.

    Attributes
    ----------
    unused
        Rows that could not be used.
    left_out
        Swims that were too easy for a test.
    """

    verdicts: tuple[Verdict, ...]
    unused: tuple[UnusedRow, ...]
    as_of: dt.date | None
    left_out: tuple[LeftOut, ...] = ()


def judge_columns(
    columns: Mapping[str, Sequence[object]],
    *,
    events: Mapping[str, Sequence[dt.date]] | None = None,
    date_format: str | None = None,
    as_of: dt.date | None = None,
    today: dt.date | None = None,
    settings: Settings = DEFAULT,
) -> Judged:
    """Return a verdict for every swimmer of a table given as columns of cells.

    Parameters
    ----------
    columns
        "swimmer", "date", "pace" (s per 100 m, or m:ss.t); optional "test", "course",
        "suit", "weight" (inverse variance, 1 = an ordinary test), "at" (HH:MM), "effort" (1 to 10) and
        "taper" (yes).
    events
        Swimmer -> days at which the level may jump.
    date_format
        Order of a date's parts where dates are not ISO 8601.
    as_of
        Each verdict is as of the swimmer's last test on or before this day; default: the last.
    today
        A test beyond tomorrow is not used; default: any day is.

    Raises
    ------
    BadFileError
        If a required column is missing.
    """
    table, unused = read_series_table(columns, date_format=date_format, today=today)
    easy = _easy(table, as_of)
    rows = _rows(table, as_of)
    if rows is None:
        return Judged((), unused, as_of, easy)
    from tracker.engine.series.rows import day_number
    from tracker.engine.verdict.judge import examine, judge_case, learn_priors

    jumps = {name: [day_number(day) for day in days] for name, days in (events or {}).items()}
    case = examine(rows, learn_priors(rows, settings, jumps), settings, events=jumps)
    verdicts = judge_case(case, settings, as_of=as_of)
    return Judged(verdicts, unused, as_of or max(verdict.last for verdict in verdicts), easy)


def _easy(table: SeriesTable, as_of: dt.date | None) -> tuple[LeftOut, ...]:
    """Return the swims up to `as_of` that were too easy for a test."""
    rows = zip(table.swimmer, table.date, table.effort, strict=True)
    return tuple(
        LeftOut(swimmer, date, LeftOutReason.EASY)
        for swimmer, date, effort in rows
        if effort < LEAST_EFFORT and (as_of is None or date <= as_of)
    )


def _rows(table: SeriesTable, as_of: dt.date | None) -> Rows | None:
    """Return the tests of a table up to `as_of`, sorted; any swim ends a break."""
    import numpy as np

    from tracker.engine.series.conditions import Circumstances, after_breaks, conditions_of
    from tracker.engine.series.rows import day_number, numbered, sorted_rows

    day = np.array([day_number(day) for day in table.date], np.int64)
    seen = np.ones(day.size, bool) if as_of is None else day <= day_number(as_of)
    use = seen & ~(np.array(table.effort) < LEAST_EFFORT)
    if not use.any():
        return None
    texts = [np.array(column, object)[use] for column in (table.test, table.course, table.suit)]
    swimmer = np.array(table.swimmer, object)
    order = np.flatnonzero(seen)
    order = order[np.lexsort((day[order], numbered(swimmer[order])[0]))]
    broken = np.zeros(day.size, bool)
    broken[order] = after_breaks(swimmer[order], day[order])
    at, effort, taper = (np.array(column)[use] for column in (table.at, table.effort, table.taper))
    return sorted_rows(
        swimmer[use],
        day[use],
        np.array(table.pace)[use],
        np.array(table.weight)[use],
        (texts[0], texts[1], texts[2]),
        conditions_of(Circumstances(at, effort, taper), broken[use]),
    )


def judge(
    frame: pd.DataFrame,
    *,
    date_format: str | None = None,
    as_of: dt.date | None = None,
    settings: Settings = DEFAULT,
) -> pd.DataFrame:
    """Return verdicts as a frame, one row a swimmer, with the fields of the judge output.

    Parameters
    ----------
    frame
        Columns as in `judge_columns`; cells may be text, numbers or dates. Rows that cannot be
        used are left out and listed in the result's ``attrs["unused"]`` as (row, why). A swim with an
        effort below 8 is no test and is not listed.
    """
    import pandas as pd

    from tracker.output.judge_as_json import judged_json

    judged = judge_columns(
        {str(name): frame[name].tolist() for name in frame.columns},
        date_format=date_format,
        as_of=as_of,
        settings=settings,
    )
    result = pd.DataFrame(judged_json(judged.verdicts, judged.left_out))
    result.attrs["unused"] = [(row.row, row.reason) for row in judged.unused]
    return result
