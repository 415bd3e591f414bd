"""The club as JSON lines: one record a line, with the kind of record it is."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

from tracker.model.club_layout import ClubFile
from tracker.output.whole_files import whole_file

NAME = "club.jsonl"


def lines_of(file: ClubFile, rows: Iterable[tuple[Any, ...]]) -> Iterator[str]:
    """Give one line a record: its kind, then its fields under the record's own names (units in them)."""
    fields = list(file.columns.values())
    for row in rows:
        record = {"record": file.stem, **dict(zip(fields, row, strict=True))}
        yield json.dumps(record, ensure_ascii=False, allow_nan=False, default=dt.date.isoformat)


def write_json_lines(folder: Path, lines: Iterable[str], *, force: bool = False) -> int:
    """Write the lines; return how many."""
    count = 0
    with whole_file(folder / NAME, force=force) as stream:
        for line in lines:
            stream.write(line.encode() + b"\n")
            count += 1
    return count
