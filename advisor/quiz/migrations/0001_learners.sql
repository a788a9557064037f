-- Who learns, each sitting, each answer, and when each rule is due.
CREATE TABLE learners (
    id INTEGER PRIMARY KEY,
    name TEXT NOT NULL UNIQUE COLLATE NOCASE,
    since TEXT NOT NULL
) STRICT;
CREATE TABLE sittings (
    id INTEGER PRIMARY KEY,
    learner INTEGER NOT NULL REFERENCES learners (id) ON DELETE CASCADE,
    began TEXT NOT NULL,
    ended TEXT,
    seed TEXT NOT NULL,
    about TEXT NOT NULL
) STRICT;
CREATE TABLE answers (
    id INTEGER PRIMARY KEY,
    sitting INTEGER NOT NULL REFERENCES sittings (id) ON DELETE CASCADE,
    learner INTEGER NOT NULL REFERENCES learners (id) ON DELETE CASCADE,
    at TEXT NOT NULL,
    item TEXT NOT NULL,
    kind TEXT NOT NULL,
    rule TEXT NOT NULL,
    state TEXT NOT NULL,
    is_right INTEGER NOT NULL CHECK (is_right IN (0, 1)),
    sure INTEGER NOT NULL CHECK (sure BETWEEN 1 AND 3),
    misconception TEXT NOT NULL,
    offered TEXT NOT NULL,
    recalled TEXT NOT NULL
) STRICT;
CREATE TABLE cards (
    learner INTEGER NOT NULL REFERENCES learners (id) ON DELETE CASCADE,
    rule TEXT NOT NULL,
    due TEXT NOT NULL,
    memory TEXT NOT NULL,
    PRIMARY KEY (learner, rule)
) STRICT;
CREATE INDEX answers_of_learner ON answers (learner, rule, at);
