"""The database and backend of an address; how to recognise a file of this program."""

from __future__ import annotations

import os
from pathlib import Path

from sqlalchemy import Connection, Engine
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError

from tracker.errors import BadFileError, SlackwaterError, UsageError
from tracker.model.database_address import is_secret, is_server
from tracker.plugin_registry import load_plugin
from tracker.store.backend import RECORDS, TABLES, WRITES, Backend
from tracker.store.sqlite import APPLICATION_ID, SQLite

__all__ = ["APPLICATION_ID", "RECORDS", "TABLES", "WRITES"]

_WRITTEN = "postgresql+psycopg://LOGIN@HOST:5432/DATABASE"
_MAGIC = b"SQLite format 3\x00"
_SQLITE = SQLite()


def address_of(database: str | Path) -> URL:
    """Return the database URL of a path or URL; any path is meant as it stands.

    Raises
    ------
    UsageError
        If it is the URL of something else than SQLite or PostgreSQL, or cannot be read. What is wrong
        in it is never repeated: it may be a part of a password.
    """
    text_form = str(database)
    scheme, mark, rest = text_form.partition("://")
    if not mark and is_server(text_form):
        raise UsageError(f"the address of a server is written {_WRITTEN}")
    if not mark:
        return URL.create("sqlite", database=str(Path(text_form).expanduser().absolute()))
    if scheme not in {"sqlite", "postgresql", "postgresql+psycopg"}:
        raise UsageError(f"no database is called {scheme!r}; give a path, or postgresql+psycopg://...")
    login, at, place = rest.partition("@")
    if scheme != "sqlite" and ("@" in place or (at and set(login) & set("/?"))):
        raise UsageError(
            "a login or password in an address must have its @ written %40, / as %2F and ? as %3F; "
            "better leave it out and put it in ~/.pgpass or PGPASSWORD"
        )
    try:
        return make_url(f"postgresql+psycopg://{rest}" if scheme == "postgresql" else text_form)
    except ValueError:
        raise UsageError(f"the address's port is no number; it is written {_WRITTEN}") from None
    except ArgumentError:
        raise UsageError(f"the address of the database cannot be read; it is written {_WRITTEN}") from None


def file_of(address: URL) -> Path | None:
    """Return the SQLite file of a URL; None for a server."""
    if address.get_backend_name() != "sqlite":
        return None
    if not address.database or address.database == ":memory:":
        raise BadFileError("a database in memory is lost at once; give a path")
    return Path(address.database)


def name_of(address: URL) -> str:
    """Return the database's name for messages: a path, or the URL without its password."""
    file = file_of(address)
    if file:
        return str(file)
    bare = address.difference_update_query([name for name in address.query if is_secret(name)])
    return bare.render_as_string(hide_password=True)


def make_private_file(file: Path) -> None:
    """Create an empty file that only its owner can read, and its folder likewise, whatever the umask."""
    try:
        make_private_folder(file.parent)
        descriptor = os.open(file, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600)
    except FileExistsError:
        return
    except OSError as error:
        raise SlackwaterError(f"cannot create {file}: {error.strerror}") from None
    os.fchmod(descriptor, 0o600)
    os.close(descriptor)


def make_private_folder(folder: Path) -> None:
    """Create a folder and the missing ones above it, readable by their owner only."""
    if folder.is_dir():
        return
    make_private_folder(folder.parent)
    try:
        folder.mkdir(mode=0o700)
    except FileExistsError:
        return
    folder.chmod(0o700)


def check_header(file: Path) -> None:
    """Refuse a file that is not one of ours; an empty one is taken as new.

    The header is read as bytes: asking SQLite might already change the file. It is right even
    beside an unwritten log, for the mark is set before the log is switched on.
    """
    try:
        with file.open("rb") as stream:
            header = stream.read(100)
    except OSError as error:
        raise BadFileError(f"cannot read {file}: {error.strerror}") from None
    if not header:
        return
    if len(header) < 100 or not header.startswith(_MAGIC):
        raise BadFileError(f"{file} is not a database; give another path")
    if int.from_bytes(header[68:72], "big") != APPLICATION_ID:
        raise BadFileError(f"{file} is a database of some other program; give another path")


def backend_of(connection: Connection) -> Backend:
    """Return the backend of a connection's database."""
    return _backend(connection.dialect.name)


def make_engine(address: URL) -> Engine:
    """Return an engine whose transactions are ours (`Backend`)."""
    return _backend(address.get_backend_name()).make_engine(address)


def _backend(name: str) -> Backend:
    if name == "sqlite":
        return _SQLITE
    served: Backend = load_plugin(name).BACKEND
    return served


def schema_version(connection: Connection) -> int:
    """Return the version of the tables; 0 if there are none."""
    return backend_of(connection).schema_version(connection)
