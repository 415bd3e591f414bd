"""The guard: records that end in a spell of eight weeks or more, against the engine before this one."""

from __future__ import annotations

import warnings
from dataclasses import asdict

import numpy as np

from tests.simulate.scoring import Score, score
from tests.simulate.seasons import Season
from tests.validation.dated import truth_of
from tests.validation.part import Part, Scale
from tests.validation.populations import (
    BROKEN,
    MILDER,
    SEEDS,
    SIZE,
    THRESHOLD,
    Judged,
    all_judged,
    judged_of,
    seeds_of,
    some_of,
)
from tests.validation.random_dates import places, right_of
from tests.validation.table import Table
from tests.validation.tally import plus_minus, share, shown, spread
from tracker.engine.trend.posterior import Answer
from tracker.engine.verdict.judge import judge_case
from tracker.settings import DEFAULT

DRAWS = 30
SIDE = 240
"""Swimmers of the populations that differ in one thing."""
FIGURES = {
    "auc": "AUC of P(flat), flat 8 weeks or longer against moving",
    "f1": "F1 of flat stretches of 6 weeks or longer, half overlap",
    "onset_error": "onset of named plateaus, median error, weeks (engine)",
    "onset_covered": "90 % onset interval covers (engine)",
    "start_error": "start of every stretch found, past ones too, median error, weeks",
    "start_covered": "90 % interval of that start covers",
    "named_12_20_at_5": "plateaus of 12-20 weeks named, at 5 % false alarms",
    "false_plateau": "moving ones called plateau, cut 0.80",
    "speaks": "a class holds the cut 0.80",
    "right": "right when it speaks, cut 0.80",
    "named_6_10_months": "plateaus of 6-10 months named, weekly or fortnightly",
    "named_longer": "longer plateaus named, weekly or fortnightly",
    "rate_covered": "90 % rate interval covers",
    "rate_covered_least": "the same in the worst of five classes of test counts",
}
WORDS = {
    "word": "the verdict holds a word of the three",
    "word_right": "it is right",
}
LANDED = {
    "auc": (0.985, 0.986, 0.97, 0.974, 0.966, 0.964),
    "f1": (0.848, 0.851, 0.842, 0.858, 0.832, 0.821),
    "onset_error": (1.897, 1.81, 2.875, 3.656, 3.307, 3.157),
    "onset_covered": (0.935, 0.901, 0.957, 0.941, 0.957, 0.91),
    "start_error": (1.661, 1.747, 2.981, 3.335, 2.937, 3.329),
    "start_covered": (0.9, 0.899, 0.923, 0.917, 0.919, 0.887),
    "named_12_20_at_5": (0.908, 0.894, 0.619, 0.732, 0.458, 0.674),
    "false_plateau": (0.005, 0.018, 0.031, 0.026, 0.027, 0.03),
    "speaks": (0.84, 0.849, 0.815, 0.79, 0.801, 0.777),
    "right": (0.952, 0.965, 0.954, 0.967, 0.956, 0.963),
    "named_6_10_months": (0.782, 0.859, 0.837, 0.726, 0.735, 0.722),
    "named_longer": (0.91, 0.949, 0.887, 0.857, 0.888, 0.849),
    "rate_covered": (0.919, 0.91, 0.919, 0.929, 0.896, 0.92),
    "rate_covered_least": (0.856, 0.895, 0.893, 0.916, 0.868, 0.863),
}
"""What the engine before this one had on the same six rosters, in the order of `SEEDS`."""


def run(scale: Scale) -> Part:
    """Score the six rosters."""
    draws = 4 if scale.quick else DRAWS
    rosters = all_judged(scale)
    columns = {(name, seed): _column(name, roster, draws) | _words(roster) for name, seed, roster in rosters}
    order = [(name, seed) for name, own in SEEDS.items() for seed in own]
    rows = tuple(
        (title, *(cell for place, column in columns.items() for cell in (
            f"{LANDED[key][order.index(place)]:.3f}" if key in LANDED else "", column[key])))
        for key, title in (FIGURES | WORDS).items()
    )  # fmt: skip
    heads = tuple(h for name, seed in columns for h in (f"{name} {seed}: landed", f"{name} {seed}: now"))
    table = Table(
        "guard",
        "The guard: uncut records, whose last spell is eight weeks or longer",
        f"{scale.of(SIZE, 30)} swimmers a seed (tests/simulate/seasons.py), one setting for all, priors "
        "learned from each file; the noise of a test 0.8-1.4 %, a third each normal, t with 4 df and "
        "one-sided slow days. Moving: faster than 0.5 %/month (quick) or 0.3 (slow, joint). Landed: what the "
        "engine of 26 November 2026 had on the same swimmers; it spoke from 0.80 on. "
        f"± is the bootstrap error over swimmers ({DRAWS} draws). At the last test of each.",
        ("figure", *heads),
        rows,
    )
    return Part((table, _what_costs(scale), _what_events_bring(scale)))


def _what_costs(scale: Scale) -> Table:
    """Score the quick population without unmarked lay-offs, smooth slow-downs, both, or short spells."""
    keys = ("auc", "f1", "onset_error", "onset_covered", "start_error", "start_covered")
    draws = 4 if scale.quick else DRAWS
    rows = []
    for name, style in MILDER.items():
        for seed in seeds_of("quick", scale)[:1]:
            column = _column("quick", judged_of(style, seed, scale.of(SIDE, 30)), draws)
            rows.append((name, str(seed), *(column[key] for key in keys)))
    return Table(
        "what_costs",
        "Quick improvers: what unmarked lay-offs, smooth slow-downs and short spells cost",
        f"As above, {scale.of(SIDE, 30)} swimmers of one seed. Of the quick population 20 % have an "
        "unmarked lay-off that costs 1 to 2.5 %, and a quarter of the slow-downs take 6 to 14 weeks, "
        "where the plateau begins by definition on their last day. Spells last 8 weeks at least and 26 on "
        "average; longer spells: 40 on average.",
        ("population", "seed", *(FIGURES[key] for key in keys)),
        tuple(rows),
    )


def _what_events_bring(scale: Scale) -> Table:
    """Score quick populations with breaks, first nowhere written down, then on record as events."""
    keys = ("auc", "f1", "onset_error", "false_plateau", "right", "rate_covered")
    draws = 4 if scale.quick else DRAWS
    rows = []
    for name, style in BROKEN.items():
        for seed in seeds_of("quick", scale)[:1]:
            for marked in (False, True):
                roster = judged_of(style, seed, scale.of(SIDE, 30), marked=marked)
                column = _column("quick", roster, draws)
                rows.append((name, str(seed), "yes" if marked else "no", *(column[key] for key in keys)))
    return Table(
        "what_events_bring",
        "Quick improvers with breaks: what it brings to have them on record",
        f"As above, {scale.of(SIDE, 30)} swimmers of one seed; a break is 3 to 6 weeks without tests, "
        "after which the level is lower. On record: the level may jump on the day of the return; by how "
        "much is estimated.",
        ("breaks", "seed", "on record", *(FIGURES[key] for key in keys)),
        tuple(rows),
    )


def _words(roster: Judged) -> dict[str, str]:
    """Return how often the verdict says a word of the three, and how often it is right."""
    word = places([v.verdict for v in judge_case(roster.case, DEFAULT)])
    return {
        "word": shown(share(word >= 0)),
        "word_right": shown(right_of(word, truth_of(roster.swimmers).now)),
    }


def _score(swimmers: list[Season], answer: Answer, threshold: float) -> Score:
    with warnings.catch_warnings():
        # a figure nobody counts for is NaN, of which numpy warns
        warnings.simplefilter("ignore", RuntimeWarning)
        return score(swimmers, answer, threshold)


def _column(name: str, roster: Judged, draws: int) -> dict[str, str]:
    rng = np.random.default_rng(1)
    size = len(roster.swimmers)
    value = asdict(_score(roster.swimmers, roster.case.answer, THRESHOLD[name]))
    again: dict[str, list[float]] = {key: [] for key in FIGURES}
    for _ in range(draws):
        rows = rng.integers(0, size, size)
        drawn = _score([roster.swimmers[i] for i in rows], some_of(roster.case.answer, rows), THRESHOLD[name])
        for key in FIGURES:
            again[key].append(getattr(drawn, key))
    return {key: plus_minus(value[key], spread(again[key])) for key in FIGURES}
