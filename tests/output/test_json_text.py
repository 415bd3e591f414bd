"""The JSON that is printed: the standard library's text to the byte, with what steers a terminal escaped."""

from __future__ import annotations

import datetime as dt
import json
import re
from collections import OrderedDict

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tracker.output.json_text import json_text, json_with_list

STEERS = "\x7f\x80\x9b\u2028\u2029\u202a\u202e\u2066\u2069\ufeff\ud800\udfff"
TEXT = st.text(st.one_of(st.characters(), st.sampled_from(STEERS + '%"\\{}\n\x00')), max_size=8)
PLAIN = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(allow_nan=False, allow_infinity=False), TEXT
)
VALUES = st.recursive(
    PLAIN, lambda inner: st.one_of(st.lists(inner), st.dictionaries(TEXT, inner)), max_leaves=20
)


def by_the_library(value: object) -> str:
    text = json.dumps(value, ensure_ascii=False, allow_nan=False, indent=2, default=str)
    return re.sub(
        f"[{STEERS[1]}-\x9f{re.escape(STEERS)}\u202b-\u202d\u2067\u2068\ud801-\udffe]", escaped, text
    )


def escaped(found: re.Match[str]) -> str:
    return f"\\u{ord(found[0]):04x}"


@given(VALUES)
def test_it_is_what_the_library_gives(value: object) -> None:
    text = json_text(value)
    assert text == by_the_library(value)
    assert json.loads(text) == value


def test_kinds_of_the_plain_types_and_other_things_are_as_the_library_has_them() -> None:
    value = {
        "day": dt.date(2026, 6, 30),
        "number": np.float64(0.1),
        "pair": (1, "a"),
        "mapping": OrderedDict(a=[{}, []]),
        "100 %": "%s",
    }
    assert json_text(value) == by_the_library(value)
    assert json_text([value, value]) == by_the_library([value, value])


@pytest.mark.parametrize("number", [float("nan"), float("inf"), -float("inf"), np.float64("nan")])
def test_what_is_no_number_is_refused(number: float) -> None:
    for value in (number, [number], {"x": number}, {"x": [{"y": number}]}):
        with pytest.raises(ValueError, match="not JSON compliant"):
            json_text(value)


@given(
    st.dictionaries(TEXT.filter(lambda name: name != "list"), VALUES, max_size=3),
    st.lists(VALUES, max_size=3),
)
def test_a_list_told_item_by_item_is_the_same(head: dict[str, object], items: list[object]) -> None:
    pieces = json_with_list(head, "list", (json_text(item, depth=2) for item in items))
    assert "".join(pieces) == json_text({**head, "list": items})
