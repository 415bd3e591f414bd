"""Text from people on its way to a line: harmless, and no letter of it lost."""

from __future__ import annotations

import unicodedata

from hypothesis import given
from hypothesis import strategies as st

from tracker.model.text import REPLACEMENT, clean_line

HARMFUL = "\x00\t\n\x1b\x7f\x80\x9f\u2028\u2029\u202a\u202e\u2066\u2069\ufeff\ud800\udfff"
TEXT = st.text(st.one_of(st.characters(), st.characters(max_codepoint=0x7F), st.sampled_from(HARMFUL)))


@given(TEXT)
def test_a_line_is_harmless_and_keeps_every_letter(text: str) -> None:
    cleaned = clean_line(text)
    assert not set(HARMFUL) & set(cleaned)
    assert unicodedata.is_normalized("NFC", cleaned)
    kept = "".join(REPLACEMENT if letter in HARMFUL else letter for letter in text)
    if not any(unicodedata.category(letter) in {"Cc", "Cf", "Cs", "Zl", "Zp"} for letter in kept):
        assert cleaned == unicodedata.normalize("NFC", kept)
    assert clean_line(cleaned) == cleaned
