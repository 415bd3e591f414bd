"""A delimited text file to numbered rows of text: encoding, delimiter and limits, no meaning yet."""

from __future__ import annotations

import codecs
import csv
import io
from collections.abc import Generator, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from tracker.errors import BadFileError
from tracker.remedies import Mend

_DELIMITERS = (",", ";", "\t", "|")
_BLOCK = 1 << 20
_FIELD_BYTES = 100_000


@dataclass(frozen=True)
class FileLimits:
    """How much of a file is taken; what is over is refused, never cut off."""

    rows: int = 100_000
    megabytes: float = 50.0
    columns: int = 200


@dataclass(frozen=True)
class Sheet:
    """A table of text as it stands in a file.

    Attributes
    ----------
    header
        The names in the first row.
    rows
        Row number (the header is row 1) and its cells; to be read once, and closed.
    remarks
        What was found out about the file, in words ("read as Windows-1252").
    comma
        Whether a number may have a decimal comma.
    stem
        What the table is called, where that may say which of ours it is.
    """

    name: str
    header: tuple[str, ...]
    rows: Generator[tuple[int, list[str]], None, None]
    remarks: tuple[str, ...] = ()
    comma: bool = False
    stem: str = ""


def open_text_file(file: Path, limits: FileLimits) -> Sheet:
    """Open a delimited text file.

    UTF-8 (with or without a mark), UTF-16 with a mark, else Windows-1252, which is said. The
    delimiter is the one of comma, semicolon, tab and bar that splits the header most.

    Raises
    ------
    BadFileError
        If it is no text, too large, or has no header; while rows are read, if a quote is not
        closed or there are too many rows.
    """
    check_size(file, limits)
    try:
        with file.open("rb") as stream:
            encoding = _encoding(stream, file.name)
        text = file.open("r", encoding=encoding, newline="")
    except OSError as error:
        raise BadFileError(f"cannot read {file}: {error.strerror}") from None
    try:
        start = text.read(_FIELD_BYTES)
    except UnicodeError:
        text.close()
        raise BadFileError(f"{file.name} is not a text file; give a CSV or XLSX file") from None
    if not start.strip():
        text.close()
        raise BadFileError(f"{file.name} is empty; its first row must name the columns")
    first = next(iter(io.StringIO(start, newline="")), "")
    delimiter = max(_DELIMITERS, key=first.count)
    text.seek(0)
    lines = csv.reader(text, delimiter=delimiter, strict=True)
    rows = _rows(lines, text, file.name, limits)
    try:
        _, header = next(rows)
    except StopIteration:
        raise BadFileError(f"{file.name} is empty; its first row must name the columns") from None
    if len(header) > limits.columns:
        text.close()
        raise BadFileError(f"{file.name} has {len(header)} columns; {limits.columns} are allowed")
    remarks = (
        [] if encoding.startswith("utf") else ["read as Windows-1252; if names look wrong, save it as UTF-8"]
    )
    return Sheet(
        file.name, tuple(header), rows, tuple(remarks), comma=delimiter in ";\t", stem=file.stem.lower()
    )


def check_size(file: Path, limits: FileLimits) -> None:
    """Refuse a file that is too large, before a byte of it is read."""
    try:
        size = file.stat().st_size
    except OSError as error:
        raise BadFileError(f"cannot read {file}: {error.strerror}") from None
    if size > limits.megabytes * 1_000_000:
        raise BadFileError(
            f"{file.name} has {size / 1e6:.0f} MB; {limits.megabytes:g} are allowed", Mend.MORE_MEGABYTES
        )


def _encoding(stream: BinaryIO, name: str) -> str:
    start = stream.read(4)
    if start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        return "utf-16"
    decoder = codecs.getincrementaldecoder("utf-8-sig")()
    block, is_utf8 = start, True
    while block:
        if is_utf8:
            try:
                decoder.decode(block)
            except UnicodeDecodeError:
                is_utf8 = False
        if b"\x00\x00\x00" in block:
            raise BadFileError(f"{name} is not a text file; give a CSV or XLSX file")
        block = stream.read(_BLOCK)
    if is_utf8:
        try:
            decoder.decode(b"", final=True)
        except UnicodeDecodeError:
            is_utf8 = False
    return "utf-8-sig" if is_utf8 else "cp1252"


def _rows(
    lines: Iterator[list[str]], text: io.TextIOBase, name: str, limits: FileLimits
) -> Generator[tuple[int, list[str]], None, None]:
    number = 0
    try:
        for cells in lines:
            number += 1
            if number > limits.rows + 1:
                raise BadFileError(f"{name} has more than {limits.rows} rows", Mend.MORE_ROWS)
            if cells:
                yield number, cells
    except csv.Error as error:
        raise BadFileError(f"{name}:{number + 1}: {_said(error)}") from None
    except UnicodeError:
        raise BadFileError(f"{name}:{number + 1}: this row is not text; save the file as UTF-8") from None
    finally:
        text.close()


def _said(error: csv.Error) -> str:
    words = str(error)
    if "limit" in words:
        return "a cell is longer than 100 kB"
    if "unexpected end" in words:
        return "a quote is opened and never closed"
    return f"the quotes do not match ({words})"
