BEGIN TRANSACTION;
CREATE TABLE brew (
        id INTEGER PRIMARY KEY,
        tape TEXT NOT NULL UNIQUE,
        recorded_at TEXT NOT NULL,
        person_id INTEGER REFERENCES person(id),
        water TEXT
    );
INSERT INTO "brew" VALUES(1,'TAPES/a.jsonl','2026-01-15T09:30:00+00:00',1,'filtered');
INSERT INTO "brew" VALUES(2,'TAPES/b.jsonl','2026-01-15T12:00:00+02:00',2,NULL);
INSERT INTO "brew" VALUES(3,'TAPES/gone.jsonl','2026-01-14T08:00:00+00:00',1,NULL);
INSERT INTO "brew" VALUES(4,'TAPES/c.jsonl','2026-01-16T09:00:00+00:00',NULL,NULL);
CREATE TABLE person (
        id INTEGER PRIMARY KEY,
        name TEXT NOT NULL UNIQUE COLLATE NOCASE,
        reaction_s REAL
    );
INSERT INTO "person" VALUES(1,'Ada',0.31);
INSERT INTO "person" VALUES(2,'Bo',NULL);
CREATE TABLE remark (
        id INTEGER PRIMARY KEY,
        brew_id INTEGER NOT NULL REFERENCES brew(id) ON DELETE CASCADE,
        made_at TEXT NOT NULL,
        kind TEXT NOT NULL CHECK (kind IN ('taste', 'bed', 'change', 'note')),
        text TEXT NOT NULL
    );
INSERT INTO "remark" VALUES(1,1,'2026-01-15T10:01:00+00:00','taste','sour');
INSERT INTO "remark" VALUES(2,1,'2026-01-15T10:01:00+00:00','change','finer');
INSERT INTO "remark" VALUES(3,1,'2026-01-15T10:01:00+00:00','note','it''s a "note" – naïve');
INSERT INTO "remark" VALUES(4,3,'2026-01-14T10:01:00+00:00','bed','sloped');
CREATE TABLE strength (
        id INTEGER PRIMARY KEY,
        brew_id INTEGER NOT NULL REFERENCES brew(id) ON DELETE CASCADE,
        taken_at TEXT NOT NULL,
        strength REAL NOT NULL,
        strength_error REAL NOT NULL,
        beverage_g REAL
    );
INSERT INTO "strength" VALUES(1,1,'2026-01-15T10:00:00+00:00',0.0131,0.0003,272.0);
INSERT INTO "strength" VALUES(2,3,'2026-01-14T10:00:00+00:00',0.012,0.0003,NULL);
CREATE INDEX brew_by_time ON brew(recorded_at);
COMMIT;
PRAGMA user_version = 1;
