"""Pages as files: whose, where, which names, and that one bad swimmer does not stop the rest."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from tests.builders import TODAY, a_session
from tracker.app import pages as making
from tracker.app.executor import IN_PROCESS
from tracker.app.explain import why
from tracker.app.import_club import import_club
from tracker.app.pages import make_pages
from tracker.app.read_evidence import evidence_of
from tracker.app.scan import PART
from tracker.errors import UnknownNameError, UsageError
from tracker.model.swim import Swim
from tracker.model.swimmer import Consent, Swimmer
from tracker.output.sentences.verdict import headline
from tracker.settings import DEFAULT
from tracker.store.database import Store

CLUB = Path(__file__).parents[2] / "fixtures" / "club"
MONTH = dt.date(2026, 6, 1)
AT = dt.datetime(2026, 6, 30, 20, tzinfo=dt.UTC)


def _swims(name: str, tests: int) -> list[Swim]:
    days = [TODAY - dt.timedelta(days=7 * week) for week in reversed(range(tests))]
    return [
        Swim(date=day, swimmer=name, test="t400", distance_m=400, time_s=405 + (i * 37 % 11) / 2)
        for i, day in enumerate(days)
    ]


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """Return three active swimmers and one put away."""
    store = Store.open(tmp_path / "club.db")
    with store.write(who="coach", what="make a club", at=AT) as writer:
        writer.add(
            [
                Swimmer(swimmer="Ines Aalto", group="morning"),
                Swimmer(swimmer="Zoë", group="morning"),
                Swimmer(swimmer="Pia Lund", group="evening"),
                Swimmer(swimmer="Old Hand", archived=dt.date(2025, 1, 1)),
                *_swims("Ines Aalto", 20),
                *_swims("Zoë", 3),
                Consent(date=dt.date(2026, 1, 1), swimmer="Ines Aalto"),
            ]
        )
    yield store
    store.close()


def test_everybody_active_gets_a_file_of_their_own(store: Store, tmp_path: Path) -> None:
    seen: list[tuple[int, int, str]] = []
    made = make_pages(
        a_session(store),
        MONTH,
        out=tmp_path / "out",
        progress=lambda done, total, name: seen.append((done, total, name)),
    )
    assert [path.name.split("-", 1)[1] for path in made.written] == [
        "ines-aalto-2026-06.pdf",
        "pia-lund-2026-06.pdf",
        "zoe-2026-06.pdf",
    ]
    assert made.failed == ()
    assert made.skipped == (), "who is archived is nobody's failure"
    assert [path.stat().st_mode & 0o777 for path in made.written] == [0o600] * 3
    assert seen == [(1, 3, "Ines Aalto"), (2, 3, "Pia Lund"), (3, 3, "Zoë")]
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == sorted(p.name for p in made.written)


def test_where_all_are_archived_it_is_said(store: Store, tmp_path: Path) -> None:
    with store.write(who="coach", what="put away", at=AT) as writer:
        writer.add([Swimmer(swimmer="Gone", group="noon", archived=dt.date(2025, 2, 1))])
    made = make_pages(a_session(store), MONTH, group="noon", out=tmp_path)
    assert made.written == ()
    assert made.skipped == (("Gone", "archived on 1 February 2025"),)


def test_a_page_says_what_why_says(store: Store, tmp_path: Path) -> None:
    made = make_pages(a_session(store), MONTH, names=["ines aalto"], out=tmp_path, formats=("txt", "html"))
    assert [path.suffix for path in made.written] == [".txt", ".html"]
    said = headline(why(a_session(store), "Ines Aalto").line.verdict)
    text = re.sub(r"\s+", " ", made.written[0].read_text())
    assert said in text


def test_the_same_pages_are_remade_with_the_same_bytes(store: Store, tmp_path: Path) -> None:
    first = make_pages(a_session(store), MONTH, group="morning", out=tmp_path)
    bytes_then = [path.read_bytes() for path in first.written]
    again = make_pages(a_session(store), MONTH, group="morning", out=tmp_path)
    assert [path.read_bytes() for path in again.written] == bytes_then
    assert len(bytes_then) == 2


def test_pages_are_read_part_by_part_and_say_the_same(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """So that memory is flat however many there are; a club with faults, cues and events."""
    store = Store.open(tmp_path / "whole.db")
    assert import_club(a_session(store, now=AT), CLUB).problems == ()
    parts: list[list[str]] = []

    def counted(*args, among, **more):
        parts.append(among)
        return evidence_of(*args, among=among, **more)

    monkeypatch.setattr(making, "evidence_of", counted)
    said = []
    for size in (PART, 5):
        monkeypatch.setattr(making, "PART", size)
        out = tmp_path / str(size)
        made = make_pages(a_session(store), MONTH, out=out, formats=("txt",), executor=IN_PROCESS)
        said.append({path.name: path.read_bytes() for path in made.written})
    assert said[0] == said[1]
    assert [len(part) for part in parts[:1]] == [len(said[0])]
    assert max(len(part) for part in parts[1:]) == 5
    assert sorted(name for part in parts[1:] for name in part) == sorted(parts[0])
    store.close()


def test_an_earlier_month_looks_at_nothing_later(store: Store, tmp_path: Path) -> None:
    """The page of May made in June is that made on the last of May, but for the day it was made."""

    def page(day: dt.date) -> str:
        made = make_pages(
            a_session(store, today=day),
            dt.date(2026, 5, 9),
            names=["Ines Aalto"],
            out=tmp_path / day.isoformat(),
            formats=("txt",),
        )
        return " ".join(made.written[0].read_text().split())

    last = dt.date(2026, 5, 31)
    assert "Tests in May 2026" in page(last)
    assert page(TODAY).replace("Made on 30 June 2026", "Made on 31 May 2026") == page(last)


def test_a_month_that_has_not_begun_and_an_unknown_name_are_refused(store: Store, tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="July 2026 has not begun"):
        make_pages(a_session(store), dt.date(2026, 7, 1), out=tmp_path / "out")
    with pytest.raises(UnknownNameError):
        make_pages(a_session(store), MONTH, names=["Ines Aalto", "Nobody"], out=tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_without_consent_where_it_is_needed_there_is_no_page(store: Store, tmp_path: Path) -> None:
    settings = replace(DEFAULT, consent_needed=True)
    made = make_pages(a_session(store, settings=settings), MONTH, group="morning", out=tmp_path)
    assert [path.name.split("-", 1)[1] for path in made.written] == ["ines-aalto-2026-06.pdf"]
    assert made.skipped == (("Zoë", "no consent for pages is on record"),)


def test_private_mode_keeps_names_out_of_file_names(store: Store, tmp_path: Path) -> None:
    settings = replace(DEFAULT, private=True)
    made = make_pages(a_session(store, settings=settings), MONTH, names=["Zoë"], out=tmp_path)
    assert re.fullmatch(r"\d+-2026-06\.pdf", made.written[0].name)


def test_a_letter_without_a_glyph_costs_no_page(store: Store, tmp_path: Path) -> None:
    with store.write(who="coach", what="add", at=AT) as writer:
        writer.add([Swimmer(swimmer="\N{SWIMMER} Ana", group="morning")])
    made = make_pages(a_session(store), MONTH, group="morning", out=tmp_path)
    assert len(made.written) == 3
    assert made.failed == ()
    ((who, remark),) = made.boxed
    assert who == "\N{SWIMMER} Ana"
    assert "U+1F3CA" in remark
