"""A page value as plain text: the same sentences, charts by their alternative text."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable

from tracker.output.pages.page import Block, BulletList, Chart, Page, Paragraph, Section, Table
from tracker.output.text import cells

WIDTH = 78


def plain(page: Page) -> str:
    """Return the page as text of `WIDTH` columns."""
    parts = [page.name, page.subtitle, ""]
    for number, sheet in enumerate(page.sheets, start=1):
        if number > 1:
            parts += ["", "=" * 20, ""]
        for section in sheet.sections:
            parts += _section(section)
    parts += ["-" * 20, *_wrapped(" ".join(page.footer))]
    return "\n".join(parts).rstrip() + "\n"


def _section(section: Section) -> list[str]:
    lines = [section.heading, "-" * cells(section.heading)] if section.heading else []
    for block in section.blocks:
        lines += [*_block(block), ""]
    return lines


def _block(block: Block) -> Iterable[str]:
    match block:
        case Paragraph(text=text):
            return _wrapped(text)
        case BulletList(items=items):
            return [line for item in items for line in _wrapped(item, "- ")]
        case Table(header=header, rows=rows, words=words):
            return _table((header, *rows), words)
        case Chart(alt=alt, caption=caption):
            return [*_wrapped(f"Chart: {alt}"), *(_wrapped(caption) if caption else [])]


def _wrapped(text: str, mark: str = "") -> list[str]:
    return textwrap.wrap(
        text,
        WIDTH,
        initial_indent=mark,
        subsequent_indent=" " * len(mark),
        break_long_words=False,
        break_on_hyphens=False,
    )


def _table(rows: tuple[tuple[str, ...], ...], words: tuple[int, ...]) -> list[str]:
    widths = [max(cells(row[i]) for row in rows) for i in range(len(rows[0]))]
    lines = []
    for row in rows:
        padded = [
            f"{cell}{' ' * (width - cells(cell))}" if i in words else f"{' ' * (width - cells(cell))}{cell}"
            for i, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append("  ".join(padded).rstrip())
    return lines
