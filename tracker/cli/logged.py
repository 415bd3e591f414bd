"""How test swims that were just logged are printed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tracker.cli.archived import say_archived
from tracker.cli.wiring import Context
from tracker.faults.cautions import ordered
from tracker.output.course_words import course_note
from tracker.output.css_words import css_details, css_json, css_sentence, distance_words
from tracker.output.safety import cautions
from tracker.records.css import TRIAL_ERROR
from tracker.records.units import format_time

if TYPE_CHECKING:
    from tracker.records.swim import Swim
    from tracker.usecases.log_test import Logged


def print_logged(logged: Sequence[Logged], ctx: Context) -> None:
    """Print the swims, and as messages what is unusual about them and the cautions they call for."""
    from tracker.output.doubt_words import doubt_sentence

    if ctx.json:
        ctx.say.json({"schema": 1, **_json(logged[0])} if len(logged) == 1 else _all_json(logged))
    for one in logged:
        if not ctx.json:
            _say(one, ctx)
        if note := course_note(one.unnamed):
            ctx.say.warned(f"course: {one.swimmer.swimmer}: {note}")
        for remark in one.remarks:
            accepted = "accepted" if remark.implausible else "note"
            name = "" if len(logged) == 1 else f"{one.swimmer.swimmer}: "
            ctx.say.warned(f"{accepted}: {name}{doubt_sentence(remark)}")
    say_archived([one.swimmer.swimmer for one in logged], ctx)
    ctx.say.cautioned(cautions(ordered(code for one in logged for code in one.care)))


def _all_json(logged: Sequence[Logged]) -> dict[str, object]:
    return {"schema": 1, "logged": [_json(one) for one in logged]}


def _say(logged: Logged, ctx: Context) -> None:
    for number, swim in zip(logged.numbers, logged.swims, strict=True):
        ctx.say.line(f"logged {number}: {swim.swimmer}, {swim_words(swim)}")
    if logged.css:
        for line in (css_sentence(logged.css, TRIAL_ERROR, logged.swims[0].course), *css_details(logged.css)):
            ctx.say.line(line)


def swim_words(swim: Swim) -> str:
    """Return "t400 on 2026-06-28, 400 m SCM in 6:40, 1:40.0 per 100 m"."""
    distance = distance_words(swim.distance_m, swim.course)
    return (
        f"{swim.test or 'swim'} on {swim.date}, {distance} {swim.course} in {format_time(swim.time_s)}, "
        f"{format_time(swim.pace, 1)} per 100 m"
    )


def _json(logged: Logged) -> dict[str, object]:
    from tracker.output.doubt_words import doubt_sentence

    swims = [
        {"id": number, **swim.model_dump(mode="json")}
        for number, swim in zip(logged.numbers, logged.swims, strict=True)
    ]
    return {
        "swims": swims,
        "css": css_json(logged.css, TRIAL_ERROR) if logged.css else None,
        "remarks": [
            *(doubt_sentence(doubt) for doubt in logged.remarks),
            *([note] if (note := course_note(logged.unnamed)) else []),
        ],
    }
