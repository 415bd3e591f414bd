"""A page value set as tagged PDF by typst; the same page and paper give the same bytes."""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final, Literal

from tracker.errors import SlackwaterError
from tracker.output.fonts import font_files, font_names
from tracker.output.pages.page import Block, Chart, Page, Points, Said, Section, Sheet, Table

if TYPE_CHECKING:
    import typst

Paper = Literal["a4", "us-letter"]
STANDARD: Final = "ua-1"
"""Tagged PDF as ISO 14289-1 asks, checked by typst's own rules."""


class UnsetPageError(SlackwaterError):
    """The page could not be set."""


def pdf(page: Page, paper: Paper = "a4") -> bytes:
    """Return the page as PDF.

    Raises
    ------
    UnsetPageError
        If typst refuses it; the message is typst's first line.
    """
    import typst

    values = {"page": json.dumps(_page(page), ensure_ascii=False), "paper": paper}
    try:
        found = typst.compile(
            _template(),
            font_paths=_faces(),
            ignore_system_fonts=True,
            sys_inputs=values,
            pdf_standards=[STANDARD],
        )
    except typst.TypstError as error:
        first = str(error).splitlines()[0]
        raise UnsetPageError(f"the page of {page.name!r} could not be set: {first}") from error
    if not isinstance(found, bytes):
        raise UnsetPageError(f"the page of {page.name!r} came out empty")
    return found


@cache
def _template() -> bytes:
    return (files("tracker.output.pages") / "page.typ").read_bytes()


@cache
def _faces() -> typst.Fonts:
    """Return our faces, read once a process."""
    import typst

    folders = sorted({str(path.parent) for path in font_files()})
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=folders)


def _page(page: Page) -> dict[str, Any]:
    day = page.made_on
    return {
        "title": page.title,
        "name": page.name,
        "subtitle": page.subtitle,
        "author": page.author,
        "made_on": [day.year, day.month, day.day],
        "footer": page.footer,
        "faces": font_names(),
        "sheets": [_sheet(sheet) for sheet in page.sheets],
    }


def _sheet(sheet: Sheet) -> dict[str, Any]:
    return {
        "top": [_section(section) for section in sheet.top],
        "left": [_section(section) for section in sheet.left],
        "right": [_section(section) for section in sheet.right],
        "bottom": [_section(section) for section in sheet.bottom],
    }


def _section(section: Section) -> dict[str, Any]:
    return {"heading": section.heading, "blocks": [_block(block) for block in section.blocks]}


def _block(block: Block) -> dict[str, Any]:
    match block:
        case Said(text=text, tone=tone):
            return {"kind": "said", "text": text, "tone": tone}
        case Points(items=items):
            return {"kind": "points", "items": items}
        case Table(header=header, rows=rows, words=words):
            return {"kind": "table", "header": header, "rows": rows, "words": words}
        case Chart(draw=draw, alt=alt, caption=caption):
            return {"kind": "chart", "svg": draw().decode(), "alt": alt, "caption": caption}
