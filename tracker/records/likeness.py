"""Names that look like one another, to be asked about and never merged in silence."""

from __future__ import annotations

import unicodedata

# Cyrillic and Greek letters that look like Latin ones (Unicode TR 39 confusables, the usual few).
_LOOKS = str.maketrans("аеорсухіјѕԁһқԝмнктв" + "αορνικτυχ", "aeopcyxijsdhqwmhktb" + "aopviktux")


def look_of(name: str) -> str:
    """Return a name without case, accents, script and spacing: equal for names that look alike."""
    plain = unicodedata.normalize("NFKD", unicodedata.normalize("NFKC", name).casefold())
    bare = "".join(letter for letter in plain if not unicodedata.combining(letter))
    return " ".join(bare.translate(_LOOKS).replace("-", " ").split())
