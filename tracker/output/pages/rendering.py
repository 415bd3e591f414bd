"""Render a season in each format asked for; an error stays with its swimmer."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, Literal

from tracker.errors import SlackwaterError
from tracker.output.pages.page import Page
from tracker.output.pages.plain import plain
from tracker.output.pages.season import Season
from tracker.output.pages.swimmer_page import swimmer_page
from tracker.output.pages.typeset import Paper, pdf
from tracker.output.pages.web import web

Format = Literal["pdf", "txt", "html"]
FORMATS: Final[tuple[Format, ...]] = ("pdf", "txt", "html")


@dataclass(frozen=True)
class PageOptions:
    """What is wanted of every page."""

    formats: tuple[Format, ...]
    made_on: dt.date
    paper: Paper = "a4"
    sheets: int = 2


@dataclass(frozen=True)
class RenderedPage:
    """The bytes of one swimmer's page by format, why some could not be made, and what are boxes on paper."""

    swimmer: str
    files: dict[Format, bytes]
    failures: tuple[str, ...] = ()
    boxed: tuple[str, ...] = ()


def make(season: Season, order: PageOptions) -> RenderedPage:
    """Return the page of one swimmer; never raises."""
    return render_page(
        season.swimmer.swimmer, lambda: swimmer_page(season, order.made_on, sheets=order.sheets), order
    )


def render_page(name: str, build: Callable[[], Page], order: PageOptions) -> RenderedPage:
    """Return the page that `build` gives, in every format; never raises."""
    files: dict[Format, bytes] = {}
    failures: list[str] = []
    boxed: tuple[str, ...] = ()
    try:
        page = build()
        for wanted in order.formats:
            try:
                if wanted == "pdf":
                    printed = pdf(page, order.paper)
                    files[wanted], boxed = printed.content, printed.boxed
                else:
                    files[wanted] = (plain(page) if wanted == "txt" else web(page)).encode()
            except SlackwaterError as error:
                failures.append(f"{wanted}: {error}")
    except Exception as error:  # noqa: BLE001 - one bad page must not stop the others
        failures.append(f"{type(error).__name__}: {error}".splitlines()[0])
    return RenderedPage(name, files, tuple(failures), boxed)
