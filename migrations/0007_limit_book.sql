-- The company's own limits: one row a change. The book in force is the program's defaults with the
-- newest change of each limit in their place. Never changed: what a visit was judged by stays known.

CREATE TABLE limit_change (
    id UUID PRIMARY KEY,
    -- Counts the changes of the whole book, so that a number names a book exactly; given out
    -- explicitly, since SQLite accepts a serial type and leaves it NULL.
    number BIGINT NOT NULL UNIQUE,
    -- The limit's key. Text and no table behind it: the entries are the program's, and a change of
    -- one that a later program no longer has stays readable.
    name TEXT NOT NULL,
    -- In the limit's unit. NULL goes back to the default, whichever the program has by then: a
    -- later program's better default is not overruled by a copy of an old one.
    value DOUBLE PRECISION,
    -- Why, in the owner's words; asked for, since a number without a reason can't be judged later.
    reason TEXT NOT NULL,
    person_id UUID REFERENCES person (id),
    at TIMESTAMPTZ NOT NULL
);
CREATE INDEX limit_change_name ON limit_change (name, number);
CREATE INDEX limit_change_person ON limit_change (person_id);
