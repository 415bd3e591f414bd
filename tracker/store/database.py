"""The store: opens a database, gives readers and writers, undoes and redoes.

Reader and writer are imported on use: the light reader needs none of what they load.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from sqlalchemy import Connection, Engine

from tracker.errors import BadFileError, SlackwaterError, UnwritableError
from tracker.remedies import Mend, Remark
from tracker.store import engine as db
from tracker.store.checksums import has_digest, write_digest
from tracker.store.failures import is_on_network, translated_errors
from tracker.store.light_reader import LightReader
from tracker.store.opening import FileConnection, ReadOnlyReason, read_only_remark, still_as_opened
from tracker.store.version import SCHEMA, refuse_later

if TYPE_CHECKING:
    from tracker.store.reading import Reader
    from tracker.store.writing import Writer

G = TypeVar("G", bound=LightReader)


class Store:
    """A database of swimmers and what they swam.

    Attributes
    ----------
    address
        The database's name for messages, without a password.
    file
        The SQLite file; None for a server.
    hindrance
        Why it can only be read; None if it can be written.
    remarks
        What a person should know about this database (file modes, a network share).
    """

    read_only_reason: ReadOnlyReason | None = None

    def __init__(self, engine: Engine, address: str, file: Path | None) -> None:
        self.engine = engine
        self.address = address
        self.file = file
        self.remarks = _remarks(file) if file else ()
        self._fingerprints: dict[Any, tuple[int, str]] = {}

    @classmethod
    def open(cls, database: str | Path, *, create: bool = True) -> Store:
        """Open the database at a path or URL; create it if it is not there and `create` says so.

        Raises
        ------
        BadFileError
            If the file is missing, damaged, not ours, or of a later version.
        BusyError
            If another process holds it.
        """
        address = db.address_of(database)
        name, file = db.name_of(address), db.file_of(address)
        if file:
            if not create and not file.exists():
                raise BadFileError(f"there is no database at {file}; log something first", Mend.NAME_DATABASE)
            db.make_private_file(file)
            db.check_header(file)
        with translated_errors(name):
            engine = db.make_engine(address)
            store = cls(engine, name, file)
            try:
                store._prepare(create=create)
            except BaseException:
                engine.dispose()
                raise
            return store

    def _prepare(self, *, create: bool) -> None:
        with self.engine.connect() as connection:
            found = db.schema_version(connection)
            driver = connection.connection.driver_connection
        if self.file and isinstance(driver, FileConnection) and driver.read_only_reason:
            self.read_only_reason = driver.read_only_reason
        refuse_later(found, self.address)
        if found == SCHEMA:
            return
        if self.read_only_reason and found:
            raise UnwritableError(
                f"{self.address} is of an older slackwater and cannot be brought up to date: "
                f"{self.read_only_reason.cause}; {self.read_only_reason.mend}"
            )
        if found:
            from tracker.store.migrating import upgrade

            upgrade(self.engine, self.file, found)
        elif create:
            from tracker.store.migrating import make_tables

            make_tables(self.engine)
        else:
            raise BadFileError(f"{self.address} has no tables; give another path")
        self.engine.dispose()

    @property
    def read_only(self) -> str:
        """That the record can only be read, and why, in one line; "" where it can be written."""
        return (
            read_only_remark(self.file, self.read_only_reason) if self.file and self.read_only_reason else ""
        )

    def close(self) -> None:
        """Give all connections back; where writing took the file's digest away, leave a new one."""
        self.engine.dispose()
        if self.file and not self.read_only_reason and not has_digest(self.file):
            write_digest(self.file)

    @contextmanager
    def light_reader(self) -> Iterator[LightReader]:
        """Give a reader of the derived values, the data's version and the labels of one snapshot."""
        with self._snapshot() as connection:
            yield _start_snapshot(LightReader(connection))

    @contextmanager
    def read(self) -> Iterator[Reader]:
        """Give a reader of one snapshot."""
        from tracker.store.reading import Reader

        with self._snapshot() as connection:
            yield _start_snapshot(Reader(connection, self._fingerprints))

    @contextmanager
    def write(self, *, who: str, what: str, at: dt.datetime) -> Iterator[Writer]:
        """Give a writer; commits at the end, rolls everything back on an exception.

        Parameters
        ----------
        who
            Who does it; on a server the login stands for it.
        what
            What is done, in a few words, for the history.
        at
            When.
        """
        from tracker.store.writing import Writer

        with self._writing() as connection:
            writer = Writer(connection, who=self.signed(connection, who), what=what, at=at)
            yield writer
            writer.close()

    def save_derived(self, name: str, value: str) -> None:
        """Store a derived value outside the record and its history; on a read-only disk do nothing."""
        from tracker.store.writing import save_derived

        with suppress(UnwritableError), self._writing() as connection:
            save_derived(connection, name, value)

    @contextmanager
    def noted_copy(self, path: Path, kind: str, at: dt.datetime) -> Iterator[bool]:
        """Note a "backup" or "export", and where, before it is made: who is erased stays in it.

        One that fails and leaves nothing there is taken off again; what a kill leaves is known by its note.

        Yields
        ------
        bool
            Whether it is noted: a record that can't be written does not know of its copies.
        """
        from tracker.store.history import BEGUN, COPIES, insert_row, update_row

        number = None
        with suppress(UnwritableError), self._writing() as connection:
            row = {"place": str(path.absolute()), "kind": f"{kind}{BEGUN}", "at": at.isoformat()}
            number = insert_row(connection, COPIES, row)
        try:
            yield number is not None
        except BaseException:
            if number is not None and not path.exists():
                with suppress(SlackwaterError), self._writing() as connection:
                    connection.execute(COPIES.delete().where(COPIES.c.id == number))
            raise
        if number is not None:
            with suppress(UnwritableError), self._writing() as connection:
                update_row(connection, COPIES, number, kind=kind)

    def undo(self, *, at: dt.datetime, who: str = "") -> str:
        """Undo the last change that stands; return what it was."""
        from tracker.store.history import undo_last

        with self._writing() as connection:
            return undo_last(connection, who=self.signed(connection, who), at=at)

    def redo(self, *, at: dt.datetime, who: str = "") -> str:  # noqa: ARG002 - same shape as undo
        """Redo the change undone last; return what it was."""
        from tracker.store.history import redo_last

        with self._writing() as connection:
            return redo_last(connection)

    def signed(self, connection: Connection, who: str) -> str:
        """Return who signs the history: on a server the login, which nobody can make up."""
        return db.backend_of(connection).login(connection) or who

    @contextmanager
    def _snapshot(self) -> Iterator[Connection]:
        with translated_errors(self.address), self.engine.connect() as connection, connection.begin():
            yield connection
            if self.file:
                still_as_opened(connection.connection.driver_connection, self.file)

    @contextmanager
    def _writing(self) -> Iterator[Connection]:
        with (
            translated_errors(self.address),
            self.engine.connect().execution_options(**{db.WRITES: db.RECORDS}) as connection,
            connection.begin(),
        ):
            yield connection


def _start_snapshot(reader: G) -> G:
    """Read for the first time: that fixes the snapshot."""
    reader.data_version()
    return reader


def _remarks(file: Path) -> tuple[Remark, ...]:
    remarks = []
    if file.exists() and file.stat().st_mode & 0o077:
        remarks.append(Remark(f"others can read {file}", Mend.MAKE_PRIVATE))
    if is_on_network(file):
        remarks.append(
            Remark(
                f"{file} lies on a network share, where two computers can spoil it; use it from one computer "
                "at a time, or a PostgreSQL server"
            )
        )
    return tuple(remarks)
