-- Change sets made from here on are named by digests of all that was changed in them, so that nobody can change a
-- record and keep its change set's name. Of a version that was replaced its digest stays, to tell the name by.

ALTER TABLE version ADD COLUMN digest BLOB CHECK (length(digest) = 16);

CREATE TABLE replaced (
    kind TEXT NOT NULL,
    key TEXT NOT NULL,
    change_set INTEGER NOT NULL REFERENCES change_set (nr),
    digest BLOB NOT NULL CHECK (length(digest) = 16),
    PRIMARY KEY (kind, key, change_set)
) STRICT, WITHOUT ROWID;
