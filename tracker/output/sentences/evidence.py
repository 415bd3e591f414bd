"""Sentences on technique: grounds, looks compared, tests beside the line."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Final, assert_never

from tracker.model.catalogue import Area, Measure, areas, measure, measures
from tracker.model.units import plain_number
from tracker.output.sentences.numbers import count, day, number, pace
from tracker.technique.link_grounds import (
    CorrectionEffect,
    CorrectionUnknown,
    DrawEffect,
    DrawUnknown,
    EffectGround,
    LinkGround,
    Provoked,
    RosterOdds,
    SeverityChanged,
    StrokesMoved,
)
from tracker.technique.stroke_reading import Stroke, Witness

if TYPE_CHECKING:
    from tracker.engine.verdict.verdict import Verdict
    from tracker.technique.club_norms import ClubNorm, ClubNorms
    from tracker.technique.reviewing import LookChange, OwnError

FAIR_LOOKS: Final = (
    "counted are reviews on schedule or before the onset only, since coaches look harder at swimmers "
    "they think have stalled"
)


def ground_sentence(ground: LinkGround, as_of: dt.date) -> str:
    """Return the sentence of a ground."""
    match ground:
        case SeverityChanged(before, after, date):
            way = "rose" if after > before else "fell"
            seen = f"same reviewer, {day(date, as_of)}"
            return f"Its severity {way} from {before} to {after} before the onset ({seen})."
        case RosterOdds():
            return (
                f"In this roster {ground.with_flat} of {ground.with_all} swimmers with it are on a plateau, "
                f"against {ground.without_flat} of {ground.without_all} similar ones without: odds "
                f"{number(ground.ratio, 1)} times as high (90 % interval {number(ground.low, 1)} to "
                f"{number(ground.high, 1)}, drawn towards even); {FAIR_LOOKS}."
            )
        case CorrectionEffect() | CorrectionUnknown() | DrawEffect() | DrawUnknown():
            return _effect(ground)
        case Provoked(cue, since):
            return (
                f'When it was first seen the cue "{cue}" was in use, since {day(since, as_of)}; overdone, '
                "it can bring this about (common practice)."
            )
        case StrokesMoved():
            return (
                f"Over the stretch the {_stroke(ground.by)} changed by {ground.change:+.1f} % (90 % interval "
                f"{ground.low:+.1f} to {ground.high:+.1f}; {count(ground.swims, 'swim')}): "
                f"{witness_words(ground.witness)}."
            )
        case other:
            assert_never(other)


def _effect(ground: EffectGround) -> str:
    match ground:
        case CorrectionEffect(gain, low, high, changed, compared, alike):
            return (
                f"{count(changed, 'swimmer')} corrected of it gained {rate_difference(gain, low, high)} than "
                f"{compared} picked by the same rule and not corrected, over the same dates."
                f"{'' if alike else UNLIKE}"
            )
        case CorrectionUnknown(tried, changed):
            return (
                f"Whether correcting it helps is not known here: {count(tried, 'correction')} on record, "
                f"{changed} with tests enough around and a like swimmer to compare with; it takes 5."
            )
        case DrawEffect(gain, low, high, changed, compared, alike):
            return (
                f"By lot, {changed} began with it at once and {compared} twelve weeks later: the first "
                f"gained {rate_difference(gain, low, high)}.{'' if alike else UNLIKE}"
            )
        case DrawUnknown(tried):
            return (
                f"A start by lot is on record for {count(tried, 'swimmer')}; too few are over to be read yet."
            )
        case other:
            assert_never(other)


def _stroke(by: Stroke) -> str:
    match by:
        case Stroke.RATE:
            return "stroke rate"
        case Stroke.STROKES:
            return "strokes a length"
        case other:
            assert_never(other)


def witness_words(witness: Witness) -> str:
    """Return what stroke rate and length bear witness to (common practice)."""
    match witness:
        case Witness.EFFORT_RISING:
            return "rate up and strokes shorter at the same pace: effort may hide a slipping stroke"
        case Witness.STROKES_LONGER:
            return (
                "strokes longer and rate down at the same pace: a gain in technique not yet turned into "
                "speed, or a pause in front"
            )
        case Witness.BOTH_FLAT:
            return "rate and stroke length stood still like the pace"
        case Witness.NOT_CLEAR:
            return "which way rate and stroke length went can't be told"
        case Witness.TOO_FEW:
            return "too few swims with a rate or a count"
        case other:
            assert_never(other)


def rate_difference(value: float, low: float, high: float) -> str:
    """Return "0.60 % a month more (0.20 to 1.00)"; a difference that may go either way names both ends."""
    more = "more" if value >= 0 else "less"
    if low >= 0 or high <= 0:
        ends = sorted((abs(low), abs(high)))
        return f"{abs(value):.2f} % a month {more} ({ends[0]:.2f} to {ends[1]:.2f})"
    return f"{abs(value):.2f} % a month {more} ({-low:.2f} less to {high:.2f} more)"


UNLIKE: Final = " But the two moved apart before already, so this is not to be believed."


def provoked_note(fault: str, cue: str, since: dt.date, as_of: dt.date) -> str:
    """Return what is said when a fault is opened while such a cue is in use."""
    return (
        f'note: {fault}: the cue "{cue}" has been in use since {day(since, as_of)}; overdone, it can bring '
        "this about (common practice)"
    )


def feeds_note(kind: str, fault: str) -> str:
    """Return what is said when a cue or drill begins that can feed an uncorrected fault."""
    return f"note: this {kind} can bring about or feed an uncorrected fault, {fault} (common practice)"


CAMERA: Final = (
    "One camera: what is turned out of the picture or nearer than the scale is measured wrongly, and water "
    "bends the view. Film the same side, lens height and pace each time, and read twice."
)


def change_line(
    change: LookChange, areas: dict[str, Area], measures: dict[str, Measure], as_of: dt.date
) -> str:
    """Return "breathing 2 to 4 (Maud, 3 March to 5 May): better", with what it takes where that is known."""
    measure = measures.get(change.item)
    area = areas.get(change.item)
    unit = f" {measure.unit}" if measure else ""
    name = measure.name if measure else area.name if area else change.item
    side = f", {change.side}" if change.side else ""
    value = number(change.value, 1)
    if change.before is None or change.before_date is None:
        return f"{name}{side}: {value}{unit} ({change.reviewer}, {day(change.date, as_of)}); first look."
    span = f"{day(change.before_date, as_of)} to {day(change.date, as_of)}"
    return (
        f"{name}{side}: {number(change.before, 1)} to {value}{unit} ({change.reviewer}, {span}): "
        f"{_how_sure(change, abs(change.value - change.before), unit)}."
    )


def _how_sure(change: LookChange, apart: float, unit: str) -> str:
    """Return what two readings show, and what it takes; without an own error no change is claimed."""
    if change.needed is None:
        if not apart:
            return f"{change.seen}; own reading error not known"
        by = f"differs by {number(apart, 1)}{unit}"
        return f"{by}; whether that is more than reading error is not known"
    ends = ""
    if change.needed_ends is not None:
        low, high = (number(end, 1) for end in change.needed_ends)
        ends = f" (90 % interval {low} to {high})"
    return f"{change.seen}; a change counts from {number(change.needed, 1)}{ends}"


def look_lines(changes: Iterable[LookChange], as_of: dt.date) -> list[str]:
    """Return a line for each item, a reviewer's together."""
    by_area = {area.slug: area for area in areas()}
    by_measure = {measure.slug: measure for measure in measures()}
    ordered = sorted(changes, key=lambda change: change.reviewer)
    return [change_line(change, by_area, by_measure, as_of) for change in ordered]


def club_norm_line(norm: ClubNorm, value: float, error: OwnError | None) -> str:
    """Return a reading beside the club's own distribution, with the reviewer's own error; no names."""
    known = measure(norm.item)
    side = f", {norm.side}" if norm.side else ""
    read = "own reading error not known"
    if error is not None:
        clips = count(error.pairs, "clip")
        read = f"own reading error {plain_number(round(error.value, 1))} {known.unit} ({clips} read twice)"
    reading = f"{plain_number(round(value, 1))} {known.unit}"
    return f"{known.name}{side}: {reading} beside {club_norm_words(norm)}; {read}."


def club_norm_words(norm: ClubNorm) -> str:
    """Return "this club's own 14 swimmers (no published norm; read by Maud): median 37, ..."."""
    return (
        f"this club's own {norm.swimmers} swimmers (no published norm; read by {norm.reviewer}): median "
        f"{number(norm.median, 0)}, eight in ten between {number(norm.low, 0)} and {number(norm.high, 0)}"
    )


def beside_the_club(
    changes: Iterable[LookChange], norms: ClubNorms, errors: Mapping[tuple[str, str], OwnError]
) -> list[str]:
    """Return a line for each last reading that has the club beside it."""
    return [
        club_norm_line(norm, change.value, errors.get((change.reviewer, change.item)))
        for change in changes
        if (norm := norms.get((change.reviewer, change.item, change.side))) is not None
    ]


def score_words(area: Area, score: float) -> str:
    """Return what a score of 1 to 5 in an area looks like; empty outside."""
    place = round(score) - 1
    return area.steps[place] if 0 <= place < len(area.steps) else ""


def beside_the_line(test_pace: float, verdict: Verdict) -> str:
    """Return how a pace (s per 100 m) compares with the line, and whether that is ordinary scatter."""
    percent = 100 * (verdict.present_pace / test_pace - 1)
    way = "faster than" if percent >= 0 else "slower than"
    apart = f"{number(abs(percent), 1)} % {way} your line ({pace(verdict.present_pace)}, {verdict.reference})"
    ordinary = abs(percent) <= 1.645 * verdict.noise_pct
    scatter = "within" if ordinary else "outside"
    return f"{apart}, {scatter} the usual scatter of {number(verdict.noise_pct, 1)} %"
