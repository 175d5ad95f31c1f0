-- The company itself and the people who work in it.

-- One store, one company: the key can only be 1, so a second row can't be.
CREATE TABLE company (
    id BIGINT PRIMARY KEY CHECK (id = 1),
    name TEXT NOT NULL,
    phone TEXT NOT NULL,
    email TEXT NOT NULL,
    -- An IANA name: days and bookings are local to it, instants are UTC.
    time_zone TEXT NOT NULL,
    -- Counts the visits: their short numbers come from here, one at a time.
    visits BIGINT NOT NULL DEFAULT 0,
    made_at TIMESTAMPTZ NOT NULL
);

CREATE TABLE person (
    id UUID PRIMARY KEY,
    name TEXT NOT NULL,
    email TEXT NOT NULL,
    -- Folded in Rust, because lower() knows only ASCII on SQLite.
    email_folded TEXT NOT NULL UNIQUE,
    role TEXT NOT NULL CHECK (role IN ('owner', 'dispatcher', 'technician')),
    password_hash TEXT NOT NULL,
    made_at TIMESTAMPTZ NOT NULL,
    -- A person who has left can't sign in; what they did stays theirs.
    left_at TIMESTAMPTZ
);

-- The token itself is only in the browser; here is its SHA-256 in hex.
CREATE TABLE session (
    token_hash TEXT PRIMARY KEY,
    person_id UUID NOT NULL REFERENCES person (id),
    made_at TIMESTAMPTZ NOT NULL,
    used_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX session_person ON session (person_id);

-- Failed sign-ins by account and by address ("account:…" and "address:…").
CREATE TABLE sign_in_failure (
    subject TEXT PRIMARY KEY,
    failures BIGINT NOT NULL,
    since TIMESTAMPTZ NOT NULL
);

-- What happened, by whom: written in the transaction of the change itself, never changed.
-- Bodies hold ids and figures, no names or phones, so that a person can be forgotten.
CREATE TABLE event (
    id UUID PRIMARY KEY,
    at TIMESTAMPTZ NOT NULL,
    person_id UUID REFERENCES person (id),
    verb TEXT NOT NULL,
    noun TEXT NOT NULL,
    noun_id UUID NOT NULL,
    body JSONB NOT NULL
);
CREATE INDEX event_noun ON event (noun_id, at);
CREATE INDEX event_person ON event (person_id);
