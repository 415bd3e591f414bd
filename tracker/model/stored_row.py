"""A record with the number and version of its row, as needed to change it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Generic, TypeVar

from tracker.model.base import Record

R = TypeVar("R", bound=Record)


@dataclass(frozen=True)
class StoredRow(Generic[R]):
    """A record with its row's number and version."""

    id: int
    version: int
    record: R
