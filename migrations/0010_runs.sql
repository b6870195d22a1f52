-- The part of a tree that is drawn to be counted: runs of pieces on some of its leaders, as `orchard::PieceRuns` writes
-- them. NULL: the whole tree, or another part of it.
ALTER TABLE tree_count ADD COLUMN runs TEXT CHECK (length(runs) <= 400);
ALTER TABLE drawn_tree ADD COLUMN runs TEXT CHECK (length(runs) <= 400);

-- when it was tapped, in milliseconds since 1970, to learn how long a piece takes; NULL where that is not known
ALTER TABLE tap ADD COLUMN at_ms INTEGER;
