"""Real glyphs, or a page that says which letter is missing; never a box in silence."""

from __future__ import annotations

from importlib.util import find_spec

import pytest

from tests.output.cases import AS_OF
from tests.output.pages.reading import squeezed, text_of
from tests.output.seasons import renamed, season_of
from tracker.output.figures.pace_panel import SIGNS
from tracker.output.fonts import SYMBOL_FACE, TEXT_FACE, font_names, missing_letters
from tracker.output.pages.making import Order, make
from tracker.output.wording import MARKS

ALWAYS = {
    "Latin": "Zoë Sørlie Łukasz",
    "Vietnamese": "Đặng Tâm Lăn",
    "Greek": "Ελένη Καρρά",
    "Cyrillic": "Дарья Ким",
    "Arabic": "سامر بحری",
    "Hebrew": "שלום",
    "Devanagari": "अनन्या शर्मा",
}
WITH_THE_EXTRA = {
    "CJK": ("凌汐舟 田中さくら 김민준", "cvttf_NotoSansCJK_Regular"),
}


def test_the_text_face_comes_first_and_signs_do_not_depend_on_the_extra() -> None:
    names = font_names()
    assert names[0] == TEXT_FACE
    assert not any("CJK" in name for name in names[: names.index(SYMBOL_FACE)])


def test_every_sign_of_ours_has_a_glyph() -> None:
    assert missing_letters([*MARKS.values(), *SIGNS, "▲▼…–×%°\N{REPLACEMENT CHARACTER}"]) == ()


@pytest.mark.parametrize("script", sorted(ALWAYS))
def test_these_scripts_need_no_extra(script: str) -> None:
    assert missing_letters([ALWAYS[script]]) == ()


@pytest.mark.parametrize("script", sorted(WITH_THE_EXTRA))
def test_a_script_of_the_extra_is_set_or_refused(script: str) -> None:
    name, package = WITH_THE_EXTRA[script]
    made = make(renamed(season_of(0), name), Order(("pdf",), AS_OF))
    if find_spec(package) is None:
        assert made.files == {}
        assert "slackwater[fonts]" in made.failures[0]
        return
    assert made.failures == ()
    assert squeezed(name) in text_of(made.files["pdf"])


def test_what_nobody_can_show_is_named_once() -> None:
    assert missing_letters(["\N{SWIMMER} a \N{SWIMMER}", "\u200d\ufe0f"]) == ("\N{SWIMMER}",)
