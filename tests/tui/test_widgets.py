"""The light list and the form sheet, in an app of their own."""

from __future__ import annotations

import asyncio
import time

from textual.app import App, ComposeResult

from tracker.tui.drawing.roster_rows import Column, Row
from tracker.tui.widgets.form_sheet import FormField, FormSheet
from tracker.tui.widgets.long_list import LongList

COLUMNS = (Column("name", 10, 1), Column("x", 3))


class ListApp(App[None]):
    def compose(self) -> ComposeResult:
        yield LongList(COLUMNS)


class SheetApp(App[None]):
    def compose(self) -> ComposeResult:
        yield FormSheet([FormField(f"f{n}", f"label {n}", f"hint {n}") for n in range(40)])


def rows(count: int) -> list[Row]:
    return [Row(str(n), (f"name {n}", "x")) for n in range(count)]


def test_a_hundred_thousand_rows_cost_no_more_than_a_screenful():
    async def run() -> None:
        app = ListApp()
        async with app.run_test(size=(80, 24)) as pilot:
            listed = app.query_one(LongList)
            many = rows(100_000)
            start = time.perf_counter()
            listed.show(many)
            await pilot.pause()
            assert time.perf_counter() - start < 1.0
            await pilot.press("G")
            assert listed.cursor_key == "99999"
            assert listed.render_line(23).text.startswith("▸name 99999")

    asyncio.run(run())


def test_the_cursor_keeps_its_row_when_others_come_and_go():
    async def run() -> None:
        app = ListApp()
        async with app.run_test(size=(80, 24)) as pilot:
            listed = app.query_one(LongList)
            listed.show(rows(50))
            await pilot.press("j", "j", "j")
            assert listed.cursor_key == "3"
            listed.show(list(reversed(rows(50))))
            assert listed.cursor_key == "3"
            listed.show(rows(2))
            assert listed.cursor_key in {"0", "1"}
            listed.show([])
            assert listed.cursor_key is None
            await pilot.press("j", "enter", "G", "pagedown")

    asyncio.run(run())


def test_every_row_is_exactly_as_wide_as_the_list():
    async def run() -> None:
        app = ListApp()
        async with app.run_test(size=(40, 10)):
            listed = app.query_one(LongList)
            listed.show([Row("a", ("凌汐舟 🏊‍♀️ Ana [/]" * 3, "x")), Row("b", ("", ""))])
            assert {listed.render_line(y).cell_length for y in range(10)} == {40}

    asyncio.run(run())


def test_the_sheet_scrolls_to_the_field_typed_into_and_keeps_what_was_typed():
    async def run() -> None:
        app = SheetApp()
        async with app.run_test(size=(80, 10)) as pilot:
            sheet = app.query_one(FormSheet)
            sheet.focus_field()
            await pilot.press("a", *["down"] * 30, "b", *["up"] * 30, "c")
            assert (sheet.values["f0"], sheet.values["f30"]) == ("ac", "b")
            sheet.go_to("f39")
            await pilot.pause()
            assert "label 39" in "".join(sheet.render_line(y).text for y in range(10))

    asyncio.run(run())


def test_fields_that_come_back_have_kept_their_text():
    async def run() -> None:
        app = SheetApp()
        async with app.run_test(size=(80, 10)) as pilot:
            sheet = app.query_one(FormSheet)
            sheet.fill({"f5": "kept"})
            sheet.lay([FormField("f0", "only")])
            assert sheet.values == {"f0": ""}
            sheet.lay([FormField("f0", "only"), FormField("f5", "back")])
            await pilot.pause()
            assert sheet.values["f5"] == "kept"

    asyncio.run(run())
