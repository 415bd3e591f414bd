"""The files of the invented club with the rows of some swimmers alone."""

from __future__ import annotations

import csv
from collections.abc import Collection
from pathlib import Path

CLUB = Path(__file__).parents[1] / "fixtures" / "club"


def write_some_of_the_club(folder: Path, names: Collection[str]) -> None:
    """Write every file of the club into a folder; a row about somebody else is left out."""
    for file in CLUB.glob("*.csv"):
        with file.open(encoding="utf-8", newline="") as stream:
            rows = list(csv.reader(stream))
        at = rows[0].index("swimmer") if "swimmer" in rows[0] else None
        with (folder / file.name).open("w", encoding="utf-8", newline="") as stream:
            csv.writer(stream).writerows(
                [rows[0], *(row for row in rows[1:] if at is None or row[at] in names)]
            )
