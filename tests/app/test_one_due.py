"""What is due is said alike wherever it is said: scan, why, next, pages, calendar and screens."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.builders import NOW, TODAY, a_session
from tracker.app.dates_ahead import list_dates
from tracker.app.demo import build_demo
from tracker.app.explain import explain_in_stages
from tracker.app.faults import fault_names
from tracker.app.next_step import propose_next
from tracker.app.pages import make_pages
from tracker.app.scan import scan
from tracker.app.swimmers import edit_swimmer
from tracker.model.event import Event
from tracker.model.swimmer import Choice, Swimmer
from tracker.output.as_json import next_json
from tracker.output.sentences.due import next_test
from tracker.output.sentences.next_step import next_lines
from tracker.output.text import roster_row as printed_row
from tracker.settings import DEFAULT
from tracker.store.database import Store
from tracker.technique.attention import RosterLine
from tracker.tui.drawing.roster_rows import roster_row as screen_row

STARTS = ("Next test", "Next look", "Choose again")


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Store]:
    """The invented club, with one who never swam, one who races tomorrow and one overdue who raced."""
    store = build_demo(tmp_path_factory.mktemp("built") / "club", settings=DEFAULT).store
    with store.write(who="Maud", what="races", at=NOW) as writer:
        writer.add(
            [
                Swimmer(swimmer="Newly Here"),
                Event(from_date=dt.date(2026, 7, 1), swimmer="Ines Aalto", kind="race"),
                Event(from_date=dt.date(2026, 6, 28), swimmer="Émile Varga-Lund", kind="race"),
                Event(from_date=dt.date(2026, 7, 5), swimmer="Newly Here", kind="race"),
                Choice(
                    date=dt.date(2026, 6, 20),
                    swimmer="Kofi Marchetti",
                    kind="choose",
                    fault="legs-low",
                    reason="he asked for it",
                ),
            ]
        )
    yield store
    store.close()


@pytest.fixture(scope="module")
def lines(club: Store) -> dict[str, RosterLine]:
    """What `scan` says of everybody."""
    return {line.swimmer: line for line in scan(a_session(club))}


def said_in(texts: list[str]) -> list[str]:
    """Return the sentences of what is due among others, without their bullets."""
    return [text for line in texts if (text := line.strip(" -•*")).startswith(STARTS)]


def unwrapped(page: str) -> list[str]:
    """Return a page's sentences one a line, however it was wrapped."""
    joined: list[str] = []
    for line in page.splitlines():
        if joined and joined[-1].strip() and line.strip() and not line.strip().startswith(("-", "•", "*")):
            joined[-1] = f"{joined[-1]} {line.strip()}"
        else:
            joined.append(line)
    return joined


SOME = ("Newly Here", "Ines Aalto", "Émile Varga-Lund", "Kofi Marchetti", "Anneke Dvorský")


@pytest.mark.parametrize(
    ("names", "looks"), [(SOME, 1), pytest.param(None, 10, marks=pytest.mark.thorough)], ids=["some", "all"]
)
def test_why_next_page_and_lists_agree_on_what_is_due_for_every_swimmer(
    club: Store, lines: dict[str, RosterLine], tmp_path: Path, names: tuple[str, ...] | None, looks: int
) -> None:
    """Of five swimmers `next` once said that a look is due where roster, scan and why said none was."""
    assert len(lines) == 25
    lines = {who: line for who, line in lines.items() if names is None or who in names}
    faults = fault_names(a_session(club))
    pages = make_pages(a_session(club), TODAY, out=tmp_path, names=names, formats=("txt",)).written
    by_name = {
        who: said_in(unwrapped(text))
        for page in pages
        for text in [page.read_text(encoding="utf-8")]
        for who in lines
        if text.startswith(who)
    }
    assert len(lines) == len(by_name) == len(names or range(25))
    listed = list_dates(a_session(club)).dates
    calendar = {(one.swimmer, str(one.kind)): one.date for one in listed if one.kind != "race"}
    assert len(calendar) == sum(one.kind != "race" for one in listed)
    asked = {"test": 0, "review": 0, "choice": 0}
    for who, line in lines.items():
        (why, *_), found = (
            explain_in_stages(a_session(club), who),
            propose_next(a_session(club), who),
        )
        told = said_in([text for title, lines in why if title == "Next" for text in lines])
        assert said_in(next_lines(found.step, faults, TODAY)) == told, who
        assert by_name[who] == told, who
        assert found.step.due == found.line.due == line.due, who
        printed = printed_row(line, TODAY)[-1]
        assert screen_row(line, TODAY).wide[-1] == printed
        due = {
            "test": any("Next test: due since" in one or "as soon as you can" in one for one in told),
            "review": any(
                "look at technique: due" in one or "look at technique: today" in one for one in told[1:]
            ),
            "choice": any(one.startswith("Choose again") for one in told),
        }
        assert printed == ", ".join(what for what, is_due in due.items() if is_due), who
        assert ("test due" in line.attention.grounds) is due["test"]
        assert ("look due" in line.attention.grounds) is due["review"]
        assert bool(next_json(found.step)["choose_again"]) is due["choice"]
        assert calendar.get((who, "test")) == (
            None if line.due.held or line.due.gone else max(line.due.test or TODAY, TODAY)
        ), who
        assert calendar.get((who, "look")) == (line.due.review and max(line.due.review, TODAY)), who
        for what, is_due in due.items():
            asked[what] += is_due
    assert min(asked.values()) >= 1, asked
    assert asked["review"] >= looks


def test_nobody_is_asked_for_a_maximal_test_before_a_race_wherever_it_is_said(
    club: Store, lines: dict[str, RosterLine]
) -> None:
    """Not within 14 days before a race nor on its day (common practice, no source)."""
    said = "Next test: 7 July, after the race on 1 July; no maximal test within 14 days before a race."
    (why, *_) = explain_in_stages(a_session(club), "Ines Aalto")
    assert said in dict(why)["Next"]
    found = propose_next(a_session(club), "Ines Aalto")
    assert said in next_lines(found.step, fault_names(a_session(club)), TODAY)
    assert lines["Ines Aalto"].due.test == dt.date(2026, 7, 7)
    assert lines["Newly Here"].due.test == dt.date(2026, 7, 6)
    assert printed_row(lines["Newly Here"], TODAY)[-1] == ""
    assert lines["Émile Varga-Lund"].due.test_due(TODAY)


def test_who_tests_once_a_month_is_not_called_three_weeks_late(
    club: Store, lines: dict[str, RosterLine]
) -> None:
    line = lines["Lorenz Adeyemi-Falk"]
    assert not line.due.test_due(TODAY)
    assert next_test(line.due, TODAY) == "Next test: 1 July; every 30 days, as has been usual."
    edit_swimmer(a_session(club), line.swimmer, {"test_every": "7"})
    (found,) = (one for one in scan(a_session(club)) if one.swimmer == line.swimmer)
    assert next_test(found.due, TODAY) == (
        "Next test: due since 8 June (22 days late); every 7 days, as is set for this swimmer."
    )
    edit_swimmer(a_session(club), line.swimmer, {"test_every": ""})


def test_a_choice_for_a_race_long_past_no_longer_rules(club: Store) -> None:
    """Chosen in February for a race in May; it is the end of June, and a grave fault is linked."""
    found = propose_next(a_session(club), "Anneke Dvorský")
    assert found.step.first is not None
    assert found.step.first.fault != "entry-steep"
    assert "chosen" not in {reason.code for reason in found.step.first.reasons}
    assert (
        "Choose again: hand goes in too steeply, left, chosen by Teodor Osei on 17 February until 12 May "
        "(race in May: a small one)."
    ) in next_lines(found.step, fault_names(a_session(club)), TODAY)
    then = propose_next(a_session(club, today=dt.date(2026, 5, 12)), "Anneke Dvorský")
    assert then.step.first is not None
    assert then.step.first.fault == "entry-steep"
    assert "until 12 May" in "".join(
        next_lines(then.step, fault_names(a_session(club)), dt.date(2026, 5, 12))
    )
