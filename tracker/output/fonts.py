"""The fonts of the pages: those the package brings, and what its ``[fonts]`` extra adds."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Final

TEXT_FACE: Final = "Noto Sans"
SYMBOL_FACE: Final = "DejaVu Sans"
"""Brought by matplotlib; holds the marks, arrows and geometric shapes, and Hebrew."""

_ARABIC_PACKAGE: Final = "fontpkg_noto_sans_arabic"
_CJK_PACKAGE: Final = "cvttf_NotoSansCJK_Regular"
_SCRIPTS_OF: Final = {
    _ARABIC_PACKAGE: ("ARABIC ",),
    _CJK_PACKAGE: ("CJK ", "HIRAGANA ", "KATAKANA ", "HANGUL ", "BOPOMOFO ", "FULLWIDTH ", "HALFWIDTH "),
}
"""Each package of the extra with what the Unicode names of its letters begin with."""

EXTRA_COMMAND: Final = "pip install '.[fonts]'"
"""As the README has it."""


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
def coverage() -> dict[str, frozenset[int]]:
    """Return each family, in order of preference, with the code points that it can show.

    Those that every upright face of it has: a letter that the bold lacks can't be set in a bold line.
    """
    from matplotlib.ft2font import FT2Font

    found: dict[str, frozenset[int]] = {}
    for path in font_files():
        face = FT2Font(str(path))
        if "Italic" not in face.style_name:
            codes = frozenset(code for code in face.get_charmap() if not _is_no_letter(code))
            found[face.family_name] = found.get(face.family_name, codes) & codes
    return found


def _is_no_letter(code: int) -> bool:
    """Return whether a face's picture says nothing: controls, the byte order mark, private agreement."""
    return code < 0x20 or code == 0xFEFF or 0xE000 <= code <= 0xF8FF or code >= 0xF0000


def font_names() -> tuple[str, ...]:
    """Return the families' names in order of preference."""
    return tuple(coverage())


def absent_scripts() -> tuple[str, ...]:
    """Return what the Unicode names of the letters begin with that the extra would bring and that lack."""
    from importlib.util import find_spec

    return tuple(
        name for package, names in _SCRIPTS_OF.items() if find_spec(package) is None for name in names
    )
