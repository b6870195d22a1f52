-- Several tablets, one orchard: what was changed here, and what came from elsewhere.
--
-- A record is one thing that is carried: a block, a row of it, a pruner, a count with its taps. `changed` names the
-- records that were touched in the tables since they were last gathered. Gathering makes one change set of them;
-- its identity follows from its content. A version is a record as one change set left it; those that a later version
-- replaced are deleted, so that more than one version means that two tablets changed it without knowing of each other.

CREATE TABLE changed (
    kind TEXT NOT NULL,
    key TEXT NOT NULL,
    PRIMARY KEY (kind, key)
) STRICT, WITHOUT ROWID;

CREATE TABLE change_set (
    nr INTEGER PRIMARY KEY, -- parents have lower numbers
    id BLOB NOT NULL UNIQUE CHECK (length(id) = 16),
    height INTEGER NOT NULL CHECK (height >= 1), -- one above the highest parent
    tablet TEXT NOT NULL CHECK (length(tablet) <= 8) -- a label to tell tablets apart by, nothing rests on it
) STRICT;

-- What was known when a change set was made.
CREATE TABLE change_parent (
    child INTEGER NOT NULL REFERENCES change_set (nr),
    parent INTEGER NOT NULL REFERENCES change_set (nr) CHECK (parent < child),
    PRIMARY KEY (child, parent)
) STRICT, WITHOUT ROWID;

CREATE TABLE version (
    kind TEXT NOT NULL,
    key TEXT NOT NULL,
    change_set INTEGER NOT NULL REFERENCES change_set (nr),
    removed INTEGER NOT NULL CHECK (removed IN (0, 1)),
    beside TEXT NOT NULL, -- change sets whose versions of this record were known and not replaced
    body TEXT NOT NULL, -- of a removed record the last one
    PRIMARY KEY (kind, key, change_set)
) STRICT, WITHOUT ROWID;
CREATE INDEX version_by_set ON version (change_set);

-- What stands in the tables where it is not what the record says: a twin's number, a row that counts still need.
CREATE TABLE shown (
    kind TEXT NOT NULL,
    key TEXT NOT NULL,
    body TEXT, -- NULL: not in the tables
    PRIMARY KEY (kind, key)
) STRICT, WITHOUT ROWID;

-- The orchard's identities: one, or several where files that began apart were joined.
CREATE TABLE orchard_id (
    id BLOB PRIMARY KEY CHECK (length(id) = 16)
) STRICT, WITHOUT ROWID;

-- Two entries of one pruner, block or winter: `gone` is shown as `kept`.
CREATE TABLE joined (
    kind TEXT NOT NULL CHECK (kind IN ('block', 'pruner', 'winter')),
    gone BLOB NOT NULL CHECK (length(gone) = 16),
    kept BLOB NOT NULL CHECK (length(kept) = 16 AND kept <> gone),
    PRIMARY KEY (kind, gone)
) STRICT, WITHOUT ROWID;

-- All that is there already counts as changed.
INSERT INTO changed SELECT 'setting', key FROM setting;
INSERT INTO changed SELECT 'block', lower(hex(id)) FROM block;
INSERT INTO changed SELECT 'row', lower(hex(block)) || '/' || number FROM block_row;
INSERT INTO changed SELECT 'missing', lower(hex(block)) || '/' || row || '/' || place FROM missing_tree;
INSERT INTO changed SELECT 'pruner', lower(hex(id)) FROM pruner;
INSERT INTO changed SELECT 'winter', lower(hex(id)) FROM winter;
INSERT INTO changed SELECT 'budburst', lower(hex(winter)) || '/' || lower(hex(block)) FROM block_budburst;
INSERT INTO changed SELECT 'rule', lower(hex(winter)) || '/' || iif(block IS NULL, '-', lower(hex(block))) FROM rule;
INSERT INTO changed SELECT 'work', lower(hex(id)) FROM work;
INSERT INTO changed SELECT 'count', lower(hex(id)) FROM tree_count;
INSERT INTO changed SELECT 'draw', lower(hex(id)) FROM draw;
INSERT INTO changed SELECT 'drawn', lower(hex(draw)) || '/' || place FROM drawn_tree;
INSERT INTO changed SELECT 'go_back', lower(hex(id)) FROM go_back;
INSERT INTO changed SELECT 'lost_days', lower(hex(id)) FROM lost_days;
INSERT INTO changed SELECT 'week', lower(hex(winter)) FROM worked_week;
INSERT INTO changed SELECT 'stint', lower(hex(winter)) || '/' || lower(hex(pruner)) FROM stint;
INSERT INTO changed SELECT 'pay', lower(hex(winter)) || '/' || iif(pruner IS NULL, '-', lower(hex(pruner))) FROM pay;
INSERT INTO changed SELECT 'aim', lower(hex(winter)) || '/' || lower(hex(block)) FROM aim;
INSERT INTO changed SELECT 'factor', lower(hex(block)) || '/' || kind FROM factor;
INSERT INTO changed SELECT 'growth', lower(hex(block)) FROM growth;
INSERT INTO changed SELECT DISTINCT 'units', lower(hex(block)) || '/' || season FROM tagged_unit;
INSERT INTO changed SELECT 'harvest', lower(hex(block)) || '/' || season FROM harvest;

-- From here on each change is noted. Taps are noted by the sums that they change in their count.
CREATE TRIGGER setting_added_noted AFTER INSERT ON setting BEGIN
    INSERT INTO changed VALUES ('setting', NEW.key) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER setting_changed_noted AFTER UPDATE ON setting BEGIN
    INSERT INTO changed VALUES ('setting', NEW.key) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER setting_removed_noted AFTER DELETE ON setting BEGIN
    INSERT INTO changed VALUES ('setting', OLD.key) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER block_added_noted AFTER INSERT ON block BEGIN
    INSERT INTO changed VALUES ('block', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER block_changed_noted AFTER UPDATE ON block BEGIN
    INSERT INTO changed VALUES ('block', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER block_removed_noted AFTER DELETE ON block BEGIN
    INSERT INTO changed VALUES ('block', lower(hex(OLD.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER block_row_added_noted AFTER INSERT ON block_row BEGIN
    INSERT INTO changed VALUES ('row', lower(hex(NEW.block)) || '/' || NEW.number) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER block_row_changed_noted AFTER UPDATE ON block_row BEGIN
    INSERT INTO changed VALUES ('row', lower(hex(NEW.block)) || '/' || NEW.number) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER block_row_removed_noted AFTER DELETE ON block_row BEGIN
    INSERT INTO changed VALUES ('row', lower(hex(OLD.block)) || '/' || OLD.number) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER missing_tree_added_noted AFTER INSERT ON missing_tree BEGIN
    INSERT INTO changed VALUES ('missing', lower(hex(NEW.block)) || '/' || NEW.row || '/' || NEW.place) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER missing_tree_changed_noted AFTER UPDATE ON missing_tree BEGIN
    INSERT INTO changed VALUES ('missing', lower(hex(NEW.block)) || '/' || NEW.row || '/' || NEW.place) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER missing_tree_removed_noted AFTER DELETE ON missing_tree BEGIN
    INSERT INTO changed VALUES ('missing', lower(hex(OLD.block)) || '/' || OLD.row || '/' || OLD.place) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER pruner_added_noted AFTER INSERT ON pruner BEGIN
    INSERT INTO changed VALUES ('pruner', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER pruner_changed_noted AFTER UPDATE ON pruner BEGIN
    INSERT INTO changed VALUES ('pruner', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER pruner_removed_noted AFTER DELETE ON pruner BEGIN
    INSERT INTO changed VALUES ('pruner', lower(hex(OLD.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER winter_added_noted AFTER INSERT ON winter BEGIN
    INSERT INTO changed VALUES ('winter', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER winter_changed_noted AFTER UPDATE ON winter BEGIN
    INSERT INTO changed VALUES ('winter', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER winter_removed_noted AFTER DELETE ON winter BEGIN
    INSERT INTO changed VALUES ('winter', lower(hex(OLD.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER block_budburst_added_noted AFTER INSERT ON block_budburst BEGIN
    INSERT INTO changed VALUES ('budburst', lower(hex(NEW.winter)) || '/' || lower(hex(NEW.block))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER block_budburst_changed_noted AFTER UPDATE ON block_budburst BEGIN
    INSERT INTO changed VALUES ('budburst', lower(hex(NEW.winter)) || '/' || lower(hex(NEW.block))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER block_budburst_removed_noted AFTER DELETE ON block_budburst BEGIN
    INSERT INTO changed VALUES ('budburst', lower(hex(OLD.winter)) || '/' || lower(hex(OLD.block))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER rule_added_noted AFTER INSERT ON rule BEGIN
    INSERT INTO changed VALUES ('rule', lower(hex(NEW.winter)) || '/' || iif(NEW.block IS NULL, '-', lower(hex(NEW.block)))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER rule_changed_noted AFTER UPDATE ON rule BEGIN
    INSERT INTO changed VALUES ('rule', lower(hex(NEW.winter)) || '/' || iif(NEW.block IS NULL, '-', lower(hex(NEW.block)))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER rule_removed_noted AFTER DELETE ON rule BEGIN
    INSERT INTO changed VALUES ('rule', lower(hex(OLD.winter)) || '/' || iif(OLD.block IS NULL, '-', lower(hex(OLD.block)))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER work_added_noted AFTER INSERT ON work BEGIN
    INSERT INTO changed VALUES ('work', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER work_changed_noted AFTER UPDATE ON work BEGIN
    INSERT INTO changed VALUES ('work', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER work_removed_noted AFTER DELETE ON work BEGIN
    INSERT INTO changed VALUES ('work', lower(hex(OLD.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER tree_count_added_noted AFTER INSERT ON tree_count BEGIN
    INSERT INTO changed VALUES ('count', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER tree_count_changed_noted AFTER UPDATE ON tree_count BEGIN
    INSERT INTO changed VALUES ('count', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER tree_count_removed_noted AFTER DELETE ON tree_count BEGIN
    INSERT INTO changed VALUES ('count', lower(hex(OLD.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER draw_added_noted AFTER INSERT ON draw BEGIN
    INSERT INTO changed VALUES ('draw', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER draw_changed_noted AFTER UPDATE ON draw BEGIN
    INSERT INTO changed VALUES ('draw', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER draw_removed_noted AFTER DELETE ON draw BEGIN
    INSERT INTO changed VALUES ('draw', lower(hex(OLD.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER drawn_tree_added_noted AFTER INSERT ON drawn_tree BEGIN
    INSERT INTO changed VALUES ('drawn', lower(hex(NEW.draw)) || '/' || NEW.place) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER drawn_tree_changed_noted AFTER UPDATE ON drawn_tree BEGIN
    INSERT INTO changed VALUES ('drawn', lower(hex(NEW.draw)) || '/' || NEW.place) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER drawn_tree_removed_noted AFTER DELETE ON drawn_tree BEGIN
    INSERT INTO changed VALUES ('drawn', lower(hex(OLD.draw)) || '/' || OLD.place) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER go_back_added_noted AFTER INSERT ON go_back BEGIN
    INSERT INTO changed VALUES ('go_back', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER go_back_changed_noted AFTER UPDATE ON go_back BEGIN
    INSERT INTO changed VALUES ('go_back', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER go_back_removed_noted AFTER DELETE ON go_back BEGIN
    INSERT INTO changed VALUES ('go_back', lower(hex(OLD.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER lost_days_added_noted AFTER INSERT ON lost_days BEGIN
    INSERT INTO changed VALUES ('lost_days', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER lost_days_changed_noted AFTER UPDATE ON lost_days BEGIN
    INSERT INTO changed VALUES ('lost_days', lower(hex(NEW.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER lost_days_removed_noted AFTER DELETE ON lost_days BEGIN
    INSERT INTO changed VALUES ('lost_days', lower(hex(OLD.id))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER worked_week_added_noted AFTER INSERT ON worked_week BEGIN
    INSERT INTO changed VALUES ('week', lower(hex(NEW.winter))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER worked_week_changed_noted AFTER UPDATE ON worked_week BEGIN
    INSERT INTO changed VALUES ('week', lower(hex(NEW.winter))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER worked_week_removed_noted AFTER DELETE ON worked_week BEGIN
    INSERT INTO changed VALUES ('week', lower(hex(OLD.winter))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER stint_added_noted AFTER INSERT ON stint BEGIN
    INSERT INTO changed VALUES ('stint', lower(hex(NEW.winter)) || '/' || lower(hex(NEW.pruner))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER stint_changed_noted AFTER UPDATE ON stint BEGIN
    INSERT INTO changed VALUES ('stint', lower(hex(NEW.winter)) || '/' || lower(hex(NEW.pruner))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER stint_removed_noted AFTER DELETE ON stint BEGIN
    INSERT INTO changed VALUES ('stint', lower(hex(OLD.winter)) || '/' || lower(hex(OLD.pruner))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER pay_added_noted AFTER INSERT ON pay BEGIN
    INSERT INTO changed VALUES ('pay', lower(hex(NEW.winter)) || '/' || iif(NEW.pruner IS NULL, '-', lower(hex(NEW.pruner)))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER pay_changed_noted AFTER UPDATE ON pay BEGIN
    INSERT INTO changed VALUES ('pay', lower(hex(NEW.winter)) || '/' || iif(NEW.pruner IS NULL, '-', lower(hex(NEW.pruner)))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER pay_removed_noted AFTER DELETE ON pay BEGIN
    INSERT INTO changed VALUES ('pay', lower(hex(OLD.winter)) || '/' || iif(OLD.pruner IS NULL, '-', lower(hex(OLD.pruner)))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER aim_added_noted AFTER INSERT ON aim BEGIN
    INSERT INTO changed VALUES ('aim', lower(hex(NEW.winter)) || '/' || lower(hex(NEW.block))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER aim_changed_noted AFTER UPDATE ON aim BEGIN
    INSERT INTO changed VALUES ('aim', lower(hex(NEW.winter)) || '/' || lower(hex(NEW.block))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER aim_removed_noted AFTER DELETE ON aim BEGIN
    INSERT INTO changed VALUES ('aim', lower(hex(OLD.winter)) || '/' || lower(hex(OLD.block))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER factor_added_noted AFTER INSERT ON factor BEGIN
    INSERT INTO changed VALUES ('factor', lower(hex(NEW.block)) || '/' || NEW.kind) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER factor_changed_noted AFTER UPDATE ON factor BEGIN
    INSERT INTO changed VALUES ('factor', lower(hex(NEW.block)) || '/' || NEW.kind) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER factor_removed_noted AFTER DELETE ON factor BEGIN
    INSERT INTO changed VALUES ('factor', lower(hex(OLD.block)) || '/' || OLD.kind) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER growth_added_noted AFTER INSERT ON growth BEGIN
    INSERT INTO changed VALUES ('growth', lower(hex(NEW.block))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER growth_changed_noted AFTER UPDATE ON growth BEGIN
    INSERT INTO changed VALUES ('growth', lower(hex(NEW.block))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER growth_removed_noted AFTER DELETE ON growth BEGIN
    INSERT INTO changed VALUES ('growth', lower(hex(OLD.block))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER tagged_unit_added_noted AFTER INSERT ON tagged_unit BEGIN
    INSERT INTO changed VALUES ('units', lower(hex(NEW.block)) || '/' || NEW.season) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER tagged_unit_changed_noted AFTER UPDATE ON tagged_unit BEGIN
    INSERT INTO changed VALUES ('units', lower(hex(NEW.block)) || '/' || NEW.season) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER tagged_unit_removed_noted AFTER DELETE ON tagged_unit BEGIN
    INSERT INTO changed VALUES ('units', lower(hex(OLD.block)) || '/' || OLD.season) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER harvest_added_noted AFTER INSERT ON harvest BEGIN
    INSERT INTO changed VALUES ('harvest', lower(hex(NEW.block)) || '/' || NEW.season) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER harvest_changed_noted AFTER UPDATE ON harvest BEGIN
    INSERT INTO changed VALUES ('harvest', lower(hex(NEW.block)) || '/' || NEW.season) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER harvest_removed_noted AFTER DELETE ON harvest BEGIN
    INSERT INTO changed VALUES ('harvest', lower(hex(OLD.block)) || '/' || OLD.season) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER joined_added_noted AFTER INSERT ON joined BEGIN
    INSERT INTO changed VALUES ('joined', NEW.kind || '/' || lower(hex(NEW.gone))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER joined_changed_noted AFTER UPDATE ON joined BEGIN
    INSERT INTO changed VALUES ('joined', NEW.kind || '/' || lower(hex(NEW.gone))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER joined_removed_noted AFTER DELETE ON joined BEGIN
    INSERT INTO changed VALUES ('joined', OLD.kind || '/' || lower(hex(OLD.gone))) ON CONFLICT DO NOTHING;
END;
