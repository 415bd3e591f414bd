"""What workers report and widgets ask for. Only handlers touch widgets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from textual.message import Message

from tracker.pipeline import RosterLine
from tracker.usecases.why import SwimmerView


@dataclass
class RosterJudged(Message):
    """The verdicts of the roster are there, most in need first."""

    lines: Sequence[RosterLine]


@dataclass
class SwimmerJudged(Message):
    """Everything about one swimmer is there."""

    view: SwimmerView


@dataclass
class WorkFailed(Message):
    """A worker could not do its work; `text` is the error's one line."""

    text: str
