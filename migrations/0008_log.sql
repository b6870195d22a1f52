-- Several people on one tree, kinds of work, and counts of one side or zone.

ALTER TABLE work ADD COLUMN kind TEXT NOT NULL DEFAULT 'pruning'
    CHECK (kind IN ('pruning', 'first pass', 'second pass', 'hedging', 'saw work', 'rework'));
ALTER TABLE work ADD COLUMN zone TEXT NOT NULL DEFAULT 'whole'
    CHECK (zone IN ('whole', 'side A', 'side B', 'base', 'top'));
-- per cent of each tree for pay; NULL: an equal share
ALTER TABLE work ADD COLUMN share INTEGER CHECK (share BETWEEN 1 AND 99);
-- the same for entries of people who did the same trees together
ALTER TABLE work ADD COLUMN team BLOB CHECK (length(team) = 16);

-- the side or zone that was counted; NULL: the whole tree, or some stems
ALTER TABLE tree_count ADD COLUMN zone TEXT CHECK (zone IN ('side A', 'side B', 'base', 'top'));

-- Until now an entry took the trees of an earlier one of the same day, and its hours where it took them all: people were
-- told so when they saved it. From here on entries of one day stand beside each other. What was replaced so is taken out
-- once, as it was told; an entry that lost an end of its trees is cut to the others.
UPDATE work SET removed = 1 WHERE removed = 0 AND EXISTS (
    SELECT 1 FROM work AS later
    WHERE later.removed = 0 AND later.winter = work.winter AND later.block = work.block AND later.row = work.row
        AND later.day = work.day AND later.id > work.id AND later.first <= work.first AND later.last >= work.last
);
UPDATE work SET first = (
    SELECT max(later.last) + 1 FROM work AS later
    WHERE later.removed = 0 AND later.winter = work.winter AND later.block = work.block AND later.row = work.row
        AND later.day = work.day AND later.id > work.id AND later.first <= work.first AND later.last BETWEEN work.first AND work.last - 1
) WHERE removed = 0 AND EXISTS (
    SELECT 1 FROM work AS later
    WHERE later.removed = 0 AND later.winter = work.winter AND later.block = work.block AND later.row = work.row
        AND later.day = work.day AND later.id > work.id AND later.first <= work.first AND later.last BETWEEN work.first AND work.last - 1
);
UPDATE work SET last = (
    SELECT min(later.first) - 1 FROM work AS later
    WHERE later.removed = 0 AND later.winter = work.winter AND later.block = work.block AND later.row = work.row
        AND later.day = work.day AND later.id > work.id AND later.last >= work.last AND later.first BETWEEN work.first + 1 AND work.last
) WHERE removed = 0 AND EXISTS (
    SELECT 1 FROM work AS later
    WHERE later.removed = 0 AND later.winter = work.winter AND later.block = work.block AND later.row = work.row
        AND later.day = work.day AND later.id > work.id AND later.last >= work.last AND later.first BETWEEN work.first + 1 AND work.last
);

-- Pay by the tree may have a least pay for the hours, in the same parts as the amount.
ALTER TABLE pay ADD COLUMN floor INTEGER CHECK (floor BETWEEN 0 AND 10000000000000);

-- Pay of a block, of a kind of work, or of a kind of work in a block, where it is not the general one.
CREATE TABLE pay_special (
    winter BLOB NOT NULL REFERENCES winter (id) ON DELETE CASCADE,
    block BLOB REFERENCES block (id) ON DELETE CASCADE, -- NULL: all blocks
    kind TEXT NOT NULL CHECK (kind IN ('any', 'pruning', 'first pass', 'second pass', 'hedging', 'saw work', 'rework')),
    basis TEXT NOT NULL CHECK (basis IN ('hour', 'tree')),
    amount INTEGER NOT NULL CHECK (amount BETWEEN 0 AND 10000000000000),
    floor INTEGER CHECK (floor BETWEEN 0 AND 10000000000000),
    CHECK (block IS NOT NULL OR kind <> 'any')
) STRICT;
CREATE UNIQUE INDEX pay_special_once ON pay_special (winter, ifnull(block, x''), kind);
CREATE TRIGGER pay_special_added_noted AFTER INSERT ON pay_special BEGIN
    INSERT INTO changed VALUES ('pay_special', lower(hex(NEW.winter)) || '/' || iif(NEW.block IS NULL, '-', lower(hex(NEW.block))) || '/' || NEW.kind) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER pay_special_changed_noted AFTER UPDATE ON pay_special BEGIN
    INSERT INTO changed VALUES ('pay_special', lower(hex(NEW.winter)) || '/' || iif(NEW.block IS NULL, '-', lower(hex(NEW.block))) || '/' || NEW.kind) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER pay_special_removed_noted AFTER DELETE ON pay_special BEGIN
    INSERT INTO changed VALUES ('pay_special', lower(hex(OLD.winter)) || '/' || iif(OLD.block IS NULL, '-', lower(hex(OLD.block))) || '/' || OLD.kind) ON CONFLICT DO NOTHING;
END;

-- A tree outside the rule, and why.
CREATE TABLE tree_mark (
    block BLOB NOT NULL,
    row INTEGER NOT NULL,
    tree INTEGER NOT NULL CHECK (tree BETWEEN 1 AND 2000),
    mark TEXT NOT NULL CHECK (mark IN ('in formation', 'replant', 'pollinizer', 'canker', 'other')),
    note TEXT NOT NULL DEFAULT '' CHECK (length(note) <= 500),
    day TEXT NOT NULL CHECK (day GLOB '????-??-??'),
    PRIMARY KEY (block, row, tree),
    FOREIGN KEY (block, row) REFERENCES block_row (block, number) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
CREATE TRIGGER tree_mark_added_noted AFTER INSERT ON tree_mark BEGIN
    INSERT INTO changed VALUES ('mark', lower(hex(NEW.block)) || '/' || NEW.row || '/' || NEW.tree) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER tree_mark_changed_noted AFTER UPDATE ON tree_mark BEGIN
    INSERT INTO changed VALUES ('mark', lower(hex(NEW.block)) || '/' || NEW.row || '/' || NEW.tree) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER tree_mark_removed_noted AFTER DELETE ON tree_mark BEGIN
    INSERT INTO changed VALUES ('mark', lower(hex(OLD.block)) || '/' || OLD.row || '/' || OLD.tree) ON CONFLICT DO NOTHING;
END;
