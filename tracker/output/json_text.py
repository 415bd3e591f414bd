"""JSON as it is printed: indented, letters as they are, no NaN, and nothing in it that steers a terminal.

The same text as `json.dumps` gives with an indent, in half the time: a big roster is half a million values,
and there the standard library yields them piece by piece.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from json.encoder import encode_basestring
from typing import Any, Final

# What JSON leaves raw and a terminal or an eye may follow: DEL, C1, separators, bidi controls, surrogates.
_STEERING = re.compile("[\x7f-\x9f\u2028-\u202e\u2066-\u2069\ufeff\ud800-\udfff]")


def json_text(value: Any, depth: int = 0) -> str:  # noqa: ANN401 - whatever JSON takes; the text of the rest
    """Return `value` as JSON in lines two blanks deeper for each level.

    Parameters
    ----------
    depth
        The level that it stands on itself.

    Raises
    ------
    ValueError
        If a number is not finite: JSON has no word for it.
    """
    return _text(value, "\n" + "  " * depth)


def json_with_list(head: dict[str, Any], name: str, items: Iterable[str]) -> Iterator[str]:
    """Yield, piece by piece, the text of `head` with one more field, a list: a big one is never whole.

    Parameters
    ----------
    items
        The text of each item, on level 2.
    """
    whole = json_text({**head, name: []})
    yield whole.removesuffix("]\n}")
    between = "\n    "
    for item in items:
        yield between + item
        between = ",\n    "
    yield "]\n}" if between.startswith("\n") else "\n  ]\n}"


def _text(value: Any, margin: str) -> str:  # noqa: ANN401
    """Return a value; `margin` is the line break and the blanks before what it stands in."""
    plain = _PLAIN.get(type(value))
    if plain is not None:
        return plain(value)
    if isinstance(value, dict):
        return _object(value, margin)
    if isinstance(value, list | tuple):
        return _array(value, margin)
    return _escaped(json.dumps(value, ensure_ascii=False, allow_nan=False, default=str))


def _object(value: dict[str, Any], margin: str) -> str:
    if not value:
        return "{}"
    deeper = margin + "  "
    texts = [plain(one) if (plain := _PLAIN.get(type(one))) else _text(one, deeper) for one in value.values()]
    return _frame(tuple(value), margin) % tuple(texts)


def _array(value: list[Any] | tuple[Any, ...], margin: str) -> str:
    if not value:
        return "[]"
    deeper = margin + "  "
    return f"[{deeper}{f',{deeper}'.join([_text(one, deeper) for one in value])}{margin}]"


@lru_cache(maxsize=256)
def _frame(names: tuple[str, ...], margin: str) -> str:
    """Return an object with a gap for each value: those of a list mostly have the same names."""
    lines = [f"{margin}  {_string(name).replace('%', '%%')}: %s" for name in names]
    return f"{{{','.join(lines)}{margin}}}"


def _string(text: str) -> str:
    quoted = encode_basestring(text)
    return quoted if quoted.isprintable() else _escaped(quoted)  # nothing that steers is printable


def _escaped(quoted: str) -> str:
    return _STEERING.sub(lambda found: f"\\u{ord(found[0]):04x}", quoted)


def _number(value: float) -> str:
    finite = value - value == 0
    return repr(value) if finite else json.dumps(value, allow_nan=False)  # which refuses it


_PLAIN: Final[dict[type, Callable[[Any], str]]] = {
    str: _string,
    float: _number,
    int: repr,
    bool: {True: "true", False: "false"}.__getitem__,
    type(None): {None: "null"}.__getitem__,
}
