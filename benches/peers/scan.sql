-- The least that the figures of a winter need: one pass over its counts, one GROUP BY. By the sqlite3 shell; `:winter`
-- is set by the benchmark.
SELECT hex(pruner), hex(block), count(*),
    sum(one * 1.0 / m), sum(one * one * 1.0 / m / m), sum(two * 1.0 / m), sum(two * two * 1.0 / m / m),
    sum(three * 1.0 / m), sum(three * three * 1.0 / m / m), sum(four * 1.0 / m), sum(four * four * 1.0 / m / m),
    sum(within * 1.0 / u), sum(within * within * 1.0 / u / u), sum(1.0 / m), sum(1.0 / u)
FROM (
    SELECT pruner, block, one, two, three, four, nullif(one + two + three + four, 0) AS m, thin2 + medium3 + thick4 AS within,
        nullif(thin0 + thin1 + thin2 + thin3 + thin4 + thin5 + thin6 + thin7 + medium0 + medium1 + medium2 + medium3 + medium4
            + medium5 + medium6 + medium7 + thick0 + thick1 + thick2 + thick3 + thick4 + thick5 + thick6 + thick7, 0) AS u
    FROM tree_count
    WHERE winter = :winter AND removed = 0 AND closed = 1 AND again = 0 AND stage = 'after'
)
GROUP BY pruner, block;
