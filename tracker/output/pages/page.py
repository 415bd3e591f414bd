"""A page as a value: its content in reading order; PDF, text and HTML are rendered from this alone."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Literal

Tone = Literal["verdict", "plain", "small"]
"""The verdict's own sentence; running text; remarks in smaller letters."""


@dataclass(frozen=True)
class Paragraph:
    """One paragraph."""

    text: str
    tone: Tone = "plain"


@dataclass(frozen=True)
class BulletList:
    """A list of short paragraphs."""

    items: tuple[str, ...]


@dataclass(frozen=True)
class Table:
    """A table with a header row; every row is as long as the header.

    `words` are the columns that stand to the left; the others are numbers, to the right.
    """

    header: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    words: tuple[int, ...] = (0,)


@dataclass(frozen=True)
class Chart:
    """A chart; `draw` gives it as SVG, `alt` says in numbers what it shows.

    Drawn only where it is wanted: the plain text never is.
    """

    draw: Callable[[], bytes]
    alt: str
    caption: str


Block = Paragraph | BulletList | Table | Chart


@dataclass(frozen=True)
class Section:
    """Blocks under a heading; an empty heading gives none."""

    heading: str
    blocks: tuple[Block, ...]


@dataclass(frozen=True)
class Sheet:
    """One printed side: sections over the whole width, two columns of them, the whole width again."""

    top: tuple[Section, ...]
    left: tuple[Section, ...] = ()
    right: tuple[Section, ...] = ()
    bottom: tuple[Section, ...] = ()

    @property
    def sections(self) -> tuple[Section, ...]:
        """All sections in reading order."""
        return (*self.top, *self.left, *self.right, *self.bottom)


@dataclass(frozen=True)
class Page:
    """Everything one reader gets.

    Attributes
    ----------
    title
        The document's title; holds no name in private mode.
    name
        The subject of the page, as the first line.
    subtitle
        The month and the group.
    author
        Who gives it out.
    made_on
        The day it was made; stands in the footer and in the metadata.
    footer
        Sentences at the foot of every side, before "page x of y".
    """

    title: str
    name: str
    subtitle: str
    author: str
    made_on: dt.date
    sheets: tuple[Sheet, ...]
    footer: tuple[str, ...]

    def texts(self) -> Iterator[str]:
        """Yield every text that must be legible on paper, charts by what they say in words."""
        yield from (self.title, self.name, self.subtitle, self.author, *self.footer)
        for sheet in self.sheets:
            for section in sheet.sections:
                yield section.heading
                for block in section.blocks:
                    yield from _texts(block)


def _texts(block: Block) -> Iterator[str]:
    match block:
        case Paragraph(text=text):
            yield text
        case BulletList(items=items):
            yield from items
        case Table(header=header, rows=rows):
            yield from header
            for row in rows:
                yield from row
        case Chart(alt=alt, caption=caption):
            yield alt
            yield caption
