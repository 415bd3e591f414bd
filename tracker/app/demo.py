"""Build the invented club in a folder of its own, as of its last day; the user's own data stay untouched."""

from __future__ import annotations

import datetime as dt
import tempfile
from dataclasses import dataclass
from pathlib import Path

from tracker.app.import_club import import_club
from tracker.app.session import Session
from tracker.errors import BadFileError, UsageError
from tracker.output.whole_files import private_folder
from tracker.remedies import Mend
from tracker.settings import Settings
from tracker.store.database import Store

LAST_DAY = dt.date(2026, 6, 30)
"""The club's last day; nothing in it is dated later."""
MONTH = "2026-06"
"""The month that its pages are made for."""
DATABASE = "club.db"
_PACKAGE = Path(__file__).resolve().parents[1]


@dataclass(frozen=True)
class Demo:
    """The club as built: its open store, where it lies, and what day it is there."""

    store: Store
    folder: Path
    database: Path
    last_day: dt.date
    month: str


def club_files() -> Path:
    """Return the folder of the club's CSV files: inside the package, or beside it in a checkout.

    Raises
    ------
    BadFileError
        If neither is there.
    """
    candidates = (_PACKAGE / "club", _PACKAGE.parent / "fixtures" / "club")
    for candidate in candidates:
        if (candidate / "swims.csv").is_file():
            return candidate
    raise BadFileError(f"the invented club is not at {candidates[0]}; install slackwater again")


def build_demo(folder: Path | None = None, *, settings: Settings) -> Demo:
    """Build the club.

    Parameters
    ----------
    folder
        Made if it is not there; must be empty. None makes a fresh folder among the system's temporary ones.
    settings
        Thresholds; those for doubtful swims are used here.

    Raises
    ------
    UsageError
        If the folder holds something, or is a file.
    """
    target = Path(tempfile.mkdtemp(prefix="slackwater-")) if folder is None else _empty(folder)
    database = target / DATABASE
    store = Store.open(database)
    import_club(
        Session(store, LAST_DAY, settings, "demo", dt.datetime.combine(LAST_DAY, dt.time(20), dt.UTC)),
        club_files(),
        strict=True,
    )
    return Demo(store, target, database, LAST_DAY, MONTH)


def _empty(folder: Path) -> Path:
    """Return the folder, made if need be, if nothing lies in it."""
    if folder.exists() and not folder.is_dir():
        raise UsageError(f"{folder} is a file", Mend.EMPTY_FOLDER)
    if folder.is_dir() and any(folder.iterdir()):
        raise UsageError(f"{folder} is not empty", Mend.EMPTY_FOLDER)
    private_folder(folder)
    return folder
