"""A table of results: to CSV, to markdown, and back."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True)
class Table:
    """`name` is its file, `title` its heading, `conditions` what has to be known to read it."""

    name: str
    title: str
    conditions: str
    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]

    def write(self, folder: Path) -> None:
        """Write NAME.csv: title and conditions as comments, then the table."""
        with (folder / f"{self.name}.csv").open("w", encoding="utf-8", newline="") as file:
            file.write(f"# {self.title}\n# {self.conditions}\n")
            writer = csv.writer(file, lineterminator="\n")
            writer.writerow(self.columns)
            writer.writerows(self.rows)

    def markdown(self) -> str:
        """Return the table under its title, conditions beneath."""
        lines = [" | ".join(self.columns), " | ".join("---" for _ in self.columns)]
        lines += [" | ".join(row) for row in self.rows]
        body = "\n".join(f"| {line} |" for line in lines)
        return f"### {self.title}\n\n{self.conditions}\n\n{body}\n"


def read_table(path: Path) -> Table:
    """Return a table as `Table.write` left it."""
    with path.open(encoding="utf-8", newline="") as file:
        title, conditions = file.readline()[2:].rstrip("\n"), file.readline()[2:].rstrip("\n")
        columns, *rows = csv.reader(file)
    return Table(path.stem, title, conditions, tuple(columns), tuple(tuple(row) for row in rows))
