"""Which kind of table a header is: by what it says, whatever the file is called, in five languages."""

from __future__ import annotations

import pytest

from tracker.entry.headers import Header, UnknownHeaderError, understood
from tracker.model.club_layout import FILES
from tracker.remedies import Mend


def _read(header: str, stem: str = "") -> Header:
    return understood("x.csv", header.split(","), {}, stem=stem)


def _columns(found: Header) -> list[str]:
    names = {field: column for column, field in found.file.columns.items()}
    return [names[field] for field, _ in sorted(found.positions.items(), key=lambda one: one[1])]


SWIM = ["date", "swimmer", "test", "distance_m", "time", "course"]


@pytest.mark.parametrize(
    "header",
    [
        "date,swimmer,test,distance,time,course",
        "Date,Athlete,Test,Metres,Time (s),Pool",
        "DATUM,Schwimmerin,Test,Strecke (m),Zeit [m:ss],Becken",
        "Datum,Name,Schwimmtest,Distanz,Endzeit,Bahnlänge",
        "Date,Nageur,Épreuve,Distance,Temps,Bassin",
        "date,nom,epreuve,distance,chrono,bassin",
        "Fecha,Nadadora,Prueba,Distancia,Tiempo,Piscina",
        "Data,Nuotatore,Prova,Distanza,Tempo,Vasca",
        "data,nome,prova,metri,tempo,piscina",
        " Date ,Swimmer name,TEST,Distance (metres):,Swim time,course",
    ],
)
def test_the_usual_words_of_five_languages_are_known(header: str) -> None:
    found = _read(header)
    assert (found.file.stem, found.ignored) == ("swims", ())
    assert _columns(found) == SWIM


@pytest.mark.parametrize("stem", ["", "mine", "swimmers", "tests", "events", "load"])
@pytest.mark.parametrize(
    "header",
    ["date,test,time", "Datum,Name,Zeit", "time,date", "date,swimmer,kind,time", "Test,Datum,Zeit,Ort"],
)
def test_what_has_a_date_and_a_time_is_swims_whatever_it_is_called(header: str, stem: str) -> None:
    assert _read(header, stem).file.stem == "swims"


@pytest.mark.parametrize("stem", ["", "swims", "swimmers", "tests"])
@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_every_file_of_ours_is_known_by_its_header_under_any_name(file: object, stem: str) -> None:
    assert _read(",".join(file.columns), stem).file is file  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("header", "stem"),
    [
        ("swimmer,date,pace", ""),  # results without a time that we know
        ("Name,Datum,Marke", "swimmers"),
        ("test,distance,date", "tests"),
        ("Name,Phone,E-mail", ""),  # one column like ours
        ("Test,Owner,Colour", ""),
        ("colour,taste", "swims"),
    ],
)
def test_a_swim_file_is_never_taken_for_people_or_definitions(header: str, stem: str) -> None:
    with pytest.raises(UnknownHeaderError) as refused:
        _read(header, stem)
    assert header.replace(",", ", ") in str(refused.value)
    assert refused.value.remedy is Mend.MAP_COLUMNS


def test_the_name_of_the_file_decides_where_the_header_does_not() -> None:
    assert _read("swimmer,phone,e-mail", "swimmers").file.stem == "swimmers"
    assert _read("name,group", "anything").file.stem == "swimmers"


def test_every_column_that_is_left_out_is_named() -> None:
    assert _read("date,swimmer,time,test,Ort,,Wetter").ignored == (
        "Ort",
        "column 6, which has no name",
        "Wetter",
    )


def test_what_a_map_calls_a_date_and_a_time_is_swims_though_it_fits_events() -> None:
    header = ["from", "swimmer", "kind"]
    assert understood("x.csv", header, {}).file.stem == "events"
    assert understood("x.csv", header, {"from": "date", "kind": "time"}).file.stem == "swims"


@pytest.mark.parametrize("stem", ["", "mine", "load"])
def test_two_needed_columns_are_enough_among_more_strange_ones(stem: str) -> None:
    found = _read("swimmer,week,colour,shape,mood", stem)
    assert (found.file.stem, found.ignored) == ("load", ("colour", "shape", "mood"))
