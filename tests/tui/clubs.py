"""Small clubs in a fresh store, and an app over them."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from tests.builders import START, a_season, a_session, a_step, a_swim
from tracker.model.event import Event
from tracker.model.swimmer import Choice, Swimmer
from tracker.model.work import Work
from tracker.store.database import Store
from tracker.tui.app import SlackwaterApp
from tracker.tui.context import AppContext

TODAY = START + dt.timedelta(days=400)
AT = dt.datetime(2026, 2, 10, 9, 0, tzinfo=dt.UTC)

PARTS = {
    "Ada Fjord": [(7.0, 1.2), (9.0, 0.0)],
    "Bo Lind": [(13.0, 0.9)],
    "Cleo Marsh": [(8.0, 0.8), (6.0, -1.2)],
    "Dan Holt": [(1.0, 0.5)],
}
"""Months and percent a month: a plateau, a gainer, a slip that somebody has seen, and too few tests."""
Parts = tuple[tuple[str, tuple[tuple[float, float], ...]], ...]
"""The same, as it is written once."""


def a_club(tmp_path: Path, parts: Mapping[str, Sequence[tuple[float, float]]] | None = None) -> Store:
    """Return a store with four swimmers, the first of whom has a fault open, one in work and a cue."""
    named = tuple((name, tuple(rates)) for name, rates in (parts or PARTS).items())
    file = tmp_path / "club.db"
    if (made := _file_of(named)) and not file.exists():
        file.touch(0o600)
        file.write_bytes(made)
        return Store.open(file)
    return _written(file, named)


@cache
def _file_of(parts: Parts) -> bytes:
    """Return a club's file, which a process writes once; nothing where databases are on a server."""
    with TemporaryDirectory() as folder:
        store = _written(Path(folder) / "club.db", parts)
        store.close()
        return store.file.read_bytes() if store.file else b""


def _written(file: Path, parts: Parts) -> Store:
    store = Store.open(file)
    first = parts[0][0]
    records: list[Any] = []
    for seed, (name, rates) in enumerate(parts):
        days, paces = a_season(list(rates), seed=seed, noise=0.5)
        shift = 395 - days[-1]
        records.append(Swimmer(swimmer=name, group="Masters" if seed % 2 else "Tri squad"))
        records += [
            a_swim(day + shift, round(4 * pace, 1), swimmer=name)
            for day, pace in zip(days, paces, strict=True)
        ]
    if dict(parts) == {name: tuple(rates) for name, rates in PARTS.items()}:
        day = START + dt.timedelta(days=396)
        records.append(Choice(date=day, swimmer="Cleo Marsh", kind="seen", value="slipping"))
    records += [
        a_step(110, "open", swimmer=first, severity=2),
        a_step(20, "open", "kick-wide", swimmer=first),
        a_step(50, "work", "kick-wide", swimmer=first),
        a_step(250, "corrected", "kick-wide", swimmer=first),
        Event(swimmer=first, from_date=START + dt.timedelta(days=120), kind="camp"),
        Work(
            swimmer=first,
            from_date=START + dt.timedelta(days=50),
            to_date=START + dt.timedelta(days=250),
            kind="cue",
            fault="kick-wide",
            text="feet brush",
        ),
    ]
    with store.write(who="test", what="a club", at=AT) as writer:
        writer.add(records)
    return store


def an_app(store: Store, tmp_path: Path, *, who: str = "me", **values: Any) -> SlackwaterApp:
    """Return the screens over `store`, the day being TODAY."""
    session = a_session(store, today=TODAY, who=who, now=AT)
    return SlackwaterApp(AppContext(session, tmp_path / "state", day_fixed=True, **values))
