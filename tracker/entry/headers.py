"""What a header row means: which file of the club it is, and which column is which field."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tracker.errors import BadFileError
from tracker.records.club_layout import FILES, ClubFile
from tracker.records.text import clean_line, name_key

# Words of the trade for a column, in the languages of our users; a map file adds others.
_WORDS: dict[str, str] = {
    **dict.fromkeys(["datum", "day", "tag", "fecha", "data", "dag"], "date"),
    **dict.fromkeys(["name", "who", "schwimmer", "schwimmerin", "nombre", "nom", "nome"], "swimmer"),
    **dict.fromkeys(["zeit", "result", "tiempo", "temps", "tempo", "tid", "seconds", "time_s"], "time"),
    **dict.fromkeys(["distance", "metres", "meters", "strecke", "distanz", "distancia", "m"], "distance_m"),
    **dict.fromkeys(["pool", "becken", "bahn"], "course"),
    **dict.fromkeys(["notes", "comment", "comments", "bemerkung", "nota"], "note"),
    **dict.fromkeys(["rpe", "exertion"], "effort"),
    **dict.fromkeys(["stroke count", "strokes per length", "zyklen"], "strokes"),
    **dict.fromkeys(["stroke rate", "rate", "frequenz"], "rate_cpm"),
    **dict.fromkeys(["squad", "gruppe", "lane"], "group"),
    **dict.fromkeys(["year of birth", "jahrgang"], "born"),
    **dict.fromkeys(["from_date", "start date", "von"], "from"),
    **dict.fromkeys(["to_date", "end date", "bis"], "to"),
}


class UnknownHeaderError(BadFileError):
    """A header that is none of ours."""


@dataclass(frozen=True)
class Header:
    """A header row understood.

    Attributes
    ----------
    file
        Which file of the club it is.
    places
        Field -> place of its column.
    ignored
        Names of the columns that mean nothing to us, cleaned.
    read_as
        Column name as written -> our column, where the two differ.
    twice
        Our columns that stand more than once.
    """

    file: ClubFile
    places: Mapping[str, int]
    ignored: tuple[str, ...]
    read_as: Mapping[str, str]
    twice: tuple[str, ...] = ()


def understood(
    name: str,
    header: Sequence[str],
    chosen: Mapping[str, str],
    *,
    stem: str = "",
    only: str = "",
    fixed: Sequence[str] = (),
) -> Header:
    """Return what a header row means.

    Parameters
    ----------
    name
        The table's name, for messages.
    header
        Column names as written.
    chosen
        Column name as written (by `name_key`) -> our column; goes before everything else.
    stem
        What it is called; that decides where it is the name of one of ours.
    only
        The stem of the only file that it may be; empty for any.
    fixed
        Columns that a map gives a fixed value.

    Raises
    ------
    BadFileError
        If it is no file of the club, or a column stands twice.
    """
    keys = [_key(text) for text in header]
    best: tuple[tuple[int, int], Header] | None = None
    for file in _candidates(only or stem, only):
        found = _read_as(file, header, keys, chosen)
        columns = {column for column, field in file.columns.items() if field in found.places}
        if _enough(file, columns | set(fixed)):
            score = len(found.places), sum(key in file.columns for key in keys)
            if best is None or score > best[0]:
                best = score, found
    if best is None:
        wanted = "date, swimmer, time and distance_m (or test)"
        raise UnknownHeaderError(
            f"{name}:1: the header is not one of ours; swims need {wanted}; give --map to name the columns"
        )
    if best[1].twice:
        raise BadFileError(f"{name}:1: two columns are '{best[1].twice[0]}'; keep one")
    return best[1]


def _read_as(file: ClubFile, header: Sequence[str], keys: Sequence[str], chosen: Mapping[str, str]) -> Header:
    """Return a header read as that of one file of the club."""
    places: dict[str, int] = {}
    unused: list[str] = []
    twice: list[str] = []
    read_as: dict[str, str] = {}
    for place, key in enumerate(keys):
        column = _column(key, file, chosen)
        if column is None:
            if key:
                unused.append(clean_line(header[place])[:60])
        elif file.columns[column] in places:
            twice.append(column)
        else:
            places[file.columns[column]] = place
            if key != column:
                read_as[clean_line(header[place])[:60]] = column
    return Header(file, places, tuple(unused), read_as, tuple(twice))


def _key(text: str) -> str:
    return name_key(clean_line(text))


def _candidates(stem: str, only: str) -> list[ClubFile]:
    """Return the files that it may be: the one it is called after before all others."""
    named = [file for file in FILES if file.stem == stem]
    return named if named or only else list(FILES)


def _column(key: str, file: ClubFile, chosen: Mapping[str, str]) -> str | None:
    for column in (chosen.get(key), key, key.replace(" ", "_"), _WORDS.get(key)):
        if column in file.columns:
            return column
    return None


def _enough(file: ClubFile, columns: set[str]) -> bool:
    if file.stem == "swims" and not columns & {"test", "distance_m"}:
        return False
    return file.needed <= columns
