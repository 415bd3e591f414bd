"""What must hold of a packed workbook before anything parses it (CWE-409, CWE-776)."""

from __future__ import annotations

import re
import zipfile
import zlib
from pathlib import Path
from typing import IO, Any

from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import DefusedXMLParser, ParseError, fromstring

from tracker.entry.text_file import FileLimits
from tracker.errors import BadFileError
from tracker.model.club_layout import WRITER
from tracker.remedies import Mend

_OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"
_UNPACKED_MB = 200
_RATIO = 100
_SMALL = 1_000_000
"""Below this a part may be packed as tightly as it likes."""
_PARTS = 2_000
_BLOCK = 1 << 16
_CELL = re.compile(rb'\br="([A-Z]{1,3})?([0-9]{1,9})"')
_ROW = re.compile(rb"<(?:\w+:)?row\b")
_DAMAGE = (
    zipfile.BadZipFile,
    zlib.error,
    NotImplementedError,
    RuntimeError,
    EOFError,
    OSError,
    UnicodeDecodeError,  # a part's name that says it is UTF-8 and is not
)


def check_workbook(file: Path, limits: FileLimits) -> None:
    """Refuse a workbook that is none, is locked, or would unpack to too much.

    Raises
    ------
    BadFileError
        With what is wrong.
    """
    with file.open("rb") as stream:
        start = stream.read(8)
    if start == _OLD:
        raise BadFileError(
            f"{file.name} is an old or a locked workbook; save it as XLSX without a password, or CSV"
        )
    if not start.startswith(b"PK"):
        raise BadFileError(f"{file.name} is no XLSX workbook, whatever its name; save it as XLSX or CSV")
    try:
        with zipfile.ZipFile(file) as pack:
            _check_parts(file.name, pack, limits)
    except _DAMAGE as error:
        raise BadFileError(
            f"{file.name} is damaged or locked ({type(error).__name__}); save it again"
        ) from None


def _check_parts(name: str, pack: zipfile.ZipFile, limits: FileLimits) -> None:
    parts = pack.infolist()
    allowed = max(_UNPACKED_MB, 4 * limits.megabytes) * 1_000_000
    declared = sum(part.file_size for part in parts)
    too_much = f"{name} would unpack to more than {allowed / 1e6:.0f} MB"
    if declared > allowed or len(parts) > _PARTS:
        raise BadFileError(too_much, Mend.MORE_UNPACKED)
    for part in parts:
        if part.file_size > max(_SMALL, _RATIO * part.compress_size):
            raise BadFileError(f"{name} is packed {_RATIO} times and more, as a bomb is; save it as CSV")
    counted = 0
    for part in parts:
        with pack.open(part) as stream:
            is_xml = part.filename.endswith((".xml", ".rels"))
            is_sheet = part.filename.startswith("xl/worksheets/") and is_xml
            seen = _Seen(name, limits, is_sheet=is_sheet)
            counted += _walk(stream, seen, allowed - counted, too_much, is_xml=is_xml)


def _walk(stream: IO[bytes], seen: _Seen, room: float, too_much: str, *, is_xml: bool) -> int:
    """Read a part to its end, counting; return its true size."""
    size = 0
    while block := stream.read(_BLOCK):
        size += len(block)
        if size > room:
            raise BadFileError(too_much, Mend.MORE_UNPACKED)
        if is_xml:
            seen.look(block)
    return size


class _Root:
    """An XML target that stops at the first element: what may harm stands before it."""

    def __init__(self) -> None:
        self.reached = False

    def start(self, _tag: str, _attributes: dict[str, str]) -> None:
        self.reached = True

    def close(self) -> None:
        """Nothing is built."""


class _Seen:
    """Looks at a part's blocks: no DTD before its root, no cell beyond the limits."""

    def __init__(self, name: str, limits: FileLimits, *, is_sheet: bool) -> None:
        self._name = name
        self._limits = limits
        self._is_sheet = is_sheet
        self._root = _Root()
        self._parser: Any = DefusedXMLParser(target=self._root, forbid_dtd=True)
        self._tail = b""
        self._rows = 0

    def look(self, block: bytes) -> None:
        if not self._root.reached:
            try:
                self._parser.feed(block)
            except DefusedXmlException:
                raise BadFileError(
                    f"{self._name} holds a DTD, which no workbook needs; it is refused"
                ) from None
            except ParseError:
                raise BadFileError(f"{self._name} is damaged inside; save it again") from None
        if self._is_sheet:
            self._measure(self._tail + block)
            self._tail = block[-64:]

    def _measure(self, text: bytes) -> None:
        self._rows += len(_ROW.findall(text))
        limits = self._limits
        if self._rows > 2 * limits.rows + 2:
            raise BadFileError(f"{self._name} has more than {limits.rows} rows", Mend.MORE_ROWS)
        for letters, digits in set(_CELL.findall(text)):
            if int(digits) > limits.rows + 1:
                raise BadFileError(
                    f"{self._name} has a cell in row {int(digits)}; {limits.rows} are allowed: delete the "
                    "empty rows below the table",
                    Mend.OR_MORE_ROWS,
                )
            if letters and _place(letters) > limits.columns:
                raise BadFileError(
                    f"{self._name} has a cell in column {letters.decode()}; {limits.columns} are allowed"
                )


def _place(letters: bytes) -> int:
    place = 0
    for letter in letters:
        place = place * 26 + letter - 64
    return place


def is_our_workbook(file: Path) -> bool:
    """Return whether a workbook, already checked, says that we wrote it."""
    try:
        with zipfile.ZipFile(file) as pack:
            root = fromstring(pack.read("docProps/core.xml"), forbid_dtd=True)
    except (KeyError, ParseError, DefusedXmlException):
        return False
    return any(element.tag.endswith("}creator") and element.text == WRITER for element in root)
