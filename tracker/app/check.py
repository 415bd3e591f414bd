"""Check whether the database is sound, and repair what can be repaired."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from pathlib import Path

from tracker.app.session import Session
from tracker.errors import BadFileError, BusyError, UnwritableError, UsageError
from tracker.remedies import Mend
from tracker.store.checking import START_BYTES, Finding, check_file, last_backup, mend
from tracker.store.checksums import has_digest, write_digest
from tracker.store.engine import address_of, file_of
from tracker.store.opening import find_read_only_reason, read_only_remark


@dataclass(frozen=True)
class CheckReport:
    """What was found, what is left after mending, and that the file can only be read, where that is so."""

    file: Path
    findings: tuple[Finding, ...]
    remaining: tuple[Finding, ...]
    last_backup: dt.datetime | None
    remark: str


def check_store(address: str | Path, *, full: bool = True, fix: bool = False) -> CheckReport:
    """Check a database by its path: it need not be fit to be opened.

    Raises
    ------
    UsageError
        If it is on a server.
    BadFileError
        If there is no such file.
    BusyError
        If another process holds it.
    """
    file = file_of(address_of(address))
    if file is None:
        raise UsageError("a server checks its own database", Mend.CHECK_A_FILE)
    if not file.exists():
        raise BadFileError(f"there is no database at {file}")
    findings = check_file(file, full=full)
    remaining = findings
    reason = find_read_only_reason(file)
    if fix and any(finding.mendable for finding in findings):
        if reason is not None:
            raise UnwritableError(
                f"{file} cannot be mended: {reason.cause}; nothing was changed; {reason.mend}"
            )
        mend(file)
        remaining = check_file(file, full=full)
    if full and not remaining and not reason and not has_digest(file):
        write_digest(file, largest=None)
    remark = read_only_remark(file, reason) if reason else ""
    return CheckReport(
        file, tuple(findings), tuple(remaining), None if remaining else last_backup(file), remark
    )


def check_at_start(session: Session) -> tuple[Finding, ...]:
    """Return what a quick look at an open database finds; nothing where a server or others hold it.

    30 ms for a club of 24, 1 s at the size up to which pages are read (measured; twice that on a
    busy machine). It runs beside the screens. Commands do with what opening looks at, the header
    and the version: a script that logs a season would pay for the pages each time.
    """
    if session.store.file is None:
        return ()
    try:
        return tuple(check_file(session.store.file, full=False, page_bytes=START_BYTES))
    except (BusyError, UnwritableError):
        return ()
