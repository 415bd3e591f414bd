"""A page value set as tagged PDF by typst; the same page and paper give the same bytes."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any, Final, Literal

from tracker.errors import SlackwaterError
from tracker.output.fonts import font_files, font_names
from tracker.output.glyphs import missing_glyphs, on_paper
from tracker.output.pages.page import Block, BulletList, Chart, Page, Paragraph, Section, Sheet, Table
from tracker.output.pages.svg_labels import split_labels

if TYPE_CHECKING:
    import typst

Paper = Literal["a4", "us-letter"]
STANDARD: Final = "ua-1"
"""Tagged PDF as ISO 14289-1 asks, checked by typst's own rules."""


class UnsetPageError(SlackwaterError):
    """The page could not be set."""


@dataclass(frozen=True)
class TypesetPage:
    """A page as PDF, and the letters that are boxes in it."""

    content: bytes
    boxed: tuple[str, ...]


def pdf(page: Page, paper: Paper = "a4") -> TypesetPage:
    """Return the page as PDF; a letter that no face has is a box.

    Raises
    ------
    UnsetPageError
        If typst refuses it; the message is typst's first line.
    """
    import typst

    setting = _TypstValues()
    values = {"page": json.dumps(setting.page(page), ensure_ascii=False), "paper": paper}
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
    return TypesetPage(found, tuple(setting.boxed))


@cache
def _template() -> bytes:
    return (files("tracker.output.pages") / "page.typ").read_bytes()


@cache
def _faces() -> typst.Fonts:
    """Return the fonts, read once a process."""
    import typst

    folders = sorted({str(path.parent) for path in font_files()})
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=folders)


class _TypstValues:
    """A page's values as they are set; keeps which letters became boxes on the way."""

    def __init__(self) -> None:
        self.boxed: dict[str, None] = {}

    def page(self, page: Page) -> dict[str, Any]:
        """Return what the template takes; title, author and description hold letters, not their pictures."""
        day = page.made_on
        return {
            "title": page.title,
            "description": page.subtitle,
            "author": page.author,
            "name": self._set(page.name),
            "subtitle": self._set(page.subtitle),
            "made_on": [day.year, day.month, day.day],
            "footer": [self._set(text) for text in page.footer],
            "faces": font_names(),
            "sheets": [self._sheet(sheet) for sheet in page.sheets],
        }

    def _set(self, text: str) -> str:
        self.boxed.update(dict.fromkeys(missing_glyphs([text])))
        return on_paper(text)

    def _sheet(self, sheet: Sheet) -> dict[str, Any]:
        return {
            "top": [self._section(section) for section in sheet.top],
            "left": [self._section(section) for section in sheet.left],
            "right": [self._section(section) for section in sheet.right],
            "bottom": [self._section(section) for section in sheet.bottom],
        }

    def _section(self, section: Section) -> dict[str, Any]:
        blocks = [self._block(block) for block in section.blocks]
        return {"heading": self._set(section.heading), "blocks": blocks}

    def _block(self, block: Block) -> dict[str, Any]:
        match block:
            case Paragraph(text=text, tone=tone):
                return {"kind": "said", "text": self._set(text), "tone": tone}
            case BulletList(items=items):
                return {"kind": "points", "items": [self._set(item) for item in items]}
            case Table(header=header, rows=rows, words=words):
                cells = [[self._set(cell) for cell in row] for row in (header, *rows)]
                return {"kind": "table", "header": cells[0], "rows": cells[1:], "words": words}
            case Chart(draw=draw, alt=alt, caption=caption):
                drawn = split_labels(draw())
                labels = [replace(label, text=self._set(label.text)) for label in drawn.labels]
                picture = asdict(replace(drawn, labels=tuple(labels)))
                return {"kind": "chart", **picture, "alt": alt, "caption": self._set(caption)}
