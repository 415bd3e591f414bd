"""Real glyphs, or a box that says which letter it stands for; never a page less."""

from __future__ import annotations

import datetime as dt
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from tests.output.pages.reading import text_of
from tests.plain_fonts import HAS_EXTRA, plain_install
from tracker.engine.verdict.verdict import Word
from tracker.output.figures.pace_panel import SIGNS
from tracker.output.fonts import (
    _SCRIPTS_OF,
    EXTRA_COMMAND,
    SYMBOL_FACE,
    TEXT_FACE,
    absent_scripts,
    coverage,
    font_names,
)
from tracker.output.glyphs import BOX, boxes_remark, missing_glyphs, on_paper
from tracker.output.pages.page import Chart, Page, Paragraph, Section, Sheet
from tracker.output.pages.typeset import pdf
from tracker.output.sentences.verdict import mark_of

ALWAYS = {
    "Latin": "Zoë Sørlie Łukasz",
    "Vietnamese": "Đặng Tâm Lăn",
    "Greek": "Ελένη Καρρά",
    "Cyrillic": "Дарья Ким",
    "Arabic": "سامر بحری",
    "Hebrew": "שלום",
    "Devanagari": "अनन्या शर्मा",
}
OF_THE_EXTRA = "凌汐舟 田中さくら 김민준"


@pytest.fixture(params=["plain", "extra"])
def faces(request: pytest.FixtureRequest) -> Iterator[str]:
    """The faces of a plain install; then those with the extra, where it is there."""
    if request.param == "plain":
        with plain_install():
            yield "plain"
    elif HAS_EXTRA:
        yield "extra"
    else:
        pytest.skip("the fonts extra is not installed")


def test_the_text_face_comes_first_and_signs_do_not_depend_on_the_extra(faces: str) -> None:
    names = font_names()
    assert names[0] == TEXT_FACE
    assert not any("CJK" in name for name in names[: names.index(SYMBOL_FACE)])
    assert any("CJK" in name for name in names) == (faces == "extra")


@pytest.mark.usefixtures("faces")
def test_every_sign_of_ours_has_a_glyph() -> None:
    assert missing_glyphs([*map(mark_of, Word), *SIGNS, "▲▼…–×%°\N{REPLACEMENT CHARACTER}", BOX]) == ()


@pytest.mark.usefixtures("faces")
@pytest.mark.parametrize("script", sorted(ALWAYS))
def test_these_scripts_need_no_extra(script: str) -> None:
    assert missing_glyphs([ALWAYS[script]]) == ()
    assert on_paper(ALWAYS[script]) == ALWAYS[script]


def test_what_nobody_can_show_is_named_once_and_the_mend_is_said_only_where_it_mends(faces: str) -> None:
    missing = missing_glyphs(["\N{SWIMMER} a \N{SWIMMER}", "\u200d\ufe0f"])
    assert missing == ("\N{SWIMMER}",)
    said = boxes_remark(missing)
    assert "\N{SWIMMER} U+1F3CA" in said
    assert "[fonts]" not in said
    assert "txt and html keep it" in said
    letters = missing_glyphs([OF_THE_EXTRA])
    assert (letters == ()) == (faces == "extra")
    if letters:
        assert boxes_remark(letters).endswith("pip install '.[fonts]' brings it")
        assert "brings 李 U+674E" in boxes_remark((*missing, "李"))


def test_the_mend_is_the_readmes_command() -> None:
    readme = (Path(__file__).resolve().parents[2] / "README.md").read_text(encoding="utf-8")
    assert f"/{EXTRA_COMMAND}`" in readme


@pytest.mark.skipif(not HAS_EXTRA, reason="the fonts extra is not installed")
def test_the_scripts_said_to_be_the_extras_are() -> None:
    """What the plain faces lack of these scripts, the extra has: nine tenths of it, the rest is rare."""
    assert absent_scripts() == ()
    with plain_install():
        plain = frozenset().union(*coverage().values())
        assert absent_scripts() == tuple(name for names in _SCRIPTS_OF.values() for name in names)
    both = frozenset().union(*coverage().values())
    for begins in (name for names in _SCRIPTS_OF.values() for name in names):
        codes = [code for code in range(0xFFFF) if unicodedata.name(chr(code), "").startswith(begins)]
        lacking = [code for code in codes if code not in plain]
        assert sum(code in both for code in lacking) > 0.9 * len(lacking) > 0, begins


def test_a_mark_is_set_with_its_letter_or_is_a_box_of_its_own() -> None:
    with plain_install():
        assert on_paper("ก\N{COMBINING ACUTE ACCENT}") == f"{BOX}\N{COMBINING ACUTE ACCENT}"
        assert on_paper("a\N{THAI CHARACTER MAI EK}b") == f"a{BOX}b"
        assert on_paper("\N{SWIMMER}\u200d\N{FEMALE SIGN}\ufe0f") == f"{BOX}\N{FEMALE SIGN}"
        assert on_paper("می\u200cخواهم") == "می\u200cخواهم"
        assert on_paper("\u3000a\ue000") == f" a{BOX}"
        assert on_paper("\u2062\ufeff") == BOX


def _page(texts: list[str]) -> Page:
    labels = "".join(
        f'<text style="font-size: 8px; text-anchor: end" x="90" y="50">{text}</text>' for text in texts
    )
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 100 100">{labels}</svg>'.encode()
    blocks = (
        Paragraph(" ".join(texts)),
        Paragraph(" ".join(texts), "verdict"),
        Chart(lambda: svg, "alt", ""),
    )
    day = dt.date(2026, 6, 30)
    return Page("title", "name", "month", "author", day, (Sheet((Section("", blocks),)),), ())


@pytest.mark.usefixtures("faces")
def test_what_the_faces_are_said_to_show_is_what_typst_can_set() -> None:
    """Every letter that a face has, and letters, marks and selectors mixed at random."""
    shown = sorted(frozenset().union(*coverage().values()) - set(b"<>&"))
    every = ["".join(map(chr, shown[place : place + 40])) for place in range(0x20, 8000, 40)]
    marks = [code for code in range(0x300, 0xFE20) if unicodedata.category(chr(code)) in {"Mn", "Mc", "Cf"}]
    pools = (shown, marks, [0x61, 0x200D, 0xFE0F])
    rng = np.random.default_rng(5)
    mixed = ["".join(chr(rng.choice(pools[rng.integers(3)])) for _ in range(8)) for _ in range(200)]
    printed = pdf(_page([on_paper(text) for text in every + mixed]))
    assert printed.boxed == ()
    assert pdf(_page(mixed)).boxed == missing_glyphs([" ".join(mixed), *mixed])


def test_a_box_is_read_back_as_a_box() -> None:
    with plain_install():
        printed = pdf(_page(["สมชาย"]))
    assert text_of(printed.content).count(BOX) == 3 * 5
    assert printed.boxed == tuple("สมชาย")
