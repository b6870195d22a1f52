-- The first schema. Days are local days as YYYY-MM-DD; moments are UTC milliseconds with the local
-- offset in minutes beside them; ids are UUIDv7. CHECKs repeat the limits of the domain types.

CREATE TABLE setting (
    key TEXT PRIMARY KEY,
    value TEXT NOT NULL
) STRICT, WITHOUT ROWID;

CREATE TABLE block (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    name TEXT NOT NULL UNIQUE CHECK (length(name) BETWEEN 1 AND 60),
    variety TEXT NOT NULL CHECK (length(variety) <= 60),
    rootstock TEXT NOT NULL CHECK (length(rootstock) <= 60),
    planted INTEGER CHECK (planted BETWEEN 1850 AND 2199),
    row_spacing_m REAL NOT NULL CHECK (row_spacing_m BETWEEN 0.5 AND 20),
    tree_spacing_m REAL NOT NULL CHECK (tree_spacing_m BETWEEN 0.2 AND 20),
    stems INTEGER NOT NULL CHECK (stems BETWEEN 1 AND 24),
    sides TEXT NOT NULL CHECK (sides IN ('flat', 'two-sided')),
    lean_deg REAL NOT NULL CHECK (lean_deg BETWEEN 0 AND 80)
) STRICT;

CREATE TABLE block_row (
    block BLOB NOT NULL REFERENCES block (id) ON DELETE CASCADE,
    number INTEGER NOT NULL CHECK (number BETWEEN 1 AND 999),
    places INTEGER NOT NULL CHECK (places BETWEEN 1 AND 2000),
    PRIMARY KEY (block, number)
) STRICT, WITHOUT ROWID;

CREATE TABLE missing_tree (
    block BLOB NOT NULL,
    row INTEGER NOT NULL,
    place INTEGER NOT NULL CHECK (place BETWEEN 1 AND 2000),
    PRIMARY KEY (block, row, place),
    FOREIGN KEY (block, row) REFERENCES block_row (block, number) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

CREATE TABLE pruner (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    number INTEGER NOT NULL UNIQUE CHECK (number BETWEEN 1 AND 9999),
    name TEXT NOT NULL CHECK (length(name) <= 60),
    label TEXT NOT NULL CHECK (length(label) <= 4),
    active INTEGER NOT NULL CHECK (active IN (0, 1)),
    number_only INTEGER NOT NULL CHECK (number_only IN (0, 1))
) STRICT;

CREATE TABLE winter (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    label TEXT NOT NULL UNIQUE CHECK (length(label) BETWEEN 1 AND 60),
    start TEXT NOT NULL CHECK (start GLOB '????-??-??'),
    budburst TEXT NOT NULL CHECK (budburst > start)
) STRICT;

CREATE TABLE block_budburst (
    winter BLOB NOT NULL REFERENCES winter (id) ON DELETE CASCADE,
    block BLOB NOT NULL REFERENCES block (id) ON DELETE CASCADE,
    day TEXT NOT NULL CHECK (day GLOB '????-??-??'),
    PRIMARY KEY (winter, block)
) STRICT, WITHOUT ROWID;

-- A rule without a block holds for all blocks of its winter that have none of their own.
CREATE TABLE rule (
    winter BLOB NOT NULL REFERENCES winter (id) ON DELETE CASCADE,
    block BLOB REFERENCES block (id) ON DELETE CASCADE,
    part_one INTEGER NOT NULL CHECK (part_one BETWEEN 0 AND 1000),
    part_two INTEGER NOT NULL CHECK (part_two BETWEEN 0 AND 1000),
    part_three INTEGER NOT NULL CHECK (part_three BETWEEN 0 AND 1000),
    part_four INTEGER NOT NULL CHECK (part_four BETWEEN 0 AND 1000),
    tolerance_one REAL NOT NULL CHECK (tolerance_one BETWEEN 0.01 AND 0.5),
    tolerance_two REAL NOT NULL CHECK (tolerance_two BETWEEN 0.01 AND 0.5),
    tolerance_three REAL NOT NULL CHECK (tolerance_three BETWEEN 0.01 AND 0.5),
    tolerance_four REAL NOT NULL CHECK (tolerance_four BETWEEN 0.01 AND 0.5),
    oldest INTEGER NOT NULL CHECK (oldest BETWEEN 2 AND 4),
    thin_least INTEGER NOT NULL CHECK (thin_least BETWEEN 0 AND 7),
    thin_most INTEGER NOT NULL CHECK (thin_most BETWEEN thin_least AND 7),
    medium_least INTEGER NOT NULL CHECK (medium_least BETWEEN 0 AND 7),
    medium_most INTEGER NOT NULL CHECK (medium_most BETWEEN medium_least AND 7),
    thick_least INTEGER NOT NULL CHECK (thick_least BETWEEN 0 AND 7),
    thick_most INTEGER NOT NULL CHECK (thick_most BETWEEN thick_least AND 7),
    medium_from_mm REAL NOT NULL CHECK (medium_from_mm BETWEEN 2 AND 60),
    thick_from_mm REAL NOT NULL CHECK (thick_from_mm > medium_from_mm AND thick_from_mm <= 60),
    compliance REAL NOT NULL CHECK (compliance BETWEEN 0.1 AND 0.99)
) STRICT;
CREATE UNIQUE INDEX rule_of_block ON rule (winter, block) WHERE block IS NOT NULL;
CREATE UNIQUE INDEX rule_of_winter ON rule (winter) WHERE block IS NULL;

CREATE TABLE work (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    winter BLOB NOT NULL REFERENCES winter (id),
    pruner BLOB NOT NULL REFERENCES pruner (id),
    block BLOB NOT NULL,
    row INTEGER NOT NULL,
    first INTEGER NOT NULL CHECK (first >= 1),
    last INTEGER NOT NULL CHECK (last BETWEEN first AND 2000),
    day TEXT NOT NULL CHECK (day GLOB '????-??-??'),
    minutes INTEGER CHECK (minutes BETWEEN 1 AND 1440),
    removed INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1)),
    FOREIGN KEY (block, row) REFERENCES block_row (block, number)
) STRICT;
CREATE INDEX work_by_day ON work (winter, day);
CREATE INDEX work_by_row ON work (block, row);
CREATE INDEX work_by_pruner ON work (pruner);

-- One counted tree with its running sums. The triggers on tap keep the sums; nothing else writes them.
CREATE TABLE tree_count (
    key INTEGER PRIMARY KEY,
    id BLOB NOT NULL UNIQUE CHECK (length(id) = 16),
    winter BLOB NOT NULL REFERENCES winter (id),
    block BLOB NOT NULL,
    row INTEGER NOT NULL,
    tree INTEGER NOT NULL CHECK (tree BETWEEN 1 AND 2000),
    pruner BLOB REFERENCES pruner (id),
    stage TEXT NOT NULL CHECK (stage IN ('before', 'after')),
    stems INTEGER CHECK (stems BETWEEN 1 AND 23), -- NULL: the whole tree
    chosen TEXT NOT NULL CHECK (chosen IN ('drawn', 'by eye')),
    counter TEXT NOT NULL CHECK (length(counter) <= 60),
    at_ms INTEGER NOT NULL,
    offset_min INTEGER NOT NULL CHECK (offset_min BETWEEN -840 AND 840),
    day TEXT NOT NULL CHECK (day GLOB '????-??-??'),
    note TEXT NOT NULL CHECK (length(note) <= 500),
    closed INTEGER NOT NULL DEFAULT 0 CHECK (closed IN (0, 1)),
    removed INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1)),
    one INTEGER NOT NULL DEFAULT 0 CHECK (one BETWEEN 0 AND 9999),
    two INTEGER NOT NULL DEFAULT 0 CHECK (two BETWEEN 0 AND 9999),
    three INTEGER NOT NULL DEFAULT 0 CHECK (three BETWEEN 0 AND 9999),
    four INTEGER NOT NULL DEFAULT 0 CHECK (four BETWEEN 0 AND 9999),
    upright INTEGER NOT NULL DEFAULT 0 CHECK (upright BETWEEN 0 AND 9999),
    thick_top INTEGER NOT NULL DEFAULT 0 CHECK (thick_top BETWEEN 0 AND 9999),
    -- units by size and buds left; 7 stands for seven or more
    thin0 INTEGER NOT NULL DEFAULT 0 CHECK (thin0 BETWEEN 0 AND 9999),
    thin1 INTEGER NOT NULL DEFAULT 0 CHECK (thin1 BETWEEN 0 AND 9999),
    thin2 INTEGER NOT NULL DEFAULT 0 CHECK (thin2 BETWEEN 0 AND 9999),
    thin3 INTEGER NOT NULL DEFAULT 0 CHECK (thin3 BETWEEN 0 AND 9999),
    thin4 INTEGER NOT NULL DEFAULT 0 CHECK (thin4 BETWEEN 0 AND 9999),
    thin5 INTEGER NOT NULL DEFAULT 0 CHECK (thin5 BETWEEN 0 AND 9999),
    thin6 INTEGER NOT NULL DEFAULT 0 CHECK (thin6 BETWEEN 0 AND 9999),
    thin7 INTEGER NOT NULL DEFAULT 0 CHECK (thin7 BETWEEN 0 AND 9999),
    medium0 INTEGER NOT NULL DEFAULT 0 CHECK (medium0 BETWEEN 0 AND 9999),
    medium1 INTEGER NOT NULL DEFAULT 0 CHECK (medium1 BETWEEN 0 AND 9999),
    medium2 INTEGER NOT NULL DEFAULT 0 CHECK (medium2 BETWEEN 0 AND 9999),
    medium3 INTEGER NOT NULL DEFAULT 0 CHECK (medium3 BETWEEN 0 AND 9999),
    medium4 INTEGER NOT NULL DEFAULT 0 CHECK (medium4 BETWEEN 0 AND 9999),
    medium5 INTEGER NOT NULL DEFAULT 0 CHECK (medium5 BETWEEN 0 AND 9999),
    medium6 INTEGER NOT NULL DEFAULT 0 CHECK (medium6 BETWEEN 0 AND 9999),
    medium7 INTEGER NOT NULL DEFAULT 0 CHECK (medium7 BETWEEN 0 AND 9999),
    thick0 INTEGER NOT NULL DEFAULT 0 CHECK (thick0 BETWEEN 0 AND 9999),
    thick1 INTEGER NOT NULL DEFAULT 0 CHECK (thick1 BETWEEN 0 AND 9999),
    thick2 INTEGER NOT NULL DEFAULT 0 CHECK (thick2 BETWEEN 0 AND 9999),
    thick3 INTEGER NOT NULL DEFAULT 0 CHECK (thick3 BETWEEN 0 AND 9999),
    thick4 INTEGER NOT NULL DEFAULT 0 CHECK (thick4 BETWEEN 0 AND 9999),
    thick5 INTEGER NOT NULL DEFAULT 0 CHECK (thick5 BETWEEN 0 AND 9999),
    thick6 INTEGER NOT NULL DEFAULT 0 CHECK (thick6 BETWEEN 0 AND 9999),
    thick7 INTEGER NOT NULL DEFAULT 0 CHECK (thick7 BETWEEN 0 AND 9999),
    CHECK (stage = 'before' OR pruner IS NOT NULL),
    FOREIGN KEY (block, row) REFERENCES block_row (block, number)
) STRICT;
CREATE INDEX count_by_winter ON tree_count (winter, at_ms);
CREATE INDEX count_by_tree ON tree_count (block, row, tree);
CREATE INDEX count_by_pruner ON tree_count (pruner);

-- Every tap in its order. piece: 1 to 4 wood of that age, 0 a unit with its size (0 thin, 1 medium,
-- 2 thick) and buds, 5 upright one-year wood left, 6 thick wood left in the top.
CREATE TABLE tap (
    count INTEGER NOT NULL REFERENCES tree_count (key) ON DELETE CASCADE,
    seq INTEGER NOT NULL CHECK (seq >= 1),
    piece INTEGER NOT NULL CHECK (piece BETWEEN 0 AND 6),
    size INTEGER CHECK (size BETWEEN 0 AND 2),
    buds INTEGER CHECK (buds BETWEEN 0 AND 7),
    PRIMARY KEY (count, seq),
    CHECK ((piece = 0) = (size IS NOT NULL) AND (piece = 0) = (buds IS NOT NULL))
) STRICT, WITHOUT ROWID;

CREATE TRIGGER tap_added AFTER INSERT ON tap BEGIN
    UPDATE tree_count SET
        one = one + (NEW.piece = 1),
        two = two + (NEW.piece = 2),
        three = three + (NEW.piece = 3),
        four = four + (NEW.piece = 4),
        upright = upright + (NEW.piece = 5),
        thick_top = thick_top + (NEW.piece = 6),
        thin0 = thin0 + (NEW.size IS 0 AND NEW.buds IS 0),
        thin1 = thin1 + (NEW.size IS 0 AND NEW.buds IS 1),
        thin2 = thin2 + (NEW.size IS 0 AND NEW.buds IS 2),
        thin3 = thin3 + (NEW.size IS 0 AND NEW.buds IS 3),
        thin4 = thin4 + (NEW.size IS 0 AND NEW.buds IS 4),
        thin5 = thin5 + (NEW.size IS 0 AND NEW.buds IS 5),
        thin6 = thin6 + (NEW.size IS 0 AND NEW.buds IS 6),
        thin7 = thin7 + (NEW.size IS 0 AND NEW.buds IS 7),
        medium0 = medium0 + (NEW.size IS 1 AND NEW.buds IS 0),
        medium1 = medium1 + (NEW.size IS 1 AND NEW.buds IS 1),
        medium2 = medium2 + (NEW.size IS 1 AND NEW.buds IS 2),
        medium3 = medium3 + (NEW.size IS 1 AND NEW.buds IS 3),
        medium4 = medium4 + (NEW.size IS 1 AND NEW.buds IS 4),
        medium5 = medium5 + (NEW.size IS 1 AND NEW.buds IS 5),
        medium6 = medium6 + (NEW.size IS 1 AND NEW.buds IS 6),
        medium7 = medium7 + (NEW.size IS 1 AND NEW.buds IS 7),
        thick0 = thick0 + (NEW.size IS 2 AND NEW.buds IS 0),
        thick1 = thick1 + (NEW.size IS 2 AND NEW.buds IS 1),
        thick2 = thick2 + (NEW.size IS 2 AND NEW.buds IS 2),
        thick3 = thick3 + (NEW.size IS 2 AND NEW.buds IS 3),
        thick4 = thick4 + (NEW.size IS 2 AND NEW.buds IS 4),
        thick5 = thick5 + (NEW.size IS 2 AND NEW.buds IS 5),
        thick6 = thick6 + (NEW.size IS 2 AND NEW.buds IS 6),
        thick7 = thick7 + (NEW.size IS 2 AND NEW.buds IS 7)
    WHERE key = NEW.count;
END;

CREATE TRIGGER tap_taken_back AFTER DELETE ON tap BEGIN
    UPDATE tree_count SET
        one = one - (OLD.piece = 1),
        two = two - (OLD.piece = 2),
        three = three - (OLD.piece = 3),
        four = four - (OLD.piece = 4),
        upright = upright - (OLD.piece = 5),
        thick_top = thick_top - (OLD.piece = 6),
        thin0 = thin0 - (OLD.size IS 0 AND OLD.buds IS 0),
        thin1 = thin1 - (OLD.size IS 0 AND OLD.buds IS 1),
        thin2 = thin2 - (OLD.size IS 0 AND OLD.buds IS 2),
        thin3 = thin3 - (OLD.size IS 0 AND OLD.buds IS 3),
        thin4 = thin4 - (OLD.size IS 0 AND OLD.buds IS 4),
        thin5 = thin5 - (OLD.size IS 0 AND OLD.buds IS 5),
        thin6 = thin6 - (OLD.size IS 0 AND OLD.buds IS 6),
        thin7 = thin7 - (OLD.size IS 0 AND OLD.buds IS 7),
        medium0 = medium0 - (OLD.size IS 1 AND OLD.buds IS 0),
        medium1 = medium1 - (OLD.size IS 1 AND OLD.buds IS 1),
        medium2 = medium2 - (OLD.size IS 1 AND OLD.buds IS 2),
        medium3 = medium3 - (OLD.size IS 1 AND OLD.buds IS 3),
        medium4 = medium4 - (OLD.size IS 1 AND OLD.buds IS 4),
        medium5 = medium5 - (OLD.size IS 1 AND OLD.buds IS 5),
        medium6 = medium6 - (OLD.size IS 1 AND OLD.buds IS 6),
        medium7 = medium7 - (OLD.size IS 1 AND OLD.buds IS 7),
        thick0 = thick0 - (OLD.size IS 2 AND OLD.buds IS 0),
        thick1 = thick1 - (OLD.size IS 2 AND OLD.buds IS 1),
        thick2 = thick2 - (OLD.size IS 2 AND OLD.buds IS 2),
        thick3 = thick3 - (OLD.size IS 2 AND OLD.buds IS 3),
        thick4 = thick4 - (OLD.size IS 2 AND OLD.buds IS 4),
        thick5 = thick5 - (OLD.size IS 2 AND OLD.buds IS 5),
        thick6 = thick6 - (OLD.size IS 2 AND OLD.buds IS 6),
        thick7 = thick7 - (OLD.size IS 2 AND OLD.buds IS 7)
    WHERE key = OLD.count;
END;

CREATE TABLE draw (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    winter BLOB NOT NULL REFERENCES winter (id),
    day TEXT NOT NULL CHECK (day GLOB '????-??-??'),
    since TEXT NOT NULL CHECK (since GLOB '????-??-??'),
    until TEXT NOT NULL CHECK (until >= since),
    seed INTEGER NOT NULL -- 64 bits, read as unsigned
) STRICT;
CREATE INDEX draw_by_day ON draw (winter, day);

-- Whether a drawn tree was counted follows from tree_count; only a reason to skip it is kept here.
CREATE TABLE drawn_tree (
    draw BLOB NOT NULL REFERENCES draw (id) ON DELETE CASCADE,
    place INTEGER NOT NULL CHECK (place >= 0), -- in walking order
    block BLOB NOT NULL,
    row INTEGER NOT NULL,
    tree INTEGER NOT NULL CHECK (tree BETWEEN 1 AND 2000),
    pruner BLOB NOT NULL REFERENCES pruner (id),
    skipped TEXT CHECK (length(skipped) BETWEEN 1 AND 500),
    PRIMARY KEY (draw, place),
    FOREIGN KEY (block, row) REFERENCES block_row (block, number)
) STRICT, WITHOUT ROWID;

CREATE TABLE go_back (
    id BLOB PRIMARY KEY CHECK (length(id) = 16),
    winter BLOB NOT NULL REFERENCES winter (id),
    block BLOB NOT NULL,
    row INTEGER NOT NULL,
    pruner BLOB NOT NULL REFERENCES pruner (id),
    day TEXT NOT NULL CHECK (day GLOB '????-??-??'),
    reason TEXT NOT NULL CHECK (length(reason) <= 500),
    outcome TEXT CHECK (outcome IN ('mended', 'still wrong', 'left as is')),
    settled_day TEXT CHECK (settled_day >= day),
    removed INTEGER NOT NULL DEFAULT 0 CHECK (removed IN (0, 1)),
    CHECK ((outcome IS NULL) = (settled_day IS NULL)),
    FOREIGN KEY (block, row) REFERENCES block_row (block, number)
) STRICT;
CREATE INDEX go_back_by_day ON go_back (winter, day);
