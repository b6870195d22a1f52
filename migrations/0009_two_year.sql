-- A two-year piece, its size and its buds are one tap. Until now the piece was tapped by itself, and its buds beside it: what
-- was counted so stays as it is.

-- whether size and buds are a two-year piece too
ALTER TABLE tap ADD COLUMN with_piece INTEGER NOT NULL DEFAULT 0 CHECK (with_piece IN (0, 1));

DROP TRIGGER tap_added;
DROP TRIGGER tap_taken_back;
CREATE TRIGGER tap_added AFTER INSERT ON tap BEGIN
    UPDATE tree_count SET
        one = one + (NEW.piece = 1),
        two = two + (NEW.piece = 2 OR NEW.with_piece),
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
        two = two - (OLD.piece = 2 OR OLD.with_piece),
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
