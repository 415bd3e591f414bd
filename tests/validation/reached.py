"""The figures to reach: area under the curve, stretches found, plateaus named, intervals kept."""

from __future__ import annotations

import warnings
from dataclasses import asdict

import numpy as np

from tests.simulate.scoring import Score, score
from tests.simulate.seasons import Season
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
from tests.validation.table import Table
from tests.validation.tally import plus_minus, spread
from tracker.engine.trend.posterior import Answer

DRAWS = 60
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
REACH = {
    "quick": {"auc": "0.985", "f1": "0.86", "onset_error": "1.6", "onset_covered": "0.87-0.95",
              "named_12_20_at_5": "0.78"},
    "slow": {"auc": "0.960", "false_plateau": "0.03", "right": "0.955", "named_6_10_months": "0.60",
             "named_longer": "0.85"},
    "joint": {"auc": "0.955", "false_plateau": "0.03", "right": "0.955", "named_6_10_months": "0.55",
              "named_longer": "0.80"},
}  # fmt: skip
EVERYWHERE = {"rate_covered": "0.87-0.93", "rate_covered_least": "0.85"}


def run(scale: Scale) -> Part:
    """Score the six rosters."""
    columns: dict[tuple[str, int], dict[str, str]] = {}
    for name, seed, roster in all_judged(scale):
        columns[name, seed] = _column(name, roster, 4 if scale.quick else DRAWS)
    seeds = {name: seeds_of(name, scale) for name in SEEDS}
    rows = tuple(
        (title, *(cell for name, own in seeds.items() for cell in (
            (REACH[name] | EVERYWHERE).get(key, ""), *(columns[name, seed][key] for seed in own))))
        for key, title in FIGURES.items()
    )  # fmt: skip
    heads = tuple(h for name, own in seeds.items() for h in (f"{name}: reach", *(f"seed {s}" for s in own)))
    table = Table(
        "figures_to_reach",
        "Figures to reach, on held-out seeds",
        f"{scale.of(SIZE, 30)} swimmers a seed (tests/simulate/seasons.py), one setting for all, priors "
        "learned from each file; the noise of a test 0.8-1.4 %, a third each normal, t with 4 df and "
        "one-sided slow days. Moving: faster than 0.5 %/month (quick) or 0.3 (slow, joint). "
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
        for seed in seeds_of("quick", scale):
            column = _column("quick", judged_of(style, seed, scale.of(SIZE, 30)), draws)
            rows.append((name, str(seed), *(column[key] for key in keys)))
    return Table(
        "what_costs",
        "Quick improvers: what unmarked lay-offs, smooth slow-downs and short spells cost",
        "As above. Of the quick population 20 % have an unmarked lay-off that costs 1 to 2.5 %, and a "
        "quarter of the slow-downs take 6 to 14 weeks, where the plateau begins by definition on their "
        "last day. Spells last 8 weeks at least and 26 on average; longer spells: 40 on average.",
        ("population", "seed", *(FIGURES[key] for key in keys)),
        tuple(rows),
    )


def _what_events_bring(scale: Scale) -> Table:
    """Score quick populations with breaks, first nowhere written down, then on record as events."""
    keys = ("auc", "f1", "onset_error", "false_plateau", "right", "rate_covered")
    draws = 4 if scale.quick else DRAWS
    rows = []
    for name, style in BROKEN.items():
        for seed in seeds_of("quick", scale):
            for marked in (False, True):
                roster = judged_of(style, seed, scale.of(SIZE, 30), marked=marked)
                column = _column("quick", roster, draws)
                rows.append((name, str(seed), "yes" if marked else "no", *(column[key] for key in keys)))
    return Table(
        "what_events_bring",
        "Quick improvers with breaks: what it brings to have them on record",
        "As above; a break is 3 to 6 weeks without tests, after which the level is lower. On record: the "
        "level may jump on the day of the return; by how much is estimated.",
        ("breaks", "seed", "on record", *(FIGURES[key] for key in keys)),
        tuple(rows),
    )


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
