#!/usr/bin/env python3
"""Reference values for repeat counts, computed apart from the program.

Made with Python 3.11, numpy 2.4.6, scipy 1.17.1, statsmodels and pingouin 0.7.0. To make them again:

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install numpy scipy statsmodels pingouin
    /tmp/venv/bin/python tests/reference/repeat.py       (writes repeat.json beside this file)

Mean squares come from statsmodels' analysis of variance, correlations from pingouin, points of F and t from scipy.
"""
import json
import pathlib
from importlib import metadata

import numpy as np
import pandas as pd
import pingouin
from scipy import stats
from statsmodels.formula.api import ols
from statsmodels.stats.anova import anova_lm


def long(table):
    n, k = table.shape
    return pd.DataFrame({"thing": np.repeat(np.arange(n), k), "by": np.tile(np.arange(k), n),
                         "value": table.ravel()})


def mean_squares(table):
    data = long(table)
    two = anova_lm(ols("value ~ C(thing) + C(by)", data).fit())
    one = anova_lm(ols("value ~ C(thing)", data).fit())
    return {"between": two.loc["C(thing)", "mean_sq"], "columns": two.loc["C(by)", "mean_sq"],
            "error": two.loc["Residual", "mean_sq"], "within": one.loc["Residual", "mean_sq"]}


def icc_values(table):
    found = pingouin.intraclass_corr(long(table), targets="thing", raters="by", ratings="value")
    values = found["ICC"].to_list()
    return {"one_way": values[0], "two_way": values[1], "consistency": values[2]}


def icc_intervals(table, ms, icc):
    """McGraw and Wong's intervals, written down from their definition with scipy's F."""
    n, k = table.shape
    b, j, e, w = ms["between"], ms["columns"], ms["error"], ms["within"]
    f = b / w
    low = f / stats.f.ppf(0.975, n - 1, n * (k - 1))
    high = f * stats.f.ppf(0.975, n * (k - 1), n - 1)
    one = [(low - 1) / (low + k - 1), (high - 1) / (high + k - 1)]
    r = icc["two_way"]
    a = k * r / (n * (1 - r))
    c = 1 + k * r * (n - 1) / (n * (1 - r))
    v = (a * j + c * e) ** 2 / ((a * j) ** 2 / (k - 1) + (c * e) ** 2 / ((n - 1) * (k - 1)))
    far, near = stats.f.ppf(0.975, n - 1, v), stats.f.ppf(0.975, v, n - 1)
    two = [n * (b - far * e) / (far * (k * j + (k * n - k - n) * e) + n * b),
           n * (near * b - e) / (k * j + (k * n - k - n) * e + n * near * b)]
    return {"one_way": one, "two_way": two}


def pairs(table):
    d = table[:, 1] - table[:, 0]
    n, sd, z = len(d), d.std(ddof=1), stats.norm.ppf(0.975)
    t = stats.t.ppf(0.975, n - 1)
    at = sd * np.sqrt(1 / n + z * z / (2 * (n - 1)))
    limits = [d.mean() - z * sd, d.mean() + z * sd]
    within = np.sqrt((d ** 2).sum() / (2 * n))
    return {"mean": table.mean(), "bias": [d.mean(), *stats.t.interval(0.95, n - 1, d.mean(), sd / np.sqrt(n))],
            "sd_difference": sd, "within_sd": within, "repeatability": z * np.sqrt(2) * within,
            "limit_lo": [limits[0], limits[0] - t * at, limits[0] + t * at],
            "limit_hi": [limits[1], limits[1] - t * at, limits[1] + t * at]}


def case(name, table):
    table = np.asarray(table, float)
    ms = mean_squares(table)
    icc = icc_values(table)
    found = {"name": name, "table": table.tolist(), "mean_squares": ms, "icc": icc,
             "intervals": icc_intervals(table, ms, icc)}
    if table.shape[1] == 2:
        found["pairs"] = pairs(table)
    return found


# Shrout and Fleiss (1979), table 2: six targets, four judges
SHROUT_FLEISS = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
# Bland and Altman (1986), table 1: first reading by the mini meter, then by the large one
LARGE = [494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427]
MINI = [512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451]


def main():
    rng = np.random.default_rng(20270112)
    cases = [case("shrout_fleiss", SHROUT_FLEISS), case("bland_altman", np.column_stack([MINI, LARGE]))]
    for at, (n, tree, count, shift) in enumerate([(5, 3, 1, 0), (12, 8, 2, 1.5), (40, 0.08, 0.03, 0.01), (200, 1, 1, 0),
                                                  (25, 0.5, 2, 4)]):
        truth = 20 + tree * rng.standard_normal(n)
        cases.append(case(f"random {at}", truth[:, None] + count * rng.standard_normal((n, 2)) + [0, shift]))
    points = [{"p": p, "d1": a, "d2": b, "f": stats.f.ppf(p, a, b), "t": stats.t.ppf((1 + p) / 2, b)}
              for p in (0.1, 0.5, 0.95, 0.975) for a in (1, 2.5, 4, 60) for b in (1, 1.3, 5, 16, 300)]
    made = {name: metadata.version(name) for name in ("numpy", "scipy", "statsmodels", "pingouin")}
    to = pathlib.Path(__file__).with_name("repeat.json")
    to.write_text(json.dumps({"made_with": made, "cases": cases, "points": points}, indent=1) + "\n")


main()
