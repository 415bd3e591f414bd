"""The evidence behind a verdict: as of the day asked about, out of one snapshot, by the rules of `next`."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.builders import START, a_season, a_session, a_step, a_swim
from tracker.app.explain import explain, explain_in_stages, why
from tracker.app.next_step import propose_next
from tracker.app.swimmers import edit_swimmer
from tracker.model.review import ReviewItem
from tracker.model.swimmer import Choice, Consent, Swimmer
from tracker.output.as_json import line_json
from tracker.output.sentences.verdict import headline
from tracker.store.database import Store
from tracker.store.reading import Reader

ADA = "Ada Fjord"
AT = dt.datetime(2026, 2, 10, 9, 0, tzinfo=dt.UTC)


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store.open(tmp_path / "club.db")
    write(opened, Swimmer(swimmer=ADA))
    yield opened
    opened.close()


def write(store: Store, *records: Any) -> None:
    with store.write(who="test", what="fill", at=AT) as writer:
        writer.add(records)


def a_day(days: int) -> dt.date:
    return START + dt.timedelta(days=days)


def a_season_of(store: Store, months: float) -> None:
    days, paces = a_season([(months, 0.0)], seed=3, noise=0.5)
    write(store, *[a_swim(day, round(4 * pace, 1)) for day, pace in zip(days, paces, strict=True)])


def a_pair(days: int) -> list[Any]:
    named = {"test": "css", "set_id": f"pair {days}"}
    return [a_swim(days, 400.0, **named), a_swim(days, 190.0, distance_m=200.0, **named)]


def test_what_was_decided_or_agreed_to_later_is_not_shown(store: Store) -> None:
    a_season_of(store, 6.0)
    write(
        store,
        Choice(date=a_day(100), swimmer=ADA, kind="seen", value="plateau"),
        Choice(date=a_day(150), swimmer=ADA, kind="choose", fault="breath-late"),
        Consent(date=a_day(90), swimmer=ADA, withdrawn=a_day(160)),
        Consent(date=a_day(150), swimmer=ADA, purpose="clips"),
    )
    then = why(a_session(store, today=a_day(120)), ADA)
    assert [kept.record.kind for kept in then.choices] == ["seen"]
    assert [(kept.record.purpose, kept.record.withdrawn) for kept in then.consents] == [("pages", None)]
    now = why(a_session(store, today=a_day(160)), ADA)
    assert [kept.record.kind for kept in now.choices] == ["seen", "choose"]
    assert [kept.record.withdrawn for kept in now.consents] == [a_day(160), None]


@pytest.mark.parametrize(("days_later", "recent"), [(180, True), (181, False)])
def test_why_and_next_call_the_same_critical_speed_the_latest(
    store: Store, days_later: int, recent: bool
) -> None:
    write(store, *a_pair(0), a_step(5, "open"))
    as_of = a_day(days_later)
    said = dict(explain(a_session(store, today=as_of), ADA)).get("For now", [])
    assert any("CSS 1:45.0" in line for line in said) is recent
    assert (propose_next(a_session(store, today=as_of), ADA).css is not None) is recent


def test_all_that_is_said_of_a_swimmer_comes_out_of_one_snapshot(
    store: Store, monkeypatch: pytest.MonkeyPatch
) -> None:
    a_season_of(store, 6.0)
    write(
        store,
        a_step(60, "open"),
        *[
            ReviewItem(
                date=a_day(day), swimmer=ADA, reviewer="Bo", kind="score", item="breathing", value=value
            )
            for day, value in ((60, 2.0), (120, 4.0))
        ],
    )
    as_of = a_day(180)
    before = explain(a_session(store, today=as_of), ADA)  # what the roster teaches is kept from now on
    readers: list[Reader] = []
    all_of, columns_of = Reader.all, Reader.columns

    def noted_all(self: Reader, *given: Any, **equal: Any) -> Any:
        readers.append(self)
        return all_of(self, *given, **equal)

    def noted_columns(self: Reader, *given: Any, **named: Any) -> Any:
        readers.append(self)
        return columns_of(self, *given, **named)

    monkeypatch.setattr(Reader, "all", noted_all)
    monkeypatch.setattr(Reader, "columns", noted_columns)
    stages = list(explain_in_stages(a_session(store, today=as_of), ADA))
    assert len({id(reader) for reader in readers}) == 1
    assert stages[-1] == before
    assert "Looks, each reviewer apart" in dict(before)


def test_the_reasons_come_first_and_the_closer_look_is_added_to_them(store: Store) -> None:
    a_season_of(store, 6.0)
    first, whole = explain_in_stages(a_session(store, today=a_day(180)), ADA)
    titles = [title for title, _ in whole]
    assert [title for title, _ in first] == [title for title in titles if title in dict(first)]
    assert len(titles) > len(first)
    assert all(group in whole for group in first)


@pytest.mark.parametrize(
    ("born", "sex", "said"),
    [
        (2011, "", "At about 14, swimmers gain about 2.8 % a year (90 %: up to 6.1) by growth alone. "),
        (2011, "f", "At about 14, girls gain about 2 % a year (90 %: up to 4.5) by growth alone. "),
        (2011, "m", "At about 14, boys gain about 3.5 % a year (90 %: 0.2 to 6.8) by growth alone. "),
        (1965, "", "At about 60, swimmers lose about 1.1 % a year (90 %: 0.2 to 2) by age alone, "),
        (2019, "f", ""),
        (1995, "m", ""),
        (1919, "", ""),
        (None, "f", ""),
    ],
)
def test_what_age_alone_does_stands_under_the_verdict(
    store: Store, born: int | None, sex: str, said: str
) -> None:
    a_season_of(store, 6.0)
    session = a_session(store, today=a_day(370))
    edit_swimmer(session, ADA, {"born": "" if born is None else str(born), "sex": sex})
    line = why(session, ADA).line
    (name, told), *_ = explain(session, ADA)
    assert name == ADA
    assert told[0] == headline(line.verdict)
    if said:
        assert told[1].startswith(said)
    else:
        assert not any("At about" in one for one in told)
    assert line_json(line, session.today)["age_line"] == (told[1] if said else None)


def test_a_record_too_short_for_a_verdict_says_nothing_of_age(store: Store) -> None:
    a_season_of(store, 1.0)
    session = a_session(store, today=a_day(60))
    edit_swimmer(session, ADA, {"born": "2011"})
    assert why(session, ADA).line.age is None
