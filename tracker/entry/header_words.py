"""What the columns of other people's tables are called: English, German, French, Spanish, Italian, some more.

The words are common usage, from memory. They stand without accents, for a header may have them or not.
"""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from tracker.model.text import clean_line, name_key

_SAID: Final[dict[str, str]] = {
    "date": "day, test date, swim date, date of test, datum, tag, testdatum, jour, fecha, dia, data, giorno, "
    "dag",
    "swimmer": "name, who, full name, swimmer name, athlete, schwimmer, schwimmerin, athlet, athletin, nom, "
    "nageur, nageuse, nombre, nadador, nadadora, atleta, nome, nuotatore, nuotatrice",
    "time": "result, swim time, seconds, time_s, zeit, schwimmzeit, endzeit, ergebnis, sekunden, temps, "
    "chrono, resultat, secondes, tiempo, resultado, segundos, tempo, risultato, secondi, tid",
    "test": "test name, swim test, schwimmtest, epreuve, prueba, prova",
    "distance_m": "distance, dist, metres, meters, m, strecke, distanz, meter, distancia, metros, distanza, "
    "metri",
    "course": "pool, pool length, becken, bahn, bahnlange, beckenlange, bassin, piscina, vasca",
    "note": "notes, comment, comments, remark, remarks, bemerkung, kommentar, remarque, commentaire, nota, "
    "notas, comentario, note, commento",
    "effort": "rpe, exertion",
    "strokes": "stroke count, strokes per length, zyklen",
    "rate_cpm": "stroke rate, rate, frequenz",
    "group": "squad, gruppe, lane, groupe, grupo, gruppo",
    "born": "year of birth, jahrgang",
    "from": "from_date, start date, von",
    "to": "to_date, end date, bis",
}
WORDS: Final[dict[str, str]] = {word: column for column, said in _SAID.items() for word in said.split(", ")}
"""Word, as `header_key` gives it -> our column."""

_UNIT = re.compile(r"\s*[(\[]\s*(?:m|metres?|meters?|s|secs?|seconds|mm?:ss?(?:\.\w+)?|h:mm:ss)\s*[)\]]$")


def header_key(text: str) -> str:
    """Return the name of a column without case, accents, and a unit that we have anyway ("Time (s)")."""
    folded = unicodedata.normalize("NFD", name_key(clean_line(text)))
    plain = "".join(letter for letter in folded if not unicodedata.combining(letter))
    return _UNIT.sub("", plain.rstrip(": ")).strip()


def header_said(header: tuple[str, ...]) -> str:
    """Return a header as it is quoted in a message."""
    said = ", ".join(clean_line(name).strip() for name in header)
    return repr(said if len(said) <= 80 else f"{said[:79]}…")
