-- Visits, who goes when, and what was entered there.

CREATE TABLE visit (
    id UUID PRIMARY KEY,
    -- A short key of our own for the millions of rows below; given out explicitly, since
    -- SQLite accepts a serial type and leaves it NULL.
    number BIGINT NOT NULL UNIQUE,
    system_id UUID NOT NULL REFERENCES system (id),
    kind TEXT NOT NULL,
    state TEXT NOT NULL,
    technician_id UUID REFERENCES person (id),
    -- Local day and minutes after midnight in the company's zone, not an instant:
    -- a booking stays at nine o'clock when the rules of summer time change.
    day DATE NOT NULL,
    start_minute BIGINT NOT NULL,
    minutes BIGINT NOT NULL,
    -- Which promise it keeps, if any.
    agreement_id UUID REFERENCES agreement (id),
    season_year BIGINT,
    -- Counts the entries: the order of what was typed is this sequence, not a clock.
    entries BIGINT NOT NULL,
    -- The judgement that is shown.
    assessment_number BIGINT,
    handed_in_at TIMESTAMPTZ,
    made_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX visit_system ON visit (system_id, day);
CREATE INDEX visit_technician ON visit (technician_id, day);
CREATE INDEX visit_state ON visit (state);
CREATE INDEX visit_agreement ON visit (agreement_id);
-- One visit that stands for one promise: two dispatchers can't both keep it.
CREATE UNIQUE INDEX visit_promise ON visit (agreement_id, system_id, kind, season_year)
    WHERE agreement_id IS NOT NULL AND state NOT IN ('cancelled', 'no_access');

-- A booking is a set of rows that can be there only once: portable, no lock needed.
CREATE TABLE booking_quarter (
    technician_id UUID NOT NULL REFERENCES person (id),
    day DATE NOT NULL,
    quarter BIGINT NOT NULL CHECK (quarter BETWEEN 0 AND 95),
    visit_id UUID NOT NULL REFERENCES visit (id),
    PRIMARY KEY (technician_id, day, quarter)
);
CREATE INDEX booking_quarter_visit ON booking_quarter (visit_id);

-- Everything that was typed, in the order of its arrival; also what can't be. Never changed.
CREATE TABLE entry (
    id UUID PRIMARY KEY,
    visit_number BIGINT NOT NULL REFERENCES visit (number),
    number BIGINT NOT NULL,
    person_id UUID REFERENCES person (id),
    device TEXT NOT NULL,
    device_number BIGINT NOT NULL,
    -- The number of the last entry that the device knew of.
    base_number BIGINT NOT NULL,
    device_at TIMESTAMPTZ,
    -- How far the device's clock was ahead of ours when it sent this; none if it didn't say.
    device_ahead_s BIGINT,
    received_at TIMESTAMPTZ NOT NULL,
    stage TEXT NOT NULL CHECK (stage IN ('as_found', 'as_left')),
    take BIGINT NOT NULL,
    field TEXT NOT NULL,
    typed TEXT NOT NULL,
    unit TEXT NOT NULL,
    reason TEXT NOT NULL,
    -- Why it became nothing more than an entry; empty if it did.
    refusal TEXT NOT NULL,
    -- Why it waits for a person to decide: another device had entered something there meanwhile
    -- ('other_device'), or the sheet was no longer open (the visit's state then). Empty if it
    -- doesn't. It is decided by any later entry of the field whose base_number has reached it.
    held TEXT NOT NULL,
    UNIQUE (visit_number, number)
);
CREATE INDEX entry_person ON entry (person_id);

-- What the valid entries of measuring points came to. The newest row of a point counts;
-- a row without a value takes the reading back. Never changed.
CREATE TABLE reading (
    visit_number BIGINT NOT NULL REFERENCES visit (number),
    number BIGINT NOT NULL,
    stage TEXT NOT NULL,
    take BIGINT NOT NULL,
    point TEXT NOT NULL,
    value DOUBLE PRECISION,
    taken_at TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (visit_number, number)
);

-- What the valid entries of observations, work, circumstances and words came to; same rules.
CREATE TABLE mark (
    visit_number BIGINT NOT NULL REFERENCES visit (number),
    number BIGINT NOT NULL,
    stage TEXT NOT NULL,
    take BIGINT NOT NULL,
    field TEXT NOT NULL,
    value TEXT NOT NULL,
    PRIMARY KEY (visit_number, number)
);

-- One row a judgement: whole input, whole output, and by what rules. Never changed.
CREATE TABLE assessment (
    visit_number BIGINT NOT NULL REFERENCES visit (number),
    number BIGINT NOT NULL,
    at TIMESTAMPTZ NOT NULL,
    engine TEXT NOT NULL,
    rules TEXT NOT NULL,
    input JSONB NOT NULL,
    output JSONB NOT NULL,
    PRIMARY KEY (visit_number, number)
);

-- What the owner wrote when a sheet went back, and to which field.
CREATE TABLE remark (
    id UUID PRIMARY KEY,
    visit_id UUID NOT NULL REFERENCES visit (id),
    person_id UUID NOT NULL REFERENCES person (id),
    at TIMESTAMPTZ NOT NULL,
    field TEXT NOT NULL,
    text TEXT NOT NULL
);
CREATE INDEX remark_visit ON remark (visit_id, at);
CREATE INDEX remark_person ON remark (person_id);

-- A customer's private way to a report: the token's hash only.
CREATE TABLE report_link (
    token_hash TEXT PRIMARY KEY,
    visit_id UUID NOT NULL REFERENCES visit (id),
    made_at TIMESTAMPTZ NOT NULL,
    ends_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX report_link_visit ON report_link (visit_id);
