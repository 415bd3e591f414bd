"""The interface of worker pools: processes of this machine, or those of a cluster."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Protocol, TypeVar

A = TypeVar("A")
B = TypeVar("B")

PREFETCH = 2
"""Parts given out beyond those in work, for each worker: none waits, and memory stays flat."""


class LostError(Exception):
    """A worker died with a part."""


class Workers(Protocol):
    """A pool of workers."""

    @property
    def capacity(self) -> int:
        """How many parts to give out at once."""

    def submit(self, task: Callable[[A], B], part: A) -> Any:  # noqa: ANN401 - a future of either kind
        """Give out a part."""

    def result(self, future: Any) -> Any:  # noqa: ANN401
        """Wait for it; raises `LostError` if its worker died."""

    def close(self) -> None:
        """Stop the pool."""
