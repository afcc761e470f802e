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
CREATE INDEX record_by_day ON record (group_id, kind, day);
CREATE INDEX record_by_owner ON record (group_id, owner);
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
CREATE TABLE device (
    group_id VARCHAR NOT NULL,
    id VARCHAR NOT NULL,
    token_hash VARCHAR NOT NULL,
    role VARCHAR NOT NULL,
    device VARCHAR NOT NULL,
    device_name VARCHAR NOT NULL,
    person VARCHAR NOT NULL,
    person_name VARCHAR NOT NULL,
    connected_at VARCHAR NOT NULL,
    last_seen VARCHAR,
    revoked_at VARCHAR,
    PRIMARY KEY (group_id, id),
    UNIQUE (token_hash)
);
CREATE TABLE group_counter (
    group_id VARCHAR NOT NULL,
    seq INTEGER NOT NULL,
    folded INTEGER NOT NULL,
    PRIMARY KEY (group_id)
);
CREATE TABLE grower_group (
    group_id VARCHAR NOT NULL,
    name VARCHAR NOT NULL,
    made_at VARCHAR NOT NULL,
    PRIMARY KEY (group_id),
    UNIQUE (name)
);
CREATE TABLE held_back (
    group_id VARCHAR NOT NULL,
    raw_hash VARCHAR NOT NULL,
    entry_id VARCHAR,
    field VARCHAR NOT NULL,
    code VARCHAR NOT NULL,
    detail TEXT NOT NULL,
    raw BLOB NOT NULL,
    received_at VARCHAR NOT NULL,
    via_device VARCHAR NOT NULL,
    PRIMARY KEY (group_id, raw_hash)
);
CREATE INDEX held_back_by_entry ON held_back (group_id, entry_id);
CREATE TABLE invitation (
    code_hash VARCHAR NOT NULL,
    group_id VARCHAR NOT NULL,
    role VARCHAR NOT NULL,
    made_at VARCHAR NOT NULL,
    expires_at VARCHAR NOT NULL,
    used_at VARCHAR,
    PRIMARY KEY (code_hash)
);
CREATE TABLE receipt (
    group_id VARCHAR NOT NULL,
    first INTEGER NOT NULL,
    last INTEGER NOT NULL,
    received_at VARCHAR NOT NULL,
    via_device VARCHAR NOT NULL,
    PRIMARY KEY (group_id, first)
);
CREATE INDEX entry_changing ON entry (group_id, rec) WHERE rec <> id;
