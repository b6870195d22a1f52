#!/usr/bin/env python3
"""Reference values for `judge`, computed apart from the program.

Made with Python 3.11, numpy 2.4.6, scipy 1.17.1, statsmodels 0.15.0, samplics 0.6.1. To make them again:

    python3 -m venv /tmp/venv && /tmp/venv/bin/pip install numpy scipy statsmodels samplics
    /tmp/venv/bin/python tests/reference/reference.py       (some ten seconds; writes judge.json beside this file)

Nothing is taken from the closed forms of the program where another way exists: the Bayes factor comes from numeric
integration of the noncentral t density over a normal mixture, limits from root finding on the inequality that defines
them, and estimates from the raw trees rather than from running sums.
"""
import json
import math
import pathlib
import platform
import warnings
from importlib import metadata

import numpy as np
import scipy
from scipy import integrate, optimize, stats

warnings.filterwarnings("ignore")
TARGET = np.array([1 / 3, 1 / 3, 1 / 3, 0.0])
# twelve invented trees: pieces by age, units within the rule, units
AGES = np.array([
    [5, 14, 12, 1], [8, 20, 15, 0], [2, 3, 4, 0], [9, 12, 14, 0], [4, 11, 9, 2], [7, 16, 13, 0],
    [3, 15, 10, 0], [6, 9, 12, 1], [10, 18, 20, 0], [1, 6, 5, 0], [5, 13, 11, 0], [8, 17, 16, 1]])
WITHIN = np.array([4, 6, 2, 7, 4, 5, 1, 5, 8, 1, 4, 5])
UNITS = np.array([5, 8, 2, 9, 4, 7, 3, 6, 10, 1, 5, 8])
RHO = [0.02, 0.02, 0.02, 0.05, 0.05]


def bayes_factor(n, t, tau):
    """Density of t under a N(0, tau^2) mixture of effect sizes over its density under none, by quadrature."""
    at = t / math.sqrt(n)

    def mixed(d):
        return stats.nct.pdf(t, n - 1, d * math.sqrt(n)) * stats.norm.pdf(d, 0, tau)

    cuts = [-8 * tau, at - 1, at, at + 1, 8 * tau]
    whole = sum(integrate.quad(mixed, a, b, epsabs=0, epsrel=1e-12, limit=400)[0] for a, b in zip(cuts, cuts[1:]))
    return whole / stats.t.pdf(t, n - 1)


def log_bayes_closed(n_eff, nu, t):
    """The same in closed form (Gonen and others 2005), for degrees of freedom that no single sample has; tau = 1."""
    r = 1 + n_eff
    return -0.5 * math.log(r) + 0.5 * (nu + 1) * (math.log1p(t * t / nu) - math.log1p(t * t / (nu * r)))


def multiplier(n_eff, nu, alpha):
    """|t| at which the Bayes factor reaches 1/alpha, by root finding; None where it never does."""
    def over(t):
        return log_bayes_closed(n_eff, nu, t) + math.log(alpha)

    if nu < 1 or over(1e6) <= 0:
        return None
    return optimize.brentq(over, 0, 1e6, xtol=1e-13, rtol=8.9e-16)


def limits(mean, s, n_eff, nu, b, alpha, extra=0.0):
    """{mu in [0, 1]: |mean - mu| <= w sqrt(max(s^2, b mu (1 - mu)) + extra)}, by root finding to either side."""
    m = multiplier(n_eff, nu, alpha)
    if m is None:
        return [0.0, 1.0]
    w = m / math.sqrt(n_eff)

    def outside(mu):
        return abs(mean - mu) - w * math.sqrt(max(s * s, b * mu * (1 - mu)) + extra)

    def end(edge):
        if outside(edge) <= 0:
            return edge
        # the set is an interval (it is the union of two that hold the mean): halve between its edge and the mean
        inside, out = mean, edge
        for _ in range(200):
            middle = (inside + out) / 2
            inside, out = (middle, out) if outside(middle) <= 0 else (inside, middle)
        return inside

    return [end(0.0), end(1.0)]


def seen(c, m, rho):
    """n, mean, s, B of one metric from raw trees."""
    c, m = np.asarray(c, float), np.asarray(m, float)
    c, m = c[m > 0], m[m > 0]
    p = (c.sum() + 0.5) / (m.sum() + 1)
    s2 = max((c / m).var(ddof=1), p * (1 - p) * np.mean(1 / m))
    return len(m), float(np.mean(c / m)), math.sqrt(s2), float(rho + (1 - rho) * np.mean(1 / m))


def trees_to(mean, s, b, n, lo, hi, alpha, inside):
    """Trees in all at which the interval is outside (or inside) the band, stepping one by one to 200."""
    for k in range(n + 1, 201):
        left, right = limits(mean, s, k, k - 1, b, alpha)
        if inside and k >= 10 and left >= lo and right <= hi:
            return k
        if not inside and (right < lo or left > hi):
            return k
    return None


def weighed(c, m, w):
    """What one stratum's trees come to: c of m pieces, and a weight of each."""
    x, u = np.asarray(c, float) / m, np.asarray(w, float) / np.sum(w)
    mean = (u * x).sum()
    a, third, fourth = (u ** 2).sum(), (u ** 3).sum(), (u ** 4).sum()
    q = (u ** 2 * (x - mean) ** 2).sum()
    scale = a - 2 * third + a * a
    return dict(n=len(x), mean=mean, a=a, third=third, fourth=fourth, q=q, v=q / scale if scale > 1e-12 else 0.0,
                df=max(a * a / fourth - 1, 0.0), inv=(u ** 2 / m).sum() / a, p=(np.sum(c) + 0.5) / (np.sum(m) + 1))


def spread(seen, weight, mean):
    """Variance between trees and degrees of freedom of several strata."""
    a = np.array([w * w * h["a"] for w, h in zip(weight, seen)])
    own, df = np.array([h["v"] for h in seen]), np.array([h["df"] for h in seen])
    if len(seen) == 1:
        h = seen[0]
        return max(h["v"], h["p"] * (1 - h["p"]) * h["inv"]), h["df"]
    enough = np.array([h["n"] >= 4 for h in seen])
    if not enough.any():
        third = sum(w ** 3 * h["third"] for w, h in zip(weight, seen))
        fourth = sum(w ** 4 * h["fourth"] for w, h in zip(weight, seen))
        q = sum(w * w * (h["q"] + h["a"] * (h["mean"] - mean) ** 2) for w, h in zip(weight, seen))
        scale = a.sum() - 2 * third + a.sum() ** 2
        return (q / scale if scale > 1e-12 else 0.0), 0.8 * max(a.sum() ** 2 / fourth - 1, 0.0)
    common = (df * own).sum() / df.sum()
    drawn = own + 2 / (df + 2) * np.clip(common - own, 0, None)
    v = np.where(enough, drawn, np.maximum(own, drawn[enough].max()))
    d = np.maximum(df, 1.0)
    part = a * v
    nu = 0.8 * min(a.sum() ** 2 / (a ** 2 / d).sum(), part.sum() ** 2 / max((part ** 2 / d).sum(), 1e-300))
    return part.sum() / a.sum(), nu


def block(strata, rho, alpha=0.05):
    """Stratified estimate from raw trees: strata of (c, m, trees pruned), and weights of the trees where they are not alike."""
    pruned = np.array([h[2] for h in strata], float)
    counted = [h for h in strata if len(h[0])]
    seen = [weighed(h[0], np.asarray(h[1], float), h[3] if len(h) > 3 else np.ones(len(h[0]))) for h in counted]
    size = np.array([h[2] for h in counted], float)
    weight = size / size.sum()
    means = np.array([h["mean"] for h in seen])
    mean = float(weight @ means)
    a = np.array([w * w * h["a"] for w, h in zip(weight, seen)])
    n_eff = 1 / a.sum()
    s2, nu = spread(seen, weight, mean)
    unsampled = 1 - size.sum() / pruned.sum()
    extra = 0.0
    if unsampled > 1e-12:
        noise = np.mean([s2 * h["a"] for h in seen])
        between = means.var(ddof=1) - noise if len(seen) > 1 else 0.0
        extra = n_eff * unsampled ** 2 * max(between, 0.05 ** 2) * (1 + 1 / len(seen))
    b = rho + (1 - rho) * float((a * np.array([h["inv"] for h in seen])).sum() / a.sum())
    lo, hi = limits(mean, math.sqrt(s2), n_eff, nu, b, alpha, extra)
    return dict(mean=mean, nu=float(nu), n_eff=float(n_eff), s=math.sqrt(s2), unsampled=float(unsampled), lo=lo, hi=hi)


def distance(ages, target):
    x = ages / ages.sum(1, keepdims=True)
    n, mean = len(x), x.mean(0)
    share = 0.5 * np.abs(mean - target).sum()
    noise = 0.5 * math.sqrt(2 / math.pi) * (x.std(0, ddof=1) / math.sqrt(n)).sum()
    towards = 0.5 * (x - target) @ np.where(mean >= target, 1.0, -1.0)
    half = multiplier(n, n - 1, 0.05) * towards.std(ddof=1) / math.sqrt(n)
    own = 0.5 * np.abs(x - target).sum(1).mean()
    return dict(share=float(share), noise=float(noise), lo=max(0.0, float(share - half - noise)),
                hi=min(1.0, float(share + half)), mean_tree=float(own))


def samplics_mean(strata):
    """Stratified mean and its standard error (separate variances) by samplics, from raw trees with weights N_h / n_h."""
    from samplics.estimation import TaylorEstimator
    from samplics.utils.types import PopParam
    y, weight, stratum, psu = [], [], [], []
    for h, (c, m, pruned) in enumerate(strata):
        for i in range(len(c)):
            y.append(c[i] / m[i])
            weight.append(pruned / len(c))
            stratum.append(h)
            psu.append(len(psu))
    estimator = TaylorEstimator(PopParam.mean)
    estimator.estimate(y=np.array(y), samp_weight=np.array(weight), stratum=np.array(stratum), psu=np.array(psu))
    return float(estimator.point_est), float(estimator.stderror)


def main():
    import statsmodels
    from statsmodels.stats.proportion import proportion_confint
    pieces = AGES.sum(1)
    metrics = [(AGES[:, k], pieces) for k in range(4)] + [(WITHIN, UNITS)]
    out = {"bayes_factor": [], "multiplier": [], "limits": [], "from_counts": [], "trees_to": [], "wilson": []}

    for n, t in [(3, 1.0), (5, 2.5), (10, 3.0), (12, 0.7), (20, 4.0), (40, -2.2), (60, 5.5), (150, 3.9)]:
        value = bayes_factor(n, t, 1.0)
        assert abs(math.log(value) - log_bayes_closed(n, n - 1, t)) < 1e-9
        out["bayes_factor"].append(dict(n=n, t=t, log=math.log(value)))
    # a scale tau other than one is n tau^2 in place of n
    for n, t, tau in [(12, 0.7, 0.5), (20, 4.0, 0.7), (40, -2.2, 1.5), (60, 5.5, 2.0)]:
        out["bayes_factor"].append(dict(n=n * tau * tau, nu=n - 1, t=t, log=math.log(bayes_factor(n, t, tau))))

    for alpha in [0.01, 0.02, 0.05, 0.10]:
        for n in [2, 4, 5, 6, 7, 8, 10, 15, 30, 60, 100, 200]:
            out["multiplier"].append(dict(n_eff=n, nu=n - 1, alpha=alpha, m=multiplier(n, n - 1, alpha)))
    for n_eff, nu, alpha in [(10.4, 9, 0.05), (14.0, 11, 0.05), (3.2, 20, 0.02), (25.5, 1, 0.05), (9.0, 0, 0.05)]:
        out["multiplier"].append(dict(n_eff=n_eff, nu=nu, alpha=alpha, m=multiplier(n_eff, nu, alpha)))

    for mean, s, n_eff, nu, b, alpha, extra in [
            (0.0, 0.0, 20, 19, 0.0882, 0.10, 0), (0.02, 0.03, 25, 24, 0.0882, 0.10, 0), (0.15, 0.10, 16, 15, 0.056, 0.02, 0),
            (0.97, 0.05, 15, 14, 0.16, 0.02, 0), (0.33, 0.125, 30, 29, 0.056, 0.10, 0), (0.5, 0.2, 5, 4, 0.1, 0.02, 0),
            (1.0, 0.0, 40, 39, 0.15, 0.10, 0), (0.2, 0.1, 14, 11, 0.06, 0.05, 0.01), (0.4, 0.2, 9.3, 7, 0.06, 0.05, 0.2)]:
        lo, hi = limits(mean, s, n_eff, nu, b, alpha, extra)
        out["limits"].append(dict(mean=mean, s=s, n_eff=n_eff, nu=nu, b=b, alpha=alpha, extra=extra, lo=lo, hi=hi))

    for k, (c, m) in enumerate(metrics):
        n, mean, s, b = seen(c, m, RHO[k])
        flag, balance = limits(mean, s, n, n - 1, b, 0.02), limits(mean, s, n, n - 1, b, 0.10)
        out["from_counts"].append(dict(metric=k, n=n, mean=mean, s=s, b=b, flag=flag, balance=balance))

    for k, tolerance in [(0, 0.08), (0, 0.10), (1, 0.10), (2, 0.10)]:
        n, mean, s, b = seen(*metrics[k], RHO[k])
        d = mean - 1 / 3
        drawn = 1 / 3 + d * max(0.0, 1 - (s * s / n) / (d * d))
        lo, hi = 1 / 3 - tolerance, 1 / 3 + tolerance
        out["trees_to"].append(dict(metric=k, tolerance=tolerance, flag=trees_to(mean, s, b, n, lo, hi, 0.02, False),
                                    balance=trees_to(drawn, s, b, n, lo, hi, 0.10, True)))

    rows = [slice(0, 5), slice(5, 11), slice(11, 12)]
    seen_strata = [(AGES[r, 0], pieces[r], pruned) for r, pruned in zip(rows, [120, 80, 40])]
    none = (np.array([]), np.array([]), 60)
    out["block"] = block(seen_strata, 0.02)
    out["block_unsampled"] = block(seen_strata + [none], 0.02)
    out["block_one_counted"] = block([(AGES[:, 0], pieces, 170), (none[0], none[1], 30)], 0.02)
    few = [slice(0, 3), slice(3, 6), slice(6, 8), slice(8, 9)]
    out["block_few"] = block([(AGES[r, 0], pieces[r], 40) for r in few], 0.02)
    # three, four, three and two trees of days with 20, 80 (one without a count before it), 60 and 25 trees
    batch = np.repeat([20 / 3, 80 / 4, 60 / 3, 25 / 2], [3, 4, 3, 2])
    out["days"] = block([(AGES[:, 0], pieces, 185, batch)], 0.02, alpha=0.02)
    two = [(AGES[:5, 1], pieces[:5], 120), (AGES[5:, 1], pieces[5:], 80)]
    mean, error = samplics_mean(two)
    direct = [np.asarray(c) / np.asarray(m) for c, m, _ in two]
    cochran = sum(w * v.mean() for w, v in zip([0.6, 0.4], direct))
    assert abs(mean - cochran) < 1e-12
    assert abs(error - math.sqrt(sum(w * w * v.var(ddof=1) / len(v) for w, v in zip([0.6, 0.4], direct)))) < 1e-9
    out["samplics"] = dict(mean=mean, stderror=error)

    out["distance"] = distance(AGES, TARGET)
    out["distance_even"] = distance(AGES, np.array([0.25, 0.25, 0.25, 0.25]))

    # the score floor is the Wilson interval when A = z^2/n: B = 1, part A of no width
    for count, n, alpha in [(0, 20, 0.05), (3, 20, 0.05), (17, 40, 0.10), (40, 40, 0.02), (120, 400, 0.01)]:
        lo, hi = proportion_confint(count, n, alpha=alpha, method="wilson")
        out["wilson"].append(dict(count=count, n=n, z=float(stats.norm.ppf(1 - alpha / 2)), lo=float(lo), hi=float(hi)))

    out["made_with"] = dict(python=platform.python_version(), numpy=np.__version__, scipy=scipy.__version__,
                            statsmodels=statsmodels.__version__, samplics=metadata.version("samplics"))
    out["trees"] = dict(ages=AGES.tolist(), within=WITHIN.tolist(), units=UNITS.tolist())
    path = pathlib.Path(__file__).with_name("judge.json")
    path.write_text(json.dumps(out, indent=1, default=float) + "\n")


if __name__ == "__main__":
    main()
