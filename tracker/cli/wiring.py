"""The composition root: the one place that reads the clock, the environment and the user's folders."""

from __future__ import annotations

import datetime as dt
import os
import sys
from argparse import Namespace
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field, fields
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from tracker.app.session import Session
from tracker.cli.config_files import Setting, read_settings
from tracker.cli.printing import Printer
from tracker.cli.remedies import COMMAND_LINE
from tracker.entry.dates import parse_date
from tracker.errors import UsageError
from tracker.model.database_address import without_secret
from tracker.model.text import clean_line
from tracker.settings import Settings

if TYPE_CHECKING:
    from tracker.store.database import Store

NAME = "slackwater"


@dataclass(frozen=True)
class AppDirs:
    """The user's folders (XDG base directories) and the config files."""

    data: Path
    state: Path
    cache: Path
    config: Path
    config_files: Mapping[str, Path]


@dataclass
class Context:
    """What a command works with.

    Attributes
    ----------
    db : str
        Path or URL of the database.
    as_of : date
        The day it is: ``--as-of``, else SLACKWATER_TODAY, else the clock.
    as_of_given : date or None
        ``--as-of`` alone.
    day_fixed : bool
        Whether the day was given rather than read off the clock.
    now : datetime
        The moment written to the history, UTC.
    who : str
        Who does it.
    """

    db: str
    settings: Settings
    found: Mapping[str, Setting]
    dirs: AppDirs
    as_of: dt.date
    as_of_given: dt.date | None
    now: dt.datetime
    who: str
    say: Printer
    day_fixed: bool = False
    json: bool = False
    no_input: bool = False
    color: bool = True
    warnings: tuple[str, ...] = field(default=())

    @cached_property
    def store(self) -> Store:
        """The database, made if it is not there."""
        from tracker.store.database import Store

        return self._remarked(Store.open(self.db, create=True))

    @cached_property
    def store_to_read(self) -> Store:
        """The database, which must be there."""
        from tracker.store.database import Store

        if not self.has_store:
            address = without_secret(self.db)
            raise UsageError(
                f"there is no database at {address} yet; begin with 'slackwater swimmer add NAME', "
                "or look at 'slackwater demo'"
            )
        return self._remarked(Store.open(self.db, create=False))

    @property
    def session(self) -> Session:
        """What a use-case is given; the database is made if it is not there."""
        return Session(self.store, self.as_of, self.settings, self.who, self.now)

    @property
    def session_to_read(self) -> Session:
        """What a use-case is given where the database must be there."""
        return Session(self.store_to_read, self.as_of, self.settings, self.who, self.now)

    def _remarked(self, store: Store) -> Store:
        """Say what a person should know about the database."""
        for remark in store.remarks:
            self.say.warned(f"warning: {remark.worded(COMMAND_LINE)}")
        return store

    def say_noted(self, *, noted: bool) -> None:
        """Say of a copy just made that the record does not know of it, where that is so."""
        if not noted:
            self.say.warned(
                "warning: the record could not note this copy, so 'swimmer erase' will not name it; "
                "delete it yourself when somebody is to be erased"
            )

    def say_read_only(self) -> None:
        """Say that the record could only be read, where that is so."""
        for name in ("store", "store_to_read"):
            store: Store | None = self.__dict__.get(name)
            if store is not None and store.read_only:
                self.say.warned(f"warning: {store.read_only}")

    def prepare_drawing(self) -> None:
        """Set the drawing library's cache folder to ours, before it is imported."""
        if "MPLCONFIGDIR" not in os.environ:
            from tracker.output.whole_files import private_folder

            folder = self.dirs.cache / "matplotlib"
            with suppress(OSError):  # then it keeps none, or in a folder of its own for the while
                private_folder(folder)
            os.umask(0o077)  # it writes its list of fonts with the umask's mode
            os.environ["MPLCONFIGDIR"] = str(folder)

    def close(self) -> None:
        """Give the database back, if it was opened."""
        for name in ("store", "store_to_read"):
            store: Store | None = self.__dict__.pop(name, None)
            if store is not None:
                store.close()

    @property
    def has_store(self) -> bool:
        """Whether there is a database to read."""
        return "://" in self.db or Path(self.db).exists()

    @property
    def may_ask(self) -> bool:
        """Whether a person can be asked: a terminal, and input allowed."""
        return not self.no_input and sys.stdin.isatty() and sys.stderr.isatty()

    def agreed(self, question: str) -> bool:
        """Ask for a yes on the terminal; only where `may_ask`."""
        sys.stderr.write(f"{clean_line(question)} [y/N] ")
        sys.stderr.flush()
        return sys.stdin.readline().strip().lower() in {"y", "yes"}

    def asked(self, question: str) -> str:
        """Ask for a word on the terminal; only where `may_ask`."""
        sys.stderr.write(f"{clean_line(question)} ")
        sys.stderr.flush()
        return sys.stdin.readline().strip()

    def chosen(self, question: str, choices: Sequence[str]) -> str:
        """Ask which one it is; only where `may_ask`. Empty if none of them is answered."""
        listed = "/".join(choices) if len(choices) > 1 else "y/N"
        sys.stderr.write(f"{clean_line(question)} [{listed}] ")
        sys.stderr.flush()
        answer = sys.stdin.readline().strip()
        if len(choices) == 1 and answer.lower() in {"y", "yes"}:
            return choices[0]
        return answer if answer in choices else ""


def find_app_dirs(environ: Mapping[str, str]) -> AppDirs:
    """Return the user's folders after the XDG base directory specification; relative values are ignored."""
    home = Path(environ.get("HOME") or "~").expanduser()

    def base(variable: str, fallback: Path) -> Path:
        value = environ.get(variable, "")
        return (Path(value) if value.startswith("/") else fallback) / NAME

    config = base("XDG_CONFIG_HOME", home / ".config")
    system = [
        part for part in (environ.get("XDG_CONFIG_DIRS") or "/etc/xdg").split(":") if part.startswith("/")
    ]
    files = {f"system {folder}": Path(folder) / NAME / "config.toml" for folder in reversed(system)}
    if len(files) == 1:
        files = {"system": next(iter(files.values()))}
    files["user"] = config / "config.toml"
    files["project"] = Path.cwd() / f"{NAME}.toml"
    return AppDirs(
        data=base("XDG_DATA_HOME", home / ".local" / "share"),
        state=base("XDG_STATE_HOME", home / ".local" / "state"),
        cache=base("XDG_CACHE_HOME", home / ".cache"),
        config=config,
        config_files=files,
    )


def wire(args: Namespace, environ: Mapping[str, str] | None = None) -> Context:
    """Return the context of one command from its flags, the environment and the config files.

    Raises
    ------
    UsageError
        If a date, a setting or a path is none.
    """
    environ = os.environ if environ is None else environ
    dirs = find_app_dirs(environ)
    found, warnings = read_settings(dirs.config_files, environ)
    settings = Settings(**{f.name: found[f.name].value for f in fields(Settings)})  # type: ignore[arg-type]
    flag = getattr(args, "db", None)
    if flag is not None:
        found["db"] = Setting(_path(flag, "--db"), "flag --db")
    elif "db" not in found:
        found["db"] = Setting(str(dirs.data / "slackwater.db"), "default")
    if "who" not in found:
        found["who"] = Setting(_user_name(environ), "the system's user name")
    given = getattr(args, "as_of", None)
    today, now = _clock(environ.get("SLACKWATER_TODAY", ""))
    as_of_given = _date(given, "--as-of") if given is not None else None
    return Context(
        db=str(found["db"].value),
        settings=settings,
        found=found,
        dirs=dirs,
        as_of=as_of_given or today,
        as_of_given=as_of_given,
        now=now,
        who=clean_line(str(found["who"].value)),
        day_fixed=as_of_given is not None or bool(environ.get("SLACKWATER_TODAY")),
        say=Printer(quiet=getattr(args, "quiet", False)),
        json=getattr(args, "json", False),
        no_input=getattr(args, "no_input", False),
        color=not (
            getattr(args, "no_color", False) or environ.get("NO_COLOR") or environ.get("TERM") == "dumb"
        ),
        warnings=(*warnings, *_shown_secret(flag)),
    )


def _clock(fixed: str) -> tuple[dt.date, dt.datetime]:
    """Return today, in the zone of the machine, and now; at noon where SLACKWATER_TODAY fixes the day."""
    if fixed:
        day = _date(fixed, "SLACKWATER_TODAY")
        return day, dt.datetime.combine(day, dt.time(12), dt.UTC)
    now = dt.datetime.now(dt.UTC)
    return now.astimezone().date(), now


def _date(text: str, where: str) -> dt.date:
    try:
        return parse_date(text)
    except ValueError as wrong:
        raise UsageError(f"{where}: {wrong}") from None


def _path(text: str, where: str) -> str:
    if not text.strip() or "\0" in text:
        raise UsageError(f"{where}: no path or URL is given")
    return text


def _shown_secret(address: str | None) -> tuple[str, ...]:
    """Return a warning where a password stands on the command line."""
    if address is None or without_secret(address) == address:
        return ()
    return (
        "others on this machine can read the password given with --db in the list of processes; "
        "put it in ~/.pgpass, PGPASSWORD or SLACKWATER_DB",
    )


def _user_name(environ: Mapping[str, str]) -> str:
    for variable in ("LOGNAME", "USER", "USERNAME"):
        if environ.get(variable):
            return environ[variable]
    try:
        import pwd

        return pwd.getpwuid(os.getuid()).pw_name
    except (ImportError, KeyError):
        return "unknown"
