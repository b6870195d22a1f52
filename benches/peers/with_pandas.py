"""How each pruner of a winter stands, by pandas and scipy: the figures of `thirdwood crew`, written down anew.

Reads a question as JSON (file, winter, bud limits) from standard input; answers with the figures and, for each run,
the seconds from opening the file to the last figure. Starting Python and its imports is not counted.
"""

import json
import sqlite3
import sys
import time

import numpy as np
import pandas as pd
from scipy.special import expm1, log1p

AGES = ["one", "two", "three", "four"]
SIZES = ["thin", "medium", "thick"]
RHO = {"one": 0.02, "two": 0.02, "three": 0.02, "four": 0.05, "buds": 0.05}
ALPHAS = {"flag": 0.02, "balance": 0.10}


def read(path, winter):
    units = [f"{size}{buds}" for size in SIZES for buds in range(8)]
    with sqlite3.connect(f"file:{path}?mode=ro", uri=True) as file:
        counts = pd.read_sql_query(
            f"""SELECT pruner, block, row, tree, at_ms, id, {', '.join(AGES + units)} FROM tree_count
            WHERE winter = ? AND removed = 0 AND closed = 1 AND again = 0 AND stage = 'after'""",
            file,
            params=[winter],
        )
        pruned = pd.read_sql_query(
            "SELECT pruner, block, sum(last - first + 1) AS trees FROM work WHERE winter = ? AND removed = 0 "
            "GROUP BY pruner, block",
            file,
            params=[winter],
        )
    counts = counts.sort_values(["at_ms", "id"]).drop_duplicates(["block", "row", "tree"], keep="last")
    return counts, pruned


def by_metric(counts, limits):
    """One line for a tree and metric: c of m pieces or units belong to it."""
    pieces = counts[AGES].sum(axis=1)
    long = [
        pd.DataFrame({"pruner": counts.pruner, "block": counts.block, "metric": age, "c": counts[age], "m": pieces})
        for age in AGES
    ]
    all_units = [f"{size}{buds}" for size in SIZES for buds in range(8)]
    within = [f"{size}{buds}" for size, (lo, hi) in zip(SIZES, limits) for buds in range(lo, hi + 1)]
    long.append(
        pd.DataFrame(
            {
                "pruner": counts.pruner,
                "block": counts.block,
                "metric": "buds",
                "c": counts[within].sum(axis=1),
                "m": counts[all_units].sum(axis=1),
            }
        )
    )
    long = pd.concat(long)
    long = long[long.m > 0]
    return long.assign(x=long.c / long.m, inv_m=1 / long.m)


def by_stratum(long, pruned):
    grouped = long.groupby(["pruner", "block", "metric"])
    strata = grouped.agg(n=("x", "size"), mean=("x", "mean"), var=("x", "var"), c=("c", "sum"), m=("m", "sum"), inv_m=("inv_m", "sum"))
    strata = strata.reset_index().merge(pruned, on=["pruner", "block"], how="left")
    strata["trees"] = np.maximum(strata.trees.fillna(0), strata.n)
    strata["squares"] = (strata["var"] * (strata.n - 1)).fillna(0.0)
    return strata


def by_pruner(strata):
    key = ["pruner", "metric"]
    weight = strata.trees / strata.groupby(key).trees.transform("sum")
    strata = strata.assign(wx=weight * strata["mean"], ww=weight**2 / strata.n)
    of = strata.groupby(key).agg(
        n=("n", "sum"), strata=("n", "size"), mean=("wx", "sum"), inverse=("ww", "sum"), squares=("squares", "sum"),
        inv_m=("inv_m", "sum"), c=("c", "sum"), m=("m", "sum"),
    ).reset_index()
    of["n_eff"] = 1 / of.inverse
    of["nu"] = of.n - of.strata
    variance = np.where(of.nu > 0, of.squares / of.nu.clip(lower=1), 0.0)
    share = (of.c + 0.5) / (of.m + 1)
    floor = share * (1 - share) * of.inv_m / of.n
    # one block alone has a floor: what counting so few pieces a tree must give
    of["s"] = np.sqrt(np.where(of.strata == 1, np.maximum(variance, floor), variance))
    rho = of.metric.map(RHO)
    of["b"] = np.maximum(rho + (1 - rho) * of.inv_m / of.n, common_spread(of))
    return of


def common_spread(of):
    """What the four ages tell together of how much a pruner's trees differ: a floor for each of them, none for buds."""
    ages = of[of.metric.isin(AGES)]
    sums = pd.DataFrame({"squares": ages.s**2, "possible": ages["mean"] * (1 - ages["mean"])}).groupby(ages.pruner).sum()
    least = 0.7 * (sums.squares / sums.possible).clip(upper=1)
    return np.where(of.metric.isin(AGES), of.pruner.map(least), 0.0)


def intervals(of, alpha):
    """The interval valid at any look: a Student-t confidence sequence, with a score floor."""
    lr = log1p(of.n_eff)
    lq = (-2 * np.log(alpha) + lr) / (of.nu + 1)
    with np.errstate(invalid="ignore", divide="ignore"):
        multiple = np.sqrt(of.nu * expm1(lq) / -expm1(lq - lr))
    w = multiple / np.sqrt(of.n_eff)
    a = w**2 * of.b
    root = np.sqrt(a * of["mean"] * (1 - of["mean"]) + a**2 / 4)
    lo = np.minimum(of["mean"] - w * of.s, (of["mean"] + a / 2 - root) / (1 + a)).clip(0, 1)
    hi = np.maximum(of["mean"] + w * of.s, (of["mean"] + a / 2 + root) / (1 + a)).clip(0, 1)
    bounded = (of.nu >= 1) & (lq < lr)
    return np.where(bounded, lo, 0.0), np.where(bounded, hi, 1.0)


def figures(ask):
    counts, pruned = read(ask["file"], bytes.fromhex(ask["winter"]))
    of = by_pruner(by_stratum(by_metric(counts, ask["limits"]), pruned))
    for name, alpha in ALPHAS.items():
        of[f"{name}_lo"], of[f"{name}_hi"] = intervals(of, alpha)
    return of


def answer(of):
    columns = ["n", "mean", "flag_lo", "flag_hi", "balance_lo", "balance_hi"]
    keys = [f"{bytes(pruner).hex()} {metric}" for pruner, metric in zip(of.pruner, of.metric)]
    return dict(zip(keys, of[columns].astype(float).values.tolist()))


def main():
    ask = json.load(sys.stdin)
    seconds = []
    for _ in range(ask["runs"]):
        began = time.perf_counter()
        of = figures(ask)
        seconds.append(time.perf_counter() - began)
    json.dump({"seconds": seconds, "figures": answer(of)}, sys.stdout)


if __name__ == "__main__":
    main()
