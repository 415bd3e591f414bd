"""Series and events as files: what can't be used is listed, the rest is used."""

import datetime as dt
from pathlib import Path

from tests.builders import START, a_season
from tracker.app.judge_file import judge_file
from tracker.settings import DEFAULT


def series_file(folder: Path) -> Path:
    """Write fifteen months of steady gain, 6 % slower from day 210 on: a lay-off left its step."""
    days, paces = a_season([(15.0, 0.7)], seed=4)
    rows = [
        f"Ada,{START + dt.timedelta(days=d)},{p * (1.06 if d >= 210 else 1.0):.2f}"
        for d, p in zip(days, paces, strict=True)
    ]
    file = folder / "series.csv"
    file.write_text("\n".join(["swimmer,date,pace", *rows]), encoding="utf-8")
    return file


def events_file(folder: Path, *rows: str) -> Path:
    file = folder / "events.csv"
    file.write_text("\n".join(["from,to,swimmer,kind", *rows]), encoding="utf-8")
    return file


def test_a_logged_layoff_lets_the_level_jump_on_the_day_it_is_over(tmp_path) -> None:
    file = series_file(tmp_path)
    over = START + dt.timedelta(days=209)
    events = events_file(tmp_path, f"{START + dt.timedelta(days=190)},{over},Ada,layoff")
    (told,) = judge_file(file, events=events, settings=DEFAULT).verdicts
    assert told.verdict == "gaining"
    assert told.rate_low < 0.7 < told.rate_high
    assert told.since_low is None, "without the step it may well have gained all the time"
    (untold,) = judge_file(file, settings=DEFAULT).verdicts
    assert untold.since_low is not None
    assert untold.since_low > START + dt.timedelta(days=150), "the step looks like a change of rate"


def test_a_race_or_a_camp_lets_nothing_jump(tmp_path) -> None:
    file = series_file(tmp_path)
    events = events_file(tmp_path, f"{START + dt.timedelta(days=209)},,Ada,race")
    assert judge_file(file, events=events, settings=DEFAULT) == judge_file(file, settings=DEFAULT)


def test_an_event_that_cannot_be_used_is_listed_and_the_rest_used(tmp_path) -> None:
    events = events_file(
        tmp_path, "xx,,Ada,layoff", "2025-07-01,2025-02-30,Ada,layoff", "2025-08-01,,Ada,layoff"
    )
    judged = judge_file(series_file(tmp_path), events=events, settings=DEFAULT)
    assert [row.row for row in judged.unused] == [2, 3]
    assert [row.file for row in judged.unused] == [str(events)] * 2
    assert judged.unused[0].reason.startswith("from 'xx'")
    assert judged.unused[1].reason.startswith("to '2025-02-30'")
    assert len(judged.verdicts) == 1


def test_a_kind_of_event_that_is_none_is_listed(tmp_path) -> None:
    """A lay-off mistyped would else be left out without a word."""
    events = events_file(tmp_path, "2025-08-01,,Ada,lay-of", "2025-08-01,,Ada,race", "2025-08-01,,Ada,")
    (unused,) = judge_file(series_file(tmp_path), events=events, settings=DEFAULT).unused
    assert unused.row == 2
    assert "kind 'lay-of' is none of layoff, illness" in unused.reason


def test_a_row_that_says_more_than_the_header_is_not_cut_short(tmp_path) -> None:
    """Of a pace written 100,5 among commas the half second would be lost."""
    file = tmp_path / "series.csv"
    file.write_text("swimmer,date,pace\nAda,2026-01-01,100,5\nAda,2026-01-02,101,\nAda,2026-01-03,x\n")
    judged = judge_file(file, settings=DEFAULT)
    assert [(row.row, row.reason) for row in judged.unused] == [
        (2, "the row has 4 cells, the header 3"),
        (4, "pace 'x' is not a time; write m:ss.t (6:45.2), h:mm:ss or seconds (405.2)"),
    ]
    assert judged.verdicts[0].tests == 1


def test_an_event_of_nobody_or_back_to_front_is_listed(tmp_path) -> None:
    """A lay-off under another spelling, or whose end is its beginning, would else do nothing, unsaid."""
    events = events_file(
        tmp_path,
        "2025-07-01,2025-07-20,ada,layoff",
        "2025-07-20,2025-07-01,Ada,layoff",
        "2025-07-01,2025-07-20,,layoff",
        "xx,2025-07-20,Ada,layoff",
        ",,,",
        "2025-07-01,2025-07-01,Ada,layoff",
    )
    unused = judge_file(series_file(tmp_path), events=events, settings=DEFAULT).unused
    assert [(row.row, row.reason) for row in unused] == [
        (2, "swimmer 'ada' has no test in the series; did you mean Ada?"),
        (3, "to '2025-07-01' lies before the beginning, '2025-07-20'"),
        (4, "no swimmer's name"),
        (5, "from 'xx' is not a date; write it as 2026-02-01"),
    ]
    assert {row.file for row in unused} == {str(events)}


def test_a_test_that_has_not_been_swum_yet_is_listed(tmp_path) -> None:
    file = tmp_path / "series.csv"
    file.write_text("swimmer,date,pace\nAda,2026-01-01,100\nAda,2026-01-03,100\nAda,2026-01-04,100\n")
    judged = judge_file(file, today=dt.date(2026, 1, 2), settings=DEFAULT)
    assert [(row.row, row.reason) for row in judged.unused] == [
        (4, "date '2026-01-04' has not come yet (today is 2026-01-02)")
    ]
    assert judged.verdicts[0].last == dt.date(2026, 1, 3), "one day of grace for zones ahead of ours"
