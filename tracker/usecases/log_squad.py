"""Log one test of many swimmers at once: all of them, or none."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import replace

from tracker.entry.swim_form import TypedTest
from tracker.errors import DecisionNeededError, EntryError, Problem
from tracker.output.numbers import count
from tracker.records.plausibility import Doubt
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.log_test import Logged, weigh_test


class SquadProblemsError(EntryError):
    """Some rows cannot be taken; holds every problem with the swimmer in whose row it is."""

    def __init__(self, by_swimmer: Sequence[tuple[str, Problem]]) -> None:
        super().__init__(tuple(problem for _, problem in by_swimmer))
        self.by_swimmer = tuple(by_swimmer)


class SquadDoubtsError(DecisionNeededError):
    """Some rows are implausible and nobody has accepted them; holds the doubts by swimmer."""

    def __init__(self, by_swimmer: Sequence[tuple[str, Doubt]]) -> None:
        names = ", ".join(dict.fromkeys(name for name, _ in by_swimmer))
        super().__init__(f"implausible: {names}; accept it, or mend it")
        self.by_swimmer = tuple(by_swimmer)


def log_squad(
    store: Store,
    rows: Sequence[TypedTest],
    *,
    as_of: dt.date,
    settings: Settings,
    who: str,
    at: dt.datetime,
) -> tuple[Logged, ...]:
    """Log a test of each swimmer in one transaction.

    Raises
    ------
    UnknownNameError
        If a swimmer or test is not known.
    SquadProblemsError
        With every problem of every row.
    SquadDoubtsError
        If a row is implausible and not accepted; nothing is stored.
    """
    weighed: list[Logged] = []
    problems: list[tuple[str, Problem]] = []
    doubtful: list[tuple[str, Doubt]] = []
    with store.write(who=who, what=f"log a test for {count(len(rows), 'swimmer')}", at=at) as writer:
        for typed in rows:
            try:
                one = weigh_test(writer, typed, as_of=as_of, settings=settings)
            except EntryError as error:
                problems += [(typed.name, problem) for problem in error.problems]
                continue
            implausible = [doubt for doubt in one.remarks if doubt.implausible]
            if implausible and typed.accepted:
                swims = tuple(swim.model_copy(update={"decision": "accepted"}) for swim in one.swims)
                one = replace(one, swims=swims)
            else:
                doubtful += [(typed.name, doubt) for doubt in implausible]
            weighed.append(one)
        if problems:
            raise SquadProblemsError(problems)
        if doubtful:
            raise SquadDoubtsError(doubtful)
        return tuple(replace(one, numbers=tuple(writer.add(one.swims))) for one in weighed)
