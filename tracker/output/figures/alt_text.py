"""Alternative text of a chart, with its numbers, for readers who hear the page."""

from __future__ import annotations

from collections.abc import Sequence

from tracker.output.figures.joint import JointChart
from tracker.output.figures.pace_panel import axis_range
from tracker.output.figures.spell_panel import rows_of
from tracker.output.sentences.link import FaultNames, fault_name
from tracker.output.sentences.numbers import capital, count, full_day, pace
from tracker.output.sentences.verdict import no_line, shown_stretches, stretch_words
from tracker.technique.fault_timeline import Spell


def joint_alt(chart: JointChart) -> str:
    """Return the joint chart in sentences: tests, line, flat stretches, faults, events."""
    verdict = chart.verdict
    counted = [point.on_line for point in verdict.points if not point.set_aside]
    aside = len(verdict.points) - len(counted)
    parts = [
        f"Pace in min:s per 100 m, faster upwards, from {full_day(chart.first)} to {full_day(chart.last)}."
    ]
    if counted:
        days = count(len({point.date for point in verdict.points}), "test day")
        rest = f", {aside} of them set aside; the rest" if aside else ","
        parts.append(
            f"{count(len(verdict.points), 'swim')} on {days}{rest} between {pace(min(counted))} and "
            f"{pace(max(counted))}."
        )
    curve = verdict.curve
    if curve is not None:
        parts.append(
            f"The line goes from {pace(curve.pace[0])} to {pace(curve.pace[-1])} "
            f"(90 % band at its end: {pace(curve.fastest[-1])} to {pace(curve.slowest[-1])})."
        )
    if verdict.lacks:
        parts.append(no_line(verdict))
    parts += [stretch_words(stretch, verdict) for stretch in shown_stretches(verdict)]
    parts += [_row(own, chart.names) for _, _, own in rows_of(chart.spells, chart.first, chart.last)]
    if chart.marks:
        parts.append(
            f"Marked: {'; '.join(f'{mark.text} ({full_day(mark.begins)})' for mark in chart.marks)}."
        )
    return " ".join(parts)


def joint_caption(chart: JointChart) -> str:
    """Return what one must know to read the chart."""
    low, high = axis_range(chart.verdict)
    faults = " Beneath, each fault on record and its state." if chart.spells else ""
    grey = " Grey: level stretches." if shown_stretches(chart.verdict) else ""
    line = no_line(chart.verdict) or "The line is what they say together; intervals and band hold 90 %."
    return (
        f"Points are timed swims. {line} "
        f"The axis shows {pace(low)} to {pace(high)} and does not start at zero.{grey}{faults}"
    )


def _row(own: Sequence[Spell], names: FaultNames) -> str:
    spells = ", ".join(
        f"{spell.state} {'from' if spell.ends else 'since'} {full_day(spell.begins)}" for spell in own
    )
    return f"{capital(fault_name(own[0].fault, own[0].side, names))}: {spells}."
