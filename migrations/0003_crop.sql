-- What the outlook rests on: aims by winter, factors and growth by block, set counts and harvests by season.

CREATE TABLE aim (
    winter BLOB NOT NULL REFERENCES winter (id) ON DELETE CASCADE,
    block BLOB NOT NULL REFERENCES block (id) ON DELETE CASCADE,
    kind TEXT NOT NULL CHECK (kind IN ('t_per_ha', 'fruit_per_tree', 'fruit_per_cm2')),
    amount REAL NOT NULL CHECK (amount > 0),
    girth_cm REAL CHECK (girth_cm BETWEEN 1 AND 300),
    PRIMARY KEY (winter, block),
    CHECK ((kind = 'fruit_per_cm2') = (girth_cm IS NOT NULL))
) STRICT, WITHOUT ROWID;

CREATE TABLE factor (
    block BLOB NOT NULL REFERENCES block (id) ON DELETE CASCADE,
    kind TEXT NOT NULL,
    value REAL NOT NULL CHECK (value >= 0),
    sd REAL NOT NULL CHECK (sd >= 0),
    PRIMARY KEY (block, kind)
) STRICT, WITHOUT ROWID;

CREATE TABLE growth (
    block BLOB PRIMARY KEY REFERENCES block (id) ON DELETE CASCADE,
    grown REAL NOT NULL CHECK (grown BETWEEN 0 AND 10000),
    survival_one REAL NOT NULL CHECK (survival_one BETWEEN 0.05 AND 1),
    survival_two REAL NOT NULL CHECK (survival_two BETWEEN 0.05 AND 1),
    survival_three REAL NOT NULL CHECK (survival_three BETWEEN 0.05 AND 1),
    survival_four REAL NOT NULL CHECK (survival_four BETWEEN 0.05 AND 1)
) STRICT, WITHOUT ROWID;

-- One tagged unit of a season's set count. fruit_buds NULL: not told apart.
CREATE TABLE tagged_unit (
    block BLOB NOT NULL REFERENCES block (id) ON DELETE CASCADE,
    season INTEGER NOT NULL CHECK (season BETWEEN 1850 AND 2199),
    number INTEGER NOT NULL CHECK (number >= 1),
    buds INTEGER NOT NULL CHECK (buds BETWEEN 0 AND 99),
    fruit_buds INTEGER CHECK (fruit_buds BETWEEN 0 AND buds),
    clusters INTEGER NOT NULL CHECK (clusters BETWEEN 0 AND buds),
    fruit INTEGER NOT NULL CHECK (fruit BETWEEN 0 AND 999),
    PRIMARY KEY (block, season, number)
) STRICT, WITHOUT ROWID;

CREATE TABLE harvest (
    block BLOB NOT NULL REFERENCES block (id) ON DELETE CASCADE,
    season INTEGER NOT NULL CHECK (season BETWEEN 1850 AND 2199),
    unit TEXT NOT NULL CHECK (unit IN ('t_per_ha', 'kg_per_tree')),
    amount REAL NOT NULL CHECK (amount >= 0),
    mean_g REAL CHECK (mean_g BETWEEN 20 AND 1000),
    weighed INTEGER CHECK (weighed BETWEEN 1 AND 1000000),
    PRIMARY KEY (block, season),
    CHECK ((mean_g IS NULL) = (weighed IS NULL))
) STRICT, WITHOUT ROWID;
