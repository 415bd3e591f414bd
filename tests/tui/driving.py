"""Driving the app in tests: wait for its workers, read what is on screen."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable
from typing import Any

from textual.pilot import Pilot
from textual.strip import Strip

from tracker.tui.app import SlackwaterApp

Journey = Callable[[Pilot[Any]], Awaitable[None]]


def drive(app: SlackwaterApp, journey: Journey, size: tuple[int, int] = (80, 24)) -> None:
    """Run the app headless and make a journey through it."""

    async def run() -> None:
        async with app.run_test(size=size) as pilot:
            await settled(pilot)
            await journey(pilot)

    asyncio.run(run())


async def settled(pilot: Pilot[Any]) -> None:
    """Wait until no worker runs and every message was handled, those of workers that messages start too."""
    while True:
        await pilot.app.workers.wait_for_complete()
        await pilot.pause()
        if not pilot.app.workers:
            return


async def press(pilot: Pilot[Any], *keys: str) -> None:
    """Press keys one after the other, letting the work that each starts come to an end."""
    for key in keys:
        await pilot.press(key)
        await settled(pilot)


def strips(app: Any) -> list[Strip]:
    """Return the rows of the screen as they would be written."""
    return list(app.screen._compositor.render_strips())


def shown(app: Any) -> str:
    """Return the words on screen, row by row."""
    return "\n".join(strip.text for strip in strips(app))


def words(app: Any) -> str:
    """Return the words on screen in one line, wherever they were wrapped."""
    return " ".join(shown(app).split())
