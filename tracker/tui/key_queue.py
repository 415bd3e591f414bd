"""One key after the other: a key is handled when everything that the one before started has ended.

The library passes a key from widget to widget, and its effects (the next row, another screen) by
messages; keys typed faster than these are delivered would go where the typing was before.
"""

from __future__ import annotations

import asyncio
from collections import deque
from collections.abc import Iterator
from typing import Final

from textual.app import App
from textual.events import Key, Paste
from textual.message_pump import MessagePump

MAX_CHECKS: Final = 20
"""Looks, of a tenth of a second each, after which what has not answered hangs and must not take the keyboard
with it. Looks and not seconds: a handler that reads a long file lets nobody look meanwhile."""
QUIET_ROUNDS: Final = 2
"""Rounds without news before a key counts as done: in one, a handler may still be waiting for something."""
MAX_ROUNDS: Final = 50
"""Something may go on for ever, such as a clock; keys do not wait for that."""


class KeyQueue:
    """Holds keys back until it is their turn, then posts them again."""

    def __init__(self, app: App[int]) -> None:
        self._app = app
        self._waiting: deque[Key | Paste] = deque()
        self._next: Key | Paste | None = None
        self._watch: asyncio.Task[None] | None = None

    def must_wait(self, event: Key | Paste) -> bool:
        """Return whether others come first; then it is posted again later."""
        if event is self._next:
            self._next = None
            return False
        if self._watch is not None and not self._watch.done():
            self._waiting.append(event)
            return True
        self._watch = asyncio.create_task(self._one_by_one())
        return False

    async def _one_by_one(self) -> None:
        while self._app.is_running:
            await self._wait_until_idle()
            if not self._waiting:
                return
            self._next = self._waiting.popleft()
            self._app.post_message(self._next)

    async def _wait_until_idle(self) -> None:
        """Wait until nobody on the screen in front has a message left."""
        quiet = 0
        for _ in range(MAX_ROUNDS):
            pumps = list(self._pumps())
            if not await _all_drained(pumps):
                return
            idle = pumps == list(self._pumps()) and not any(pump.message_queue_size for pump in pumps)
            quiet = quiet + 1 if idle else 0
            if quiet == QUIET_ROUNDS:
                return

    def _pumps(self) -> Iterator[MessagePump]:
        yield self._app
        if self._app.screen_stack:
            yield from self._app.screen.walk_children(with_self=True)


async def _all_drained(pumps: list[MessagePump]) -> bool:
    """Return whether each came through what was in its queue; one that hangs is left."""
    coming = asyncio.create_task(_drain(pumps))
    for _ in range(MAX_CHECKS):
        done, _ = await asyncio.wait({coming}, timeout=0.1)
        if done:
            return True
    coming.cancel()
    return False


async def _drain(pumps: list[MessagePump]) -> None:
    """Wait until each has come through what was in its queue."""
    through = [asyncio.Event() for _ in pumps]
    for pump, event in zip(pumps, through, strict=True):
        if not pump.call_later(event.set):
            event.set()
    for event in through:
        await event.wait()
