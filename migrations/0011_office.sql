-- What the office asks of a sheet, and hazards that reach it before anything else.

-- The company's own list of what a yearly sheet needs: one row a version, and the newest is in
-- force. Never changed: a visit that came in names the one that it was held against.
CREATE TABLE sheet_requirement_version (
    id UUID PRIMARY KEY,
    -- Counts the versions, so that a number names a list; given out explicitly, since SQLite
    -- accepts a serial type and leaves it NULL.
    number BIGINT NOT NULL UNIQUE,
    -- Names of the sheet's fields, such as "as_found.return_wb_f". JSONB and no table behind it:
    -- the fields are the program's, and one that a later program no longer has asks for nothing.
    fields JSONB NOT NULL,
    person_id UUID REFERENCES person (id),
    at TIMESTAMPTZ NOT NULL
);
CREATE INDEX sheet_requirement_version_person ON sheet_requirement_version (person_id);

-- What a plan asks for beside it, as part of what was sold: an agreement keeps its version's list.
ALTER TABLE plan_version ADD COLUMN required JSONB NOT NULL DEFAULT '[]';

-- The company's list by which the sheet came in, 0 before there was one; NULL while it was never
-- in. The plan's list follows from the agreement, which keeps its version for good.
ALTER TABLE visit ADD COLUMN requirement_number BIGINT;

-- A hazard as it was told from a visit. Taken back, it stays on record: somebody may have acted
-- on it.
CREATE TABLE hazard_report (
    id UUID PRIMARY KEY,
    visit_id UUID NOT NULL REFERENCES visit (id),
    -- The field of the sheet that tells it: "hazard.gas_smell", or the point "ambient_co_ppm".
    field TEXT NOT NULL,
    -- What was told, as it was worded then.
    words TEXT NOT NULL,
    person_id UUID REFERENCES person (id),
    -- The device's clock, if it says; a sheet filled without network is told later.
    at TIMESTAMPTZ,
    received_at TIMESTAMPTZ NOT NULL,
    -- When the technician took it back, if so.
    taken_back_at TIMESTAMPTZ,
    -- Who of the office saw it, and when.
    seen_at TIMESTAMPTZ,
    seen_by_id UUID REFERENCES person (id)
);
-- Told twice it is one, while the first still stands.
CREATE UNIQUE INDEX hazard_report_stands ON hazard_report (visit_id, field)
    WHERE taken_back_at IS NULL;
CREATE INDEX hazard_report_visit ON hazard_report (visit_id, received_at);
CREATE INDEX hazard_report_person ON hazard_report (person_id);
CREATE INDEX hazard_report_seen_by ON hazard_report (seen_by_id);
-- Every page of the office asks for these: mostly there are none, and then nothing is read.
CREATE INDEX hazard_report_unseen ON hazard_report (received_at) WHERE seen_at IS NULL;
