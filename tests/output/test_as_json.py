"""What scripts rely on: the keys in their order, a committed schema, no NaN."""

from __future__ import annotations

import datetime as dt
import json
import math
from dataclasses import dataclass, replace
from importlib.resources import files
from typing import Any

import jsonschema  # type: ignore[import-untyped]
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.output.cases import AS_OF, PLATEAU, verdict_like
from tests.output.lines import UNTESTED, line_of
from tracker.engine.series.left_out import LeftOut, LeftOutReason
from tracker.engine.verdict.age import age_yardstick
from tracker.output.as_json import scan_json, shares
from tracker.output.judge_as_json import judge_json
from tracker.technique.link import Confounder, Finding

ORDER_PROMISED = [
    "swimmer",
    "tests",
    "first",
    "last",
    "stale",
    "band_pct_per_month",
    "verdict",
    "p_gaining",
    "p_flat",
    "p_slipping",
    "since",
    "since_low",
    "since_high",
    "before_record",
    "rate_pct_per_month",
    "rate_low",
    "rate_high",
    "noise_pct",
    "held_since",
    "leaning",
    "leaning_p",
    "month_ago",
    "tests_to_tell",
    "known_by",
    "flat_stretches",
    "set_aside",
    "reasons",
    "age_line",
]


@dataclass(frozen=True)
class _Row:
    row: int
    reason: str
    file: str = ""


def _schema(name: str) -> Any:
    return json.loads((files("tracker.output") / "schema" / f"{name}.schema.json").read_text())


def test_judge_is_the_example_key_by_key() -> None:
    rows = [_Row(12, "time '6:75' has 75 seconds"), _Row(2, "no swimmer's name", "events.csv")]
    found = judge_json([PLATEAU], rows, None)
    jsonschema.validate(found, _schema("judge"))
    assert found["as_of"] == "2026-06-28"
    assert found["unused"] == [
        {"row": 12, "why": "time '6:75' has 75 seconds"},
        {"row": 2, "why": "no swimmer's name", "file": "events.csv"},
    ]
    (swimmer,) = found["swimmers"]
    assert list(swimmer) == ORDER_PROMISED
    assert swimmer["since"] == "2026-02-11"
    assert swimmer["set_aside"] == [
        {"date": "2025-11-03", "why": "check the typing: 9 typical errors from the line"}
    ]
    assert list(swimmer["flat_stretches"][0])[:4] == ["start", "end", "start_low", "start_high"]


def test_scan_adds_group_link_and_due_and_a_link_in_every_stretch() -> None:
    found = scan_json([line_of(), UNTESTED], AS_OF)
    jsonschema.validate(found, _schema("scan"))
    first = found["swimmers"][0]
    assert list(first) == [*ORDER_PROMISED, "group", "link", "due", "confounders"]
    assert first["link"]["also"] == ["exit-early:left"]
    assert first["link"]["rivals"] == ["a lay-off (3 to 12 February)"]
    assert first["confounders"] == [
        {"kind": "layoff", "date": "2026-02-03", "sentence": "A lay-off (3 to 12 February)."}
    ]
    assert found["swimmers"][1]["confounders"] == []
    assert first["flat_stretches"][0]["link"] == first["link"]
    assert first["due"] == {"test": "2026-07-05", "review": "2026-06-20"}


def test_a_swimmer_without_tests_has_the_priors_probabilities_and_nulls() -> None:
    (found,) = scan_json([UNTESTED], AS_OF)["swimmers"]
    assert found["verdict"] == "too early"
    assert found["since"] is None
    assert found["link"] is None
    assert math.isclose(found["p_gaining"] + found["p_flat"] + found["p_slipping"], 1)
    assert found["p_flat"] > 0.4


def test_a_swimmer_whose_swims_are_all_too_easy_is_told_so_and_how_to_mend_it() -> None:
    easy = tuple(
        LeftOut(UNTESTED.swimmer, AS_OF - dt.timedelta(weeks=n), LeftOutReason.EASY) for n in range(9)
    )
    kit = LeftOut(UNTESTED.swimmer, AS_OF, LeftOutReason.KIT)
    found = scan_json([replace(UNTESTED, left_out=(*easy, kit))], AS_OF)
    jsonschema.validate(found, _schema("scan"))
    (swimmer,) = found["swimmers"]
    assert swimmer["verdict"] == "too early"
    assert swimmer["reasons"][1:] == [
        "9 swims left out: effort below 8, so not a test; swim a test at effort 9 or 10."
    ]


def test_confounders_have_a_kind_a_day_and_a_sentence() -> None:
    link = line_of().link
    assert link is not None
    moved = Confounder(Finding.HOUR, dt.date(2026, 2, 5), None, "morning to afternoon or evening")
    line = replace(line_of(), link=replace(link, confounders=(moved,)))
    found = scan_json([line], AS_OF)
    jsonschema.validate(found, _schema("scan"))
    assert found["swimmers"][0]["confounders"] == [
        {
            "kind": "hour",
            "date": "2026-02-05",
            "sentence": "The tests moved to another hour of the day on 5 February: "
            "morning to afternoon or evening.",
        }
    ]


def test_the_line_on_age_is_a_sentence_or_null() -> None:
    rate = (PLATEAU.rate_low, PLATEAU.rate, PLATEAU.rate_high)
    aged = replace(line_of(), age=age_yardstick(rate, PLATEAU.last.year - 61, "", PLATEAU.last))
    found = scan_json([aged, line_of(), UNTESTED], AS_OF)
    jsonschema.validate(found, _schema("scan"))
    said, unknown, untested = (swimmer["age_line"] for swimmer in found["swimmers"])
    assert said.startswith("At about 60, swimmers lose about 1.1 % a year")
    assert unknown is None
    assert untested is None
    judged = judge_json([PLATEAU], [], AS_OF)
    jsonschema.validate(judged, _schema("judge"))
    assert judged["swimmers"][0]["age_line"] is None


def test_what_began_before_the_record_has_no_lower_bound() -> None:
    (found,) = judge_json([verdict_like(before_record=True, since_low=None)], [], AS_OF)["swimmers"]
    assert found["since_low"] is None
    assert found["before_record"] is True


def test_text_is_valid_json_without_nan() -> None:
    text = json.dumps(scan_json([line_of()], AS_OF), allow_nan=False)
    assert json.loads(text)["schema"] == 1
    with pytest.raises(ValueError, match="nan"):
        judge_json([verdict_like(rate=math.nan)], [], AS_OF)


@given(st.lists(st.floats(0, 1), min_size=3, max_size=3).filter(lambda p: sum(p) > 1e-6))
def test_shares_add_up_to_one_and_stay_near(p: list[float]) -> None:
    found = shares(p)
    assert math.isclose(math.fsum(found), 1, abs_tol=1e-12)
    for one, before in zip(found, p, strict=True):
        assert abs(one - before / math.fsum(p)) <= 1e-4 + 1e-12
