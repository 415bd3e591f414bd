"""Log one test of many swimmers at once: all of them, or none."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence

from tracker.entry.swim_form import TypedTest
from tracker.errors import DecisionNeededError, EntryError, Problem
from tracker.output.doubt_words import doubt_word
from tracker.output.numbers import count
from tracker.records.plausibility import Doubt
from tracker.settings import Settings
from tracker.store.database import Store
from tracker.usecases.log_test import Logged, open_doubts, stored, weigh_test


class SquadProblemsError(EntryError):
    """Some rows cannot be taken; holds every problem with the swimmer in whose row it is."""

    def __init__(self, by_swimmer: Sequence[tuple[str, Problem]]) -> None:
        super().__init__(tuple(problem for _, problem in by_swimmer))
        self.by_swimmer = tuple(by_swimmer)


class SquadDoubtsError(DecisionNeededError):
    """Some rows are implausible, or may be mistyped, and nobody has accepted them; holds the doubts."""

    def __init__(self, by_swimmer: Sequence[tuple[str, Doubt]]) -> None:
        names = ", ".join(dict.fromkeys(name for name, _ in by_swimmer))
        super().__init__(f"{doubt_word(doubt for _, doubt in by_swimmer)}: {names}; accept it, or mend it")
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
        As `log_test` raises `ImplausibleError`; nothing is stored.
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
            doubtful += [(typed.name, doubt) for doubt in open_doubts(one, typed)]
            weighed.append(one)
        if problems:
            raise SquadProblemsError(problems)
        if doubtful:
            raise SquadDoubtsError(doubtful)
        return tuple(stored(writer, one) for one in weighed)
