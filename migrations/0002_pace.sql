-- Pace and finish: which days are worked, who is there when, what is paid.

CREATE TABLE lost_days (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    winter BLOB NOT NULL REFERENCES winter (id) ON DELETE CASCADE,
    first TEXT NOT NULL CHECK (first GLOB '????-??-??'),
    last TEXT NOT NULL CHECK (last >= first),
    kind TEXT NOT NULL CHECK (kind IN ('off', 'rain'))
) STRICT;
CREATE INDEX lost_days_of_winter ON lost_days (winter, first);

-- the week of a winter; without a line Monday to Saturday is worked
CREATE TABLE worked_week (
    winter BLOB PRIMARY KEY REFERENCES winter (id) ON DELETE CASCADE,
    weekdays TEXT NOT NULL CHECK (length(weekdays) = 7 AND weekdays NOT GLOB '*[^01]*') -- Monday first
) STRICT;

-- when a pruner comes and goes; without a line, there all winter
CREATE TABLE stint (
    winter BLOB NOT NULL REFERENCES winter (id) ON DELETE CASCADE,
    pruner BLOB NOT NULL REFERENCES pruner (id) ON DELETE CASCADE,
    joins TEXT CHECK (joins GLOB '????-??-??'),
    leaves TEXT CHECK (leaves GLOB '????-??-??' AND (joins IS NULL OR leaves >= joins)),
    PRIMARY KEY (winter, pruner),
    CHECK (joins IS NOT NULL OR leaves IS NOT NULL)
) STRICT, WITHOUT ROWID;

CREATE TABLE pay (
    winter BLOB NOT NULL REFERENCES winter (id) ON DELETE CASCADE,
    pruner BLOB REFERENCES pruner (id) ON DELETE CASCADE, -- NULL: everybody without one of their own
    basis TEXT NOT NULL CHECK (basis IN ('hour', 'tree')),
    -- ten-millionths of the currency's main unit, so that a change of its decimals changes no pay
    amount INTEGER NOT NULL CHECK (amount BETWEEN 0 AND 10000000000000)
) STRICT;
CREATE UNIQUE INDEX pay_of_pruner ON pay (winter, pruner) WHERE pruner IS NOT NULL;
CREATE UNIQUE INDEX pay_of_winter ON pay (winter) WHERE pruner IS NULL;
