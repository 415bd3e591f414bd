"""What a command prints: data on stdout, messages on stderr, every line harmless."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable, Sequence
from typing import Any, TextIO

from tracker.model.text import clean_line
from tracker.output.json_text import json_text, json_with_list


class Printer:
    """Prints for one command.

    Attributes
    ----------
    quiet
        Whether messages are left out.
    """

    def __init__(self, *, quiet: bool = False, out: TextIO | None = None, err: TextIO | None = None) -> None:
        self.quiet = quiet
        self._out = out or sys.stdout
        self._err = err or sys.stderr
        self._cautioned: set[str] = set()

    @property
    def width(self) -> int | None:
        """Columns of the terminal; None where stdout is none."""
        if not self._out.isatty():
            return None
        columns = os.environ.get("COLUMNS", "")
        if columns.isascii() and columns.isdigit() and int(columns) > 0:
            return int(columns)
        try:
            return os.get_terminal_size(self._out.fileno()).columns
        except OSError:
            return 80

    def line(self, text: str = "") -> None:
        """Print one line of data."""
        self._out.write(f"{clean_line(text)}\n")

    def lines(self, text: str) -> None:
        """Print a text of several lines; tabs stay, they part the cells of a table."""
        for line in text.split("\n"):
            self._out.write("\t".join(clean_line(cell) for cell in line.split("\t")) + "\n")

    def table(self, header: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
        """Print rows in columns that fit the terminal; elsewhere one row a line, tabs between, uncut."""
        cleaned = [[clean_line(cell) for cell in row] for row in (header, *rows)]
        if self.width is None:
            for row in cleaned:
                self._out.write("\t".join(row) + "\n")
            return
        from tracker.output.text import cells, fit

        widths = [max(cells(row[i]) for row in cleaned) for i in range(len(header))]
        for row in cleaned:
            padded = (fit(cell, width, pad=True) for cell, width in zip(row, widths, strict=True))
            self._out.write(fit("  ".join(padded).rstrip(), self.width) + "\n")

    def json(self, value: dict[str, Any]) -> None:
        """Print a JSON object in UTF-8, with the characters that steer a terminal escaped."""
        self._out.write(json_text(value))
        self._out.write("\n")

    def json_list(self, head: dict[str, Any], name: str, items: Iterable[str]) -> None:
        """Print a JSON object whose last field is a long list, each item's text given on level 2."""
        self._out.writelines(json_with_list(head, name, items))
        self._out.write("\n")

    def said(self, text: str) -> None:
        """Print a message, unless quiet was asked for."""
        if not self.quiet:
            self.warned(text)

    def warned(self, text: str) -> None:
        """Print a warning, after the data that was printed before it."""
        self._out.flush()
        self._err.write(f"{clean_line(text)}\n")

    def cautioned(self, cautions: Iterable[str]) -> None:
        """Print cautions, each only the first time it comes up in this output."""
        for caution in cautions:
            if caution not in self._cautioned:
                self._cautioned.add(caution)
                self.warned(caution)

    def failed(self, text: str) -> None:
        """Print the one line that says what went wrong."""
        self.flush()
        self._err.write(f"error: {clean_line(text)}\n")
        self._err.flush()

    def flush(self) -> None:
        """Hand everything on; a broken pipe is noticed here."""
        self._out.flush()
        self._err.flush()
