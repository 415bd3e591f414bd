"""File names: inside their folder, portable, never shared."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.output.pages.file_names import file_stem, slug

MONTH = dt.date(2026, 6, 1)
BAD = (
    "../../../ebb",
    "/var/ebb",
    "..",
    "a/b\\c",
    "-rf",
    ".hidden",
    "nul.pdf",
    "x. ",
    "A" * 300,
    "凌汐舟",
    "",
)


@pytest.mark.parametrize("name", BAD)
def test_no_name_breaks_out(name: str) -> None:
    file = f"{file_stem(7, name, MONTH)}.html"
    assert re.fullmatch(r"7-([a-z0-9]+-)*2026-06\.html", file)
    assert len(file.encode()) <= 120


@given(st.text(max_size=300))
def test_any_text_gives_a_portable_name(name: str) -> None:
    assert re.fullmatch(r"7-([a-z0-9]+-)*2026-06", file_stem(7, name, MONTH))


def test_two_spellings_of_one_name_are_two_files() -> None:
    assert slug("Pádraig Sørlie") == "padraig-sorlie"
    assert slug("Đặng Łuk Ærø Strauß") == "dang-luk-aero-strauss"
    assert slug("Zoë") == slug("Zoe\u0308") == "zoe"
    assert file_stem(1, "ana", MONTH) != file_stem(2, "ANA", MONTH)


def test_private_mode_has_no_name() -> None:
    assert file_stem(7, "Ines Aalto", MONTH, private=True) == "7-2026-06"
    assert file_stem(7, "Ines Aalto", MONTH) == "7-ines-aalto-2026-06"
