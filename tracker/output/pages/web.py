"""A page value as one self-contained HTML file: the same sentences, charts with their alternative text."""

from __future__ import annotations

import base64
from html import escape
from typing import Final

from tracker.output.pages.page import Block, BulletList, Chart, Page, Paragraph, Section, Sheet, Table

STYLE: Final = """
body { font: 16px/1.45 "Noto Sans", "DejaVu Sans", sans-serif; color: #000; background: #fff;
  max-width: 60rem; margin: 1.5rem auto; padding: 0 1rem; }
h1 { margin: 0; } h2 { font-size: 1.15rem; margin: 1.4rem 0 .4rem; }
header { display: flex; flex-wrap: wrap; justify-content: space-between; align-items: baseline; gap: .5rem; }
.verdict { font-weight: 700; font-size: 1.25rem; border-left: 4px solid #000; padding-left: .8rem; }
.small, footer, figcaption { font-size: .85rem; color: #444; }
.columns { display: grid; grid-template-columns: repeat(auto-fit, minmax(20rem, 1fr)); gap: 0 2rem; }
figure { margin: .8rem 0; } figure img { width: 100%; height: auto; }
table { border-collapse: collapse; } th { font-weight: 400; border-bottom: 1px solid #444; }
th, td { padding: .15rem .5rem; text-align: right; }
.words { text-align: left; }
footer { border-top: 1px solid #888; margin-top: 2rem; padding-top: .5rem; }
"""

WORDS: Final = ' class="words"'


def web(page: Page) -> str:
    """Return the page as HTML; text from people is escaped and stays text."""
    body = "\n".join(_sheet(sheet) for sheet in page.sheets)
    return (
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width">\n'
        f'<meta name="author" content="{escape(page.author)}">\n'
        f"<title>{escape(page.title)}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n"
        f"<header><h1><bdi>{escape(page.name)}</bdi></h1><p>{escape(page.subtitle)}</p></header>\n<main>\n{body}\n</main>\n"
        f"<footer><p>{escape(' '.join(page.footer))}</p></footer>\n</body>\n</html>\n"
    )


def _sheet(sheet: Sheet) -> str:
    parts = [_section(section) for section in sheet.top]
    columns = [column for column in (sheet.left, sheet.right) if column]
    if columns:
        inner = "".join(
            f"<div>{''.join(_section(section) for section in column)}</div>\n" for column in columns
        )
        parts.append(f'<div class="columns">\n{inner}</div>\n')
    parts += [_section(section) for section in sheet.bottom]
    return "".join(parts)


def _section(section: Section) -> str:
    heading = f"<h2>{escape(section.heading)}</h2>\n" if section.heading else ""
    return f"<section>\n{heading}{''.join(_block(block) for block in section.blocks)}</section>\n"


def _block(block: Block) -> str:
    match block:
        case Paragraph(text=text, tone=tone):
            mark = "" if tone == "plain" else f' class="{tone}"'
            return f"<p{mark}>{escape(text)}</p>\n"
        case BulletList(items=items):
            return f"<ul>\n{''.join(f'<li>{escape(item)}</li>' for item in items)}\n</ul>\n"
        case Table(header=header, rows=rows, words=words):
            head = _row(header, words, 'th scope="col"')
            body = "".join(_row(row, words, "td") for row in rows)
            return f"<table>\n<thead>{head}</thead>\n<tbody>\n{body}</tbody>\n</table>\n"
        case Chart(draw=draw, alt=alt, caption=caption):
            data = base64.b64encode(draw()).decode()
            source = f"data:image/svg+xml;base64,{data}"
            image = f'<img src="{source}" alt="{escape(alt)}">'
            return f"<figure>{image}<figcaption>{escape(caption)}</figcaption></figure>\n"


def _row(cells: tuple[str, ...], words: tuple[int, ...], tag: str) -> str:
    inner = (
        f"<{tag}{WORDS if i in words else ''}>{escape(cell)}</{tag[:2]}>" for i, cell in enumerate(cells)
    )
    return f"<tr>{''.join(inner)}</tr>\n"
