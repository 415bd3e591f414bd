"""Big invented rosters, straight into a database or a file: 100 tests each, six days apart."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np

from tracker.model.fault import FaultStep
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.database import Store
from tracker.store.tables import FIELDS

LAST = dt.date(2026, 2, 9)
NOW = dt.datetime(2026, 2, 9, 12, tzinfo=dt.UTC)
SWIMS = 100
_EACH = 500
_PLAIN = {"test": "t400", "distance_m": 400.0, "course": "SCM", "suit": "none"}
_EMPTY = {"warmup_min", "rest_s", "rate_cpm", "effort"}


def names(swimmers: int) -> list[str]:
    return [f"Swimmer {number:07d}" for number in range(swimmers)]


def fill(place: str | Path, swimmers: int) -> None:
    """Each gains for a while, then is flat, gains on or slips; 1.2 % noise; every other has a fault open."""
    draw = np.random.default_rng(5)
    store = Store.open(place)
    everybody = names(swimmers)
    for first in range(0, swimmers, _EACH):
        some = everybody[first : first + _EACH]
        with store.write(who="bench", what="a part of a big roster", at=NOW) as writer:
            writer.add([Swimmer(swimmer=name, group=f"Group {name[-2:]}") for name in some])
            rows = [row for name in some for row in swims_of(name, draw)]
            writer.add_rows(Swim, iter(rows), len(rows))
            opened = [LAST - dt.timedelta(days=int(day)) for day in draw.integers(30, 400, len(some))]
            writer.add(
                [
                    FaultStep(date=day, swimmer=name, fault="breath-late", step="open", reviewer="bench")
                    for name, day in zip(some[::2], opened[::2], strict=True)
                ]
            )
    store.close()


def swims_of(name: str, draw: np.random.Generator) -> Iterator[tuple[Any, ...]]:
    """Give the rows of a swimmer, in the order of the record's fields."""
    turn, late = draw.integers(20, 80), draw.choice([0.0, 0.02, -0.03])
    t = np.arange(SWIMS)
    gain = 0.1 * np.minimum(t, turn) + late * 1.5 * np.maximum(0, t - turn)
    pace = draw.uniform(80, 130) * np.exp((-gain + draw.normal(0, 1.2, SWIMS)) / 100)
    for number, each in enumerate(pace):
        day = LAST - dt.timedelta(days=6 * (SWIMS - 1 - number))
        values = {"date": day, "swimmer": name, "time_s": round(float(4 * each), 1), **_PLAIN}
        yield tuple(values.get(field, None if field in _EMPTY else "") for field in FIELDS[Swim])


def write_file(file: Path, swimmers: int) -> None:
    """Write the same swims as a club's ``swims.csv``."""
    draw = np.random.default_rng(5)
    with file.open("w", encoding="utf-8") as stream:
        stream.write("date,swimmer,test,distance_m,time,course\n")
        for name in names(swimmers):
            for row in swims_of(name, draw):
                day, who, test, distance, time_s, course = row[:6]
                stream.write(f"{day},{who},{test},{distance:g},{time_s},{course}\n")
