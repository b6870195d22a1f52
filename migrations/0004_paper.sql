-- Language of a pruner's sheets as a tag (BCP 47); empty: that of the orchard's sheets.
ALTER TABLE pruner ADD COLUMN language TEXT NOT NULL DEFAULT '' CHECK (length(language) <= 35);

-- 1: counted once more, without sight of the first count, to learn how sure the counting is. Such a
-- count is part of no verdict.
ALTER TABLE tree_count ADD COLUMN again INTEGER NOT NULL DEFAULT 0 CHECK (again IN (0, 1));
