"""Reading back what was set on paper."""

from __future__ import annotations

import io

from pypdf import PdfReader


def reader(pdf: bytes) -> PdfReader:
    """Return the PDF opened."""
    return PdfReader(io.BytesIO(pdf))


def squeezed(text: str) -> str:
    """Return `text` without blanks: line breaks fall where they fall."""
    return "".join(text.split())


def text_of(pdf: bytes) -> str:
    """Return all extracted text, squeezed."""
    return squeezed("".join(page.extract_text() for page in reader(pdf).pages))
