-- Names apart from the pruners who bear them, so that bundles can leave them out, and so that one can be taken away
-- for good.

CREATE TABLE pruner_name (
    pruner BLOB PRIMARY KEY REFERENCES pruner (id) ON DELETE CASCADE,
    name TEXT NOT NULL CHECK (length(name) <= 60),
    label TEXT NOT NULL CHECK (length(label) <= 4)
) STRICT, WITHOUT ROWID;
INSERT INTO pruner_name SELECT id, name, label FROM pruner WHERE name <> '' OR label <> '';
ALTER TABLE pruner DROP COLUMN name;
ALTER TABLE pruner DROP COLUMN label;

-- Pruners whose name was taken away at their wish. It stays away, whatever comes in later.
CREATE TABLE name_removed (
    pruner BLOB PRIMARY KEY REFERENCES pruner (id) ON DELETE CASCADE
) STRICT, WITHOUT ROWID;

-- Names travel in change sets of their own, which follow none but each other: a bundle without names leaves them out
-- and lacks nothing else.
ALTER TABLE change_set ADD COLUMN names INTEGER NOT NULL DEFAULT 0 CHECK (names IN (0, 1));

-- What earlier versions of pruners say of names goes; names as they are shown are gathered afresh.
UPDATE version SET body = json_remove(body, '$.name', '$.label') WHERE kind = 'pruner';
UPDATE shown SET body = json_remove(body, '$.name', '$.label') WHERE kind = 'pruner' AND body IS NOT NULL;
INSERT INTO changed SELECT 'name', lower(hex(pruner)) FROM pruner_name;

CREATE TRIGGER pruner_name_added_noted AFTER INSERT ON pruner_name BEGIN
    INSERT INTO changed VALUES ('name', lower(hex(NEW.pruner))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER pruner_name_changed_noted AFTER UPDATE ON pruner_name BEGIN
    INSERT INTO changed VALUES ('name', lower(hex(NEW.pruner))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER pruner_name_removed_noted AFTER DELETE ON pruner_name BEGIN
    INSERT INTO changed VALUES ('name', lower(hex(OLD.pruner))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER name_removed_added_noted AFTER INSERT ON name_removed BEGIN
    INSERT INTO changed VALUES ('name_removed', lower(hex(NEW.pruner))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER name_removed_changed_noted AFTER UPDATE ON name_removed BEGIN
    INSERT INTO changed VALUES ('name_removed', lower(hex(NEW.pruner))) ON CONFLICT DO NOTHING;
END;
CREATE TRIGGER name_removed_removed_noted AFTER DELETE ON name_removed BEGIN
    INSERT INTO changed VALUES ('name_removed', lower(hex(OLD.pruner))) ON CONFLICT DO NOTHING;
END;
