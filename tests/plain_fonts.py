"""The faces of a plain install, without the ``fonts`` extra, wherever the suite runs."""

from __future__ import annotations

import importlib.util
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import fontpkg
import pytest

from tracker.output import fonts, glyphs
from tracker.output.pages import typeset

EXTRA = ("fontpkg_noto_sans_arabic", "cvttf_NotoSansCJK_Regular")
HAS_EXTRA = all(importlib.util.find_spec(package) for package in EXTRA)


@contextmanager
def plain_install() -> Iterator[None]:
    """Hide the packages of the extra from the program; what it remembers of faces is forgotten."""
    families, find_spec = fontpkg.families, importlib.util.find_spec

    def plain_families() -> dict[str, Any]:
        return {name: family for name, family in families().items() if "arabic" not in str(family).lower()}

    def plain_spec(name: str, *rest: Any) -> Any:
        return None if name in EXTRA else find_spec(name, *rest)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(importlib.util, "find_spec", plain_spec)
        patch.setattr(fontpkg, "families", plain_families)
        _forget()
        try:
            yield
        finally:
            _forget()


def _forget() -> None:
    for remembered in (fonts.font_files, fonts.coverage, glyphs._set, typeset._faces):
        remembered.cache_clear()
