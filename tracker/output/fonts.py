"""The faces that pages are set in: those the package brings, and what its ``[fonts]`` extra adds."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterable
from functools import cache
from pathlib import Path
from typing import Final

TEXT_FACE: Final = "Noto Sans"
SYMBOL_FACE: Final = "DejaVu Sans"
"""Brought by matplotlib; holds the marks, arrows and geometric shapes, and Hebrew."""

_CJK_PACKAGE: Final = "cvttf_NotoSansCJK_Regular"
_WITHOUT_INK: Final = frozenset({"Cf", "Zs", "Zl", "Zp", "Cc"})


@cache
def font_files() -> tuple[Path, ...]:
    """Return the font files at hand, in order of preference."""
    import fontpkg

    files = [file.path for _, family in sorted(fontpkg.families().items()) for file in family.files]
    noto = [path for path in files if path.name.startswith("NotoSans")]
    noto.sort(key=lambda path: (not path.name.startswith(("NotoSans[", "NotoSans-")), path.name))
    return (*noto, *_symbols(), *_cjk())


def _symbols() -> list[Path]:
    import matplotlib

    folder = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
    return [folder / "DejaVuSans.ttf", folder / "DejaVuSans-Bold.ttf"]


def _cjk() -> list[Path]:
    from importlib.util import find_spec

    spec = find_spec(_CJK_PACKAGE)
    if spec is None or spec.origin is None:
        return []
    return sorted(Path(spec.origin).parent.glob("*.otf"))


@cache
def font_names() -> tuple[str, ...]:
    """Return the families' names in order of preference."""
    names = dict.fromkeys(_family(path) for path in font_files())
    return tuple(names)


def _family(path: Path) -> str:
    from matplotlib.ft2font import FT2Font

    return FT2Font(str(path)).family_name


@cache
def _letters() -> frozenset[int]:
    """Return the code points that at least one face has a glyph for."""
    from matplotlib.ft2font import FT2Font

    return frozenset(code for path in font_files() for code in FT2Font(str(path)).get_charmap())


def missing_letters(texts: Iterable[str]) -> tuple[str, ...]:
    """Return the characters of `texts` that no face can show, each once, in order of appearance."""
    known = _letters()
    return tuple(
        dict.fromkeys(
            letter
            for text in texts
            for letter in text
            if ord(letter) not in known and unicodedata.category(letter) not in _WITHOUT_INK
        )
    )
