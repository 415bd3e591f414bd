"""How often each group is tested and looked at: the median of its swimmers' own habits.

It is of the whole group whoever is asked about, or one swimmer's day would differ from list to list.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from itertools import chain, pairwise
from typing import Final
from zlib import crc32

import numpy as np

from tracker.model.fault import FaultStep
from tracker.model.review import ReviewItem
from tracker.model.swim import Swim
from tracker.model.swimmer import Swimmer
from tracker.store.reading import Reader
from tracker.technique.pipeline import by_swimmer
from tracker.technique.rhythm import Habits, group_habit, habit

MOST_OF_A_GROUP: Final = 60
"""So many of a group say how often it comes; who, goes by a checksum of the label, the same everywhere."""
PART: Final = 500
"""Swimmers whose days are read at a time."""


def group_habits(reader: Reader, as_of: dt.date) -> dict[str, Habits]:
    """Return by group how often its active swimmers are tested and looked at up to `as_of`.

    Whoever is in no group says nothing for others.
    """
    members: dict[str, list[str]] = defaultdict(list)
    for row in reader.all(Swimmer, archived=None):
        if row.record.group:
            members[row.record.group].append(row.record.swimmer)
    asked = {group: _some(labels) for group, labels in members.items()}
    names = list(chain.from_iterable(asked.values()))
    tests: dict[str, int | None] = {}
    looks: dict[str, int | None] = {}
    for first in range(0, len(names), PART):
        part = names[first : first + PART]
        tests |= dict(_test_habits(reader, part, as_of))
        looks |= _look_habits(reader, part, as_of)
    return {
        group: Habits(
            group_habit(tests.get(name) for name in labels), group_habit(looks.get(name) for name in labels)
        )
        for group, labels in asked.items()
    }


def _some(labels: Sequence[str]) -> list[str]:
    return sorted(labels, key=lambda label: (crc32(label.encode()), label))[:MOST_OF_A_GROUP]


def _test_habits(reader: Reader, names: Sequence[str], as_of: dt.date) -> Iterator[tuple[str, int | None]]:
    swims = reader.columns(Swim, ("swimmer", "date"), among=names)
    whose, days = swims["swimmer"], swims["date"]
    starts = np.flatnonzero(np.append(True, whose[1:] != whose[:-1])[: whose.size]).tolist()
    for begin, end in pairwise([*starts, whose.size]):
        own = days[begin:end]
        yield whose[begin], habit(own[own <= np.datetime64(as_of)].tolist())


def _look_habits(reader: Reader, names: Sequence[str], as_of: dt.date) -> Mapping[str, int | None]:
    items = (row.record for row in reader.all(ReviewItem, swimmer=tuple(names)))
    steps = (row.record for row in reader.all(FaultStep, swimmer=tuple(names)))
    looks = chain(items, (step for step in steps if step.reviewer))
    return {
        name: habit(one.date for one in own if one.date <= as_of) for name, own in by_swimmer(looks).items()
    }
