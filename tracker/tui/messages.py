"""Messages of workers and widgets. Only handlers touch widgets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from textual.message import Message

from tracker.app.explain import SwimmerView
from tracker.tui.drawing.roster_rows import RosterRow


@dataclass
class RosterJudged(Message):
    """More verdicts of the roster are there: `done` of those to be worked out, `of` how many."""

    rows: Mapping[str, RosterRow]
    done: int
    of: int


@dataclass
class SwimmerJudged(Message):
    """Everything about one swimmer is there."""

    view: SwimmerView


@dataclass
class StoreChecked(Message):
    """The database at `address` was looked over; `trouble` says what is wrong with it, "" if nothing."""

    address: str
    trouble: str


@dataclass
class WorkFailed(Message):
    """A worker could not do its work; `text` is the error's one line."""

    text: str
