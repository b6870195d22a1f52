"""The same by DuckDB, in one query on the same file. Question and answer as in with_pandas.py.

Each run opens the file anew, as a person who wants today's figures does.
"""

import json
import os
import sys
import time

import duckdb
import duckdb_extension_sqlite_scanner as scanner

QUERY = """
WITH counted AS (
    SELECT pruner, block, one, two, three, four, {within} AS within, {units} AS units
    FROM of.tree_count
    WHERE winter = $winter AND removed = 0 AND closed = 1 AND again = 0 AND stage = 'after'
    QUALIFY row_number() OVER (PARTITION BY block, row, tree ORDER BY at_ms DESC, id DESC) = 1
), pieces AS (
    SELECT *, one + two + three + four AS m FROM counted
), long AS (
    SELECT pruner, block, 'one' AS metric, one AS c, m FROM pieces
    UNION ALL SELECT pruner, block, 'two', two, m FROM pieces
    UNION ALL SELECT pruner, block, 'three', three, m FROM pieces
    UNION ALL SELECT pruner, block, 'four', four, m FROM pieces
    UNION ALL SELECT pruner, block, 'buds', within, units FROM pieces
), strata AS (
    SELECT pruner, block, metric, count(*) AS n, avg(c / m) AS mean,
        coalesce(var_samp(c / m) * (count(*) - 1), 0) AS squares, sum(c) AS c, sum(m) AS m, sum(1 / m) AS inv_m
    FROM long WHERE m > 0 GROUP BY ALL
), pruned AS (
    SELECT pruner, block, sum(last - first + 1) AS trees FROM of.work
    WHERE winter = $winter AND removed = 0 GROUP BY ALL
), weighed AS (
    SELECT strata.*, greatest(coalesce(trees, 0), n) / sum(greatest(coalesce(trees, 0), n)) OVER (PARTITION BY pruner, metric) AS weight
    FROM strata LEFT JOIN pruned USING (pruner, block)
), pooled AS (
    SELECT pruner, metric, sum(n) AS n, count(*) AS strata, sum(weight * mean) AS mean, 1 / sum(weight * weight / n) AS n_eff,
        sum(n) - count(*) AS nu, sum(squares) AS squares, sum(inv_m) / sum(n) AS inv_m, (sum(c) + 0.5) / (sum(m) + 1) AS share,
        if(metric IN ('four', 'buds'), 0.05, 0.02) AS rho
    FROM weighed GROUP BY ALL
), spread AS (
    SELECT *, rho + (1 - rho) * inv_m AS b, if(nu > 0, squares / nu, 0) AS variance, share * (1 - share) * inv_m AS floor FROM pooled
), floored AS (
    SELECT * REPLACE (if(strata = 1, greatest(variance, floor), variance) AS variance) FROM spread
), common AS (
    SELECT * REPLACE (if(metric = 'buds', b, greatest(b, 0.7 * least(1,
        sum(if(metric = 'buds', 0, variance)) OVER crew / sum(if(metric = 'buds', 0, mean * (1 - mean))) OVER crew))) AS b)
    FROM floored WINDOW crew AS (PARTITION BY pruner)
), tested AS (
    SELECT common.*, variance AS ss, look, ln(1 + n_eff) AS lr, (-2 * ln(alpha) + ln(1 + n_eff)) / (nu + 1) AS lq
    FROM common, (VALUES ('flag', 0.02::DOUBLE), ('balance', 0.10::DOUBLE)) AS looks(look, alpha)
), wide AS (
    SELECT *, nu >= 1 AND lq < lr AS bounded, if(bounded, nu * (exp(lq) - 1) / (1 - exp(lq - lr)) / n_eff, 0) AS ww FROM tested
), rooted AS (
    SELECT *, sqrt(ww * ss) AS half, ww * b AS a, sqrt(ww * b * mean * (1 - mean) + (ww * b) * (ww * b) / 4) AS root FROM wide
)
SELECT lower(hex(pruner)), metric, look, n::DOUBLE, mean,
    if(bounded, greatest(0, least(mean - half, (mean + a / 2 - root) / (1 + a))), 0),
    if(bounded, least(1, greatest(mean + half, (mean + a / 2 + root) / (1 + a))), 1)
FROM rooted
"""


def query(limits):
    sizes = ["thin", "medium", "thick"]
    units = " + ".join(f"{size}{buds}" for size in sizes for buds in range(8))
    within = " + ".join(f"{size}{buds}" for size, (lo, hi) in zip(sizes, limits) for buds in range(lo, hi + 1))
    return QUERY.format(within=within, units=units)


def figures(ask, extension):
    with duckdb.connect(config={"allow_unsigned_extensions": "true", "threads": os.cpu_count()}) as base:
        base.load_extension(extension)
        base.execute(f"ATTACH '{ask['file']}' AS of (TYPE sqlite, READ_ONLY)")
        return base.execute(query(ask["limits"]), {"winter": bytes.fromhex(ask["winter"])}).fetchall()


def extension_file():
    """The extension comes with its wheel: nothing is fetched while this runs."""
    folder = os.path.dirname(scanner.__file__)
    for where, _, names in os.walk(folder):
        for name in names:
            if name.endswith(".duckdb_extension"):
                return os.path.join(where, name)
    raise SystemExit(f"no DuckDB extension in {folder}")


def main():
    ask = json.load(sys.stdin)
    extension = extension_file()
    seconds = []
    for _ in range(ask["runs"]):
        began = time.perf_counter()
        rows = figures(ask, extension)
        seconds.append(time.perf_counter() - began)
    found = {}
    for pruner, metric, look, n, mean, lo, hi in rows:
        line = found.setdefault(f"{pruner} {metric}", [n, mean, 0, 0, 0, 0])
        at = 2 if look == "flag" else 4
        line[at : at + 2] = [lo, hi]
    json.dump({"seconds": seconds, "figures": found}, sys.stdout)


if __name__ == "__main__":
    main()
