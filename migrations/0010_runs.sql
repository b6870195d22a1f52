-- The part of a tree that is drawn to be counted: runs of pieces on some of its leaders, as `orchard::PieceRuns` writes
-- them. NULL: the whole tree, or another part of it.
ALTER TABLE tree_count ADD COLUMN runs TEXT CHECK (length(runs) <= 400);
ALTER TABLE drawn_tree ADD COLUMN runs TEXT CHECK (length(runs) <= 400);

-- when it was tapped, in milliseconds since 1970, to learn how long a piece takes; NULL where that is not known
ALTER TABLE tap ADD COLUMN at_ms INTEGER;

-- One more mark: the tree that counters are held against. A list in a CHECK is changed by making the table anew.
CREATE TABLE marked_trees AS SELECT * FROM tree_mark;
DROP TABLE tree_mark;
CREATE TABLE tree_mark (
    block BLOB NOT NULL,
    row INTEGER NOT NULL,
    tree INTEGER NOT NULL CHECK (tree BETWEEN 1 AND 2000),
    mark TEXT NOT NULL CHECK (mark IN ('in formation', 'replant', 'pollinizer', 'canker', 'reference', 'other')),
    note TEXT NOT NULL DEFAULT '' CHECK (length(note) <= 500),
    day TEXT NOT NULL CHECK (day GLOB '????-??-??'),
    PRIMARY KEY (block, row, tree),
    FOREIGN KEY (block, row) REFERENCES block_row (block, number) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;
INSERT INTO tree_mark SELECT block, row, tree, mark, note, day FROM marked_trees;
DROP TABLE marked_trees;
CREATE TRIGGER tree_mark_added_noted AFTER INSERT ON tree_mark BEGIN
    INSERT INTO changed VALUES ('mark', lower(hex(NEW.block)) || '/' || NEW.row || '/' || NEW.tree) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER tree_mark_changed_noted AFTER UPDATE ON tree_mark BEGIN
    INSERT INTO changed VALUES ('mark', lower(hex(NEW.block)) || '/' || NEW.row || '/' || NEW.tree) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER tree_mark_removed_noted AFTER DELETE ON tree_mark BEGIN
    INSERT INTO changed VALUES ('mark', lower(hex(OLD.block)) || '/' || OLD.row || '/' || OLD.tree) ON CONFLICT DO NOTHING;
END;
