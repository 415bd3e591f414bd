"""Verdicts as JSON: key order fixed, dates ISO, no NaN, probabilities that add up to 1."""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterable, Sequence
from dataclasses import asdict
from functools import cache
from typing import TYPE_CHECKING, Any, Final

from tracker.engine.series.left_out import LeftOut, LeftOutReason
from tracker.engine.trend.priors import BUILT_IN, FLAT
from tracker.engine.verdict.false_plateaus import expected_false_plateaus
from tracker.engine.verdict.verdict import FlatStretch, MonthAgo, Verdict, Word
from tracker.model.vocabularies import WorkKind
from tracker.output.cautions import step_cautions
from tracker.output.sentences.age import age_line
from tracker.output.sentences.link import confounder_sentence, confounder_words
from tracker.output.sentences.reasons import check_typing, grounds, left_out_lines
from tracker.settings import DEFAULT

if TYPE_CHECKING:
    from tracker.engine.verdict.age import AgeYardstick
    from tracker.technique.attention import RosterLine
    from tracker.technique.choices import ActiveChoice
    from tracker.technique.effect import Effect, Estimate, OwnEffect, Spread
    from tracker.technique.link import Link
    from tracker.technique.link_grounds import LinkGround
    from tracker.technique.next_reasons import NextReason
    from tracker.technique.next_step import LeftForNow, NextStep, Proposal

SCHEMA: Final = 1
Json = dict[str, Any]


def scan_json(lines: Sequence[RosterLine], as_of: dt.date) -> Json:
    """Return the scan output as JSON values, in the order of `lines`."""
    expected = expected_false_plateaus(line.verdict for line in lines)
    return {
        "schema": SCHEMA,
        "as_of": as_of.isoformat(),
        "unused": [],
        "expected_false_plateaus": _rounded(expected.called * expected.share),
        "swimmers": [line_json(line, as_of) for line in lines],
    }


def line_json(line: RosterLine, as_of: dt.date) -> Json:
    """Return one swimmer of a roster: the verdict's object with group, link, confounders and due added."""
    found = verdict_json(line.verdict, line.age) if line.verdict else untested_json(line.swimmer)
    add_easy(found, line.left_out)
    for stretch, link in zip(found["flat_stretches"], line.stretch_links, strict=True):
        stretch["link"] = link_json(link, as_of)
    found["group"] = line.group
    found["link"] = link_json(line.link, as_of)
    found["due"] = {"test": _iso(line.due.test), "review": _iso(line.due.review)}
    found["confounders"] = [] if line.link is None else _confounders_json(line.link, as_of)
    return found


def add_easy(found: Json, left_out: Iterable[LeftOut]) -> None:
    """Name the swims that were too easy, where they are a reason for saying nothing."""
    if not found["verdict"].tells:
        found["reasons"] += left_out_lines([one for one in left_out if one.reason == LeftOutReason.EASY])


def verdict_json(verdict: Verdict, age: AgeYardstick | None = None) -> Json:
    """Return one verdict; `age` is what age alone does, known only where a year of birth is."""
    gaining, flat, slipping = shares((verdict.p_gaining, verdict.p_flat, verdict.p_slipping))
    return {
        "swimmer": verdict.swimmer,
        "tests": verdict.tests,
        "first": _iso(verdict.first),
        "last": _iso(verdict.last),
        "stale": verdict.stale,
        "band_pct_per_month": _rounded(verdict.band),
        "verdict": verdict.verdict,
        "p_gaining": gaining,
        "p_flat": flat,
        "p_slipping": slipping,
        "since": _iso(verdict.since),
        "since_low": _iso(verdict.since_low),
        "since_high": _iso(verdict.since_high),
        "before_record": verdict.before_record,
        "rate_pct_per_month": _rounded(verdict.rate),
        "rate_low": _rounded(verdict.rate_low),
        "rate_high": _rounded(verdict.rate_high),
        "noise_pct": _rounded(verdict.noise_pct),
        "held_since": _iso(verdict.held_since),
        "leaning": None if verdict.leaning is None else verdict.leaning.word,
        "leaning_p": None if verdict.leaning is None else _rounded(verdict.leaning.p),
        "month_ago": _month_ago_json(verdict.month_ago),
        "tests_to_tell": verdict.tests_to_tell,
        "known_by": _iso(verdict.known_by),
        "flat_stretches": [_stretch_json(stretch) for stretch in verdict.flat_stretches],
        "set_aside": [
            {"date": _iso(test.date), "why": check_typing(test.errors)} for test in verdict.set_aside
        ],
        "reasons": grounds(verdict),
        "age_line": age_line(age) or None,
    }


def _month_ago_json(then: MonthAgo) -> Json:
    gaining, flat, slipping = shares((then.p_gaining, then.p_flat, then.p_slipping))
    return {
        "date": then.date.isoformat(),
        "verdict": then.word,
        "p_gaining": gaining,
        "p_flat": flat,
        "p_slipping": slipping,
    }


def untested_json(swimmer: str) -> Json:
    """Return a swimmer without tests: too early, with the probabilities of the built-in prior."""
    gaining, flat, slipping = shares(_prior_classes(DEFAULT.band))
    return {
        "swimmer": swimmer,
        "tests": 0,
        "first": None,
        "last": None,
        "stale": False,
        "band_pct_per_month": DEFAULT.band,
        "verdict": Word.TOO_EARLY,
        "p_gaining": gaining,
        "p_flat": flat,
        "p_slipping": slipping,
        "since": None,
        "since_low": None,
        "since_high": None,
        "before_record": False,
        "rate_pct_per_month": None,
        "rate_low": None,
        "rate_high": None,
        "noise_pct": None,
        "held_since": None,
        "leaning": None,
        "leaning_p": None,
        "month_ago": None,
        "tests_to_tell": None,
        "known_by": None,
        "flat_stretches": [],
        "set_aside": [],
        "reasons": ["No tests on record yet."],
        "age_line": None,
    }


def link_json(link: Link | None, as_of: dt.date) -> Json | None:
    """Return a link; its other candidates as "fault:side", its confounders in words."""
    if link is None:
        return None
    return {
        "fault": link.fault,
        "side": link.side,
        "state": link.state,
        "opened": _iso(link.opened),
        "days_open": link.days_open,
        "how": link.how,
        "evidence": link.evidence,
        "also": [slug(other.fault, other.side) for other in link.also],
        "rivals": [confounder_words(confounder, as_of) for confounder in link.confounders],
    }


def _confounders_json(link: Link, as_of: dt.date) -> list[Json]:
    """Return each confounder with its kind, the day it began and its sentence."""
    return [
        {"kind": one.what, "date": _iso(one.begins), "sentence": confounder_sentence(one, as_of)}
        for one in link.confounders
    ]


def slug(fault: str, side: str) -> str:
    """Return "breath-late:left", as a fault is typed."""
    return f"{fault}:{side}" if side else fault


def shares(probabilities: Sequence[float]) -> tuple[float, ...]:
    """Return `probabilities` to four places such that they add up to 1, by largest remainders."""
    total = math.fsum(probabilities)
    scaled = [10_000 * p / total for p in probabilities]
    floors = [int(value) for value in scaled]
    lost = [floor - value for floor, value in zip(floors, scaled, strict=True)]
    for i in sorted(range(len(lost)), key=lost.__getitem__)[: 10_000 - sum(floors)]:
        floors[i] += 1
    return tuple([value / 10_000 for value in floors])


def _prior_classes(band: float) -> tuple[float, float, float]:
    """Return the prior probabilities of gaining, flat, slipping."""
    from statistics import NormalDist

    sd = (BUILT_IN.slope_sd[0], BUILT_IN.flat_share * band, BUILT_IN.slope_sd[1])
    below = above = 0.0
    for label, weight in enumerate(BUILT_IN.opening):
        slope = NormalDist(BUILT_IN.slope_mean[label] if label != FLAT else 0.0, sd[label])
        above += weight * (1 - slope.cdf(band))
        below += weight * slope.cdf(-band)
    return above, 1 - above - below, below


def _stretch_json(stretch: FlatStretch) -> Json:
    return {
        "start": _iso(stretch.start),
        "end": _iso(stretch.end),
        "start_low": _iso(stretch.start_low),
        "start_high": _iso(stretch.start_high),
        "end_low": _iso(stretch.end_low),
        "end_high": _iso(stretch.end_high),
        "current": stretch.current,
    }


@cache
def _iso(date: dt.date | None) -> str | None:
    return None if date is None else date.isoformat()


def _rounded(value: float) -> float:
    """Return a finite number to four places.

    Raises
    ------
    ValueError
        If it is not finite: JSON has no word for it.
    """
    if not math.isfinite(value):
        raise ValueError(f"{value} cannot be written as JSON")
    return round(value, 4) + 0.0


def next_json(step: NextStep) -> Json:
    """Return a proposal."""
    return {
        "work_on": _proposal(step.first),
        "and": _proposal(step.second),
        "leave": [_sides(left) | {"why": reason_json(left.reason)} for left in step.leave],
        "test": _iso_technique_json(step.due.test),
        "test_held": step.due.held,
        "after_race": _iso_technique_json(step.due.race),
        "away_until": _iso_technique_json(step.due.away.ends if step.due.away else None),
        "test_every": step.due.test_every.days,
        "look_every": step.due.look_every.days,
        "look": _iso_technique_json(step.due.review),
        "choose_again": _choice(step.due.over),
        "reasons": [reason_json(reason) for reason in step.reasons],
        "cautions": list(step_cautions(step)),
    }


def _choice(over: ActiveChoice | None) -> Json | None:
    """Return a choice that ended, in full."""
    if over is None:
        return None
    days = {"date": over.date.isoformat(), "until": over.until.isoformat()}
    return {"fault": over.fault, "side": over.side, "by": over.by, "why": over.reason, **days}


def effect_json(effect: Effect) -> Json:
    """Return an effect; `gain` is null where it is not known, and `missing` says why."""
    return {
        "kind": effect.kind,
        "fault": effect.fault or None,
        "tried": effect.tried,
        "changed": effect.changed,
        "compared": effect.compared,
        "gain_pct_per_month": _estimate(effect.gain),
        "general_pct_per_month": _estimate(effect.general),
        "before_pct_per_month": _estimate(effect.lead),
        "alike_before": effect.alike_before,
        **_with_ends("spread_pct_per_month", effect.spread),
        "each": [
            {"swimmer": own.swimmer, "date": own.date.isoformat(), **_with_ends("gain_pct_per_month", own)}
            for own in effect.each
        ],
        "missing": effect.missing or None,
    }


def reason_json(reason: NextReason | LinkGround) -> Json:
    """Return a reason's code with its fields."""
    fields = {
        name: value.isoformat() if isinstance(value, dt.date) else value
        for name, value in asdict(reason).items()
    }
    return {"code": reason.code, **fields}


def _proposal(proposal: Proposal | None) -> Json | None:
    if proposal is None:
        return None
    return {
        **_sides(proposal),
        "severity": proposal.severity,
        "cue": proposal.cue or None,
        "drill": proposal.drill or None,
        **{f"stop_{kind}s": [e.text for e in proposal.stop if e.kind == kind] for kind in WorkKind},
        "not_offered": [{"kind": one.kind, "text": one.text} for one in proposal.not_offered],
        "reasons": [reason_json(reason) for reason in proposal.reasons],
    }


def _sides(one: Proposal | LeftForNow) -> Json:
    others = [asdict(other) for other in one.others]
    return {"fault": one.fault, "side": one.side, "state": one.state, "other_sides": others}


def _with_ends(key: str, value: Spread | OwnEffect | None) -> Json:
    """Return a value and the ends of its interval under `key`, `key`_low and `key`_high."""
    ends = (None,) * 3 if value is None else (round(end, 4) for end in (value.value, value.low, value.high))
    return dict(zip((key, f"{key}_low", f"{key}_high"), ends, strict=True))


def _estimate(estimate: Estimate | None) -> Json | None:
    if estimate is None:
        return None
    return {
        "value": round(estimate.value, 4),
        "low": round(estimate.low, 4),
        "high": round(estimate.high, 4),
    }


def _iso_technique_json(date: dt.date | None) -> str | None:
    return None if date is None else date.isoformat()
