"""What `next` and `effects` print as JSON: every number of a claim beside its sentence."""

from __future__ import annotations

import datetime as dt
from typing import Any

from tracker.faults.choosing import Chosen
from tracker.faults.effect import Effect, Estimate
from tracker.faults.next_step import NextStep, Proposal
from tracker.output.safety import cautions
from tracker.verdict.verdict import Reason

Json = dict[str, Any]


def next_json(step: NextStep) -> Json:
    """Return a proposal."""
    return {
        "work_on": _proposal(step.one),
        "and": _proposal(step.second),
        "leave": [
            {"fault": left.fault, "side": left.side, "state": left.state, "why": reason_json(left.reason)}
            for left in step.leave
        ],
        "test": _iso(step.due.test),
        "test_held": step.due.held,
        "after_race": _iso(step.due.race),
        "look": _iso(step.due.review),
        "choose_again": _choice(step.due.over),
        "reasons": [reason_json(reason) for reason in step.reasons],
        "cautions": list(cautions(step.cautions)),
    }


def _choice(over: Chosen | None) -> Json | None:
    """Return a choice that ended, in full."""
    if over is None:
        return None
    days = {"date": over.date.isoformat(), "until": over.until.isoformat()}
    return {"fault": over.fault, "side": over.side, "by": over.by, "why": over.why, **days}


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
        "spread_pct_per_month": None if effect.spread is None else round(effect.spread, 4),
        "each": [
            {"swimmer": name, "date": date.isoformat(), "gain_pct_per_month": round(value, 4)}
            for name, date, value in effect.each
        ],
        "missing": effect.missing or None,
    }


def reason_json(reason: Reason) -> Json:
    """Return a reason's code with its numbers."""
    numbers = {
        name: value.isoformat() if isinstance(value, dt.date) else value
        for name, value in reason.numbers.items()
    }
    return {"code": reason.code, **numbers}


def _proposal(proposal: Proposal | None) -> Json | None:
    if proposal is None:
        return None
    return {
        "fault": proposal.fault,
        "side": proposal.side,
        "state": proposal.state,
        "severity": proposal.severity,
        "cue": proposal.cue or None,
        "drill": proposal.drill or None,
        "stop_cues": list(proposal.stop),
        "reasons": [reason_json(reason) for reason in proposal.reasons],
    }


def _estimate(estimate: Estimate | None) -> Json | None:
    if estimate is None:
        return None
    return {
        "value": round(estimate.value, 4),
        "low": round(estimate.low, 4),
        "high": round(estimate.high, 4),
    }


def _iso(date: dt.date | None) -> str | None:
    return None if date is None else date.isoformat()
