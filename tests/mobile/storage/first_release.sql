-- The tables of the first release (2026-11), as its app made them. Never changed: files of it are out there.
PRAGMA application_id = 1349479781;
PRAGMA user_version = 1;
CREATE TABLE entry (
    group_id VARCHAR NOT NULL,
    id VARCHAR NOT NULL,
    seq INTEGER,
    rec VARCHAR NOT NULL,
    kind VARCHAR NOT NULL,
    stamp VARCHAR NOT NULL,
    hash VARCHAR NOT NULL,
    body TEXT NOT NULL,
    aside BOOLEAN NOT NULL,
    PRIMARY KEY (group_id, id)
);
CREATE UNIQUE INDEX entry_by_number ON entry (group_id, seq);
CREATE TABLE record (
    group_id VARCHAR NOT NULL,
    rec VARCHAR NOT NULL,
    kind VARCHAR NOT NULL,
    deleted BOOLEAN NOT NULL,
    day VARCHAR,
    season VARCHAR,
    owner VARCHAR,
    fields TEXT NOT NULL,
    winners TEXT NOT NULL,
    by_person VARCHAR NOT NULL,
    device VARCHAR NOT NULL,
    entered VARCHAR NOT NULL,
    tz VARCHAR NOT NULL,
    stamp VARCHAR NOT NULL,
    PRIMARY KEY (group_id, rec)
)
 WITHOUT ROWID;
CREATE INDEX record_by_owner ON record (group_id, owner);
CREATE INDEX record_by_day ON record (group_id, kind, day);
CREATE TABLE mark (
    group_id VARCHAR NOT NULL,
    rec VARCHAR NOT NULL,
    visit VARCHAR NOT NULL,
    what VARCHAR NOT NULL,
    place VARCHAR NOT NULL,
    cover VARCHAR NOT NULL,
    bag VARCHAR NOT NULL,
    source VARCHAR NOT NULL,
    marks VARCHAR NOT NULL,
    device VARCHAR NOT NULL,
    deleted BOOLEAN NOT NULL,
    PRIMARY KEY (group_id, rec)
)
 WITHOUT ROWID;
CREATE INDEX mark_by_visit ON mark (group_id, visit, what, place, cover, bag, source, marks, deleted);
CREATE TABLE touched (
    group_id VARCHAR NOT NULL,
    rec VARCHAR NOT NULL,
    PRIMARY KEY (group_id, rec)
)
 WITHOUT ROWID;
CREATE TABLE outbox (
    id VARCHAR NOT NULL,
    rec VARCHAR NOT NULL,
    kind VARCHAR NOT NULL,
    state VARCHAR NOT NULL,
    field VARCHAR,
    code VARCHAR,
    sentence TEXT,
    tried_version VARCHAR,
    tried_token VARCHAR,
    PRIMARY KEY (id)
)
 WITHOUT ROWID;
CREATE TABLE phone (
    name VARCHAR NOT NULL,
    value TEXT,
    PRIMARY KEY (name)
)
 WITHOUT ROWID;
CREATE INDEX entry_by_record ON entry (group_id, rec);
CREATE INDEX entry_by_stamp ON entry (group_id, stamp, id);
CREATE INDEX entry_aside ON entry (group_id, id) WHERE aside IS 1;
CREATE INDEX record_by_hand ON record (group_id, kind, season) WHERE season IS NOT NULL;
ANALYZE phone;
INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ('record', 'record', '50000 50000 1');
INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ('record', 'record_by_day', '50000 50000 5000 20');
INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ('record', 'record_by_owner', '50000 50000 3');
INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ('record', 'record_by_hand', '100 100 50 20');
INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ('mark', 'mark', '500000 500000 1');
INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ('mark', 'mark_by_visit', '500000 500000 40 40 30 20 20 20 10 10');
INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ('entry', 'sqlite_autoindex_entry_1', '600000 600000 1');
INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ('entry', 'entry_by_record', '600000 600000 2');
INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ('entry', 'entry_by_number', '600000 600000 1');
INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ('entry', 'entry_by_stamp', '600000 600000 1 1');
INSERT INTO sqlite_stat1 (tbl, idx, stat) VALUES ('entry', 'entry_aside', '20 20 1');
ANALYZE sqlite_master;
