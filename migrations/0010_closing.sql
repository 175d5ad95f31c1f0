-- What closes a visit: the company's price list, proposals with the customer's answers, parts used,
-- refrigerant moved.

-- Immutable numbered versions, each the whole list: what was proposed at a price stays explained.
CREATE TABLE price_list_version (
    id UUID PRIMARY KEY,
    -- Given out explicitly, since SQLite accepts a serial type and leaves it NULL.
    number BIGINT NOT NULL UNIQUE,
    -- What this version did, and to which item: enough to read the history without comparing.
    change TEXT NOT NULL CHECK (change IN ('add', 'change', 'retire')),
    item TEXT NOT NULL,
    words TEXT NOT NULL,
    person_id UUID REFERENCES person (id),
    at TIMESTAMPTZ NOT NULL
);
CREATE INDEX price_list_version_person ON price_list_version (person_id);

CREATE TABLE price_item (
    price_list_number BIGINT NOT NULL REFERENCES price_list_version (number),
    -- Stable from version to version: fields of the sheet are named after it.
    item TEXT NOT NULL,
    words TEXT NOT NULL,
    cents BIGINT NOT NULL,
    -- What it would put right: keys of measures and observations as findings are raised by, and of
    -- causes. JSONB and no table behind it: the keys are the program's.
    answers JSONB NOT NULL,
    place BIGINT NOT NULL,
    PRIMARY KEY (price_list_number, item)
);
CREATE INDEX price_item_item ON price_item (item, price_list_number);

-- By which list a visit's proposals are priced, from the first hand-in on. A table of its own and
-- no column of visit: rows are only ever added.
CREATE TABLE visit_price_list (
    visit_id UUID PRIMARY KEY REFERENCES visit (id),
    price_list_number BIGINT NOT NULL REFERENCES price_list_version (number)
);

-- What was proposed on a visit. One that was taken back, or of which words or price became others,
-- is withdrawn and a new row says what holds: nothing that a customer was told is overwritten.
CREATE TABLE proposal (
    id UUID PRIMARY KEY,
    visit_id UUID NOT NULL REFERENCES visit (id),
    system_id UUID NOT NULL REFERENCES system (id),
    -- An item of the price list, or one of the free lines (other_1).
    item TEXT NOT NULL,
    words TEXT NOT NULL,
    -- NULL where no price was named yet.
    list_cents BIGINT,
    discount_percent BIGINT NOT NULL,
    cents BIGINT,
    withdrawn_at TIMESTAMPTZ,
    made_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX proposal_visit ON proposal (visit_id);
CREATE INDEX proposal_system ON proposal (system_id);
CREATE UNIQUE INDEX proposal_standing ON proposal (visit_id, item) WHERE withdrawn_at IS NULL;

-- What it would put right, as findings are raised by. Which findings those are is looked up and
-- not kept: judging again withdraws findings and raises others in their place.
CREATE TABLE proposal_reason (
    proposal_id UUID NOT NULL REFERENCES proposal (id),
    raised_by TEXT NOT NULL,
    PRIMARY KEY (proposal_id, raised_by)
);

-- What the customer said: the newest counts. Never changed.
CREATE TABLE proposal_answer (
    id UUID PRIMARY KEY,
    proposal_id UUID NOT NULL REFERENCES proposal (id),
    number BIGINT NOT NULL,
    answer TEXT NOT NULL CHECK (answer IN ('open', 'accepted', 'declined', 'deferred')),
    until DATE,
    -- Whether the sheet said it: a sheet that comes in again with the same answer as before must
    -- not take back what the office has heard since.
    from_sheet BOOLEAN NOT NULL,
    person_id UUID REFERENCES person (id),
    at TIMESTAMPTZ NOT NULL,
    UNIQUE (proposal_id, number)
);
CREATE INDEX proposal_answer_person ON proposal_answer (person_id);

-- Parts by the lines of the sheet; the newest row of a line counts, and a line that was taken back
-- has a count of zero. Never changed.
CREATE TABLE part_used (
    visit_id UUID NOT NULL REFERENCES visit (id),
    line BIGINT NOT NULL,
    number BIGINT NOT NULL,
    words TEXT NOT NULL,
    count BIGINT NOT NULL,
    person_id UUID REFERENCES person (id),
    at TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (visit_id, line, number)
);
CREATE INDEX part_used_person ON part_used (person_id);

-- Refrigerant by the lines of the sheet, same rules; taken back is an amount of zero. Never changed.
CREATE TABLE refrigerant_movement (
    visit_id UUID NOT NULL REFERENCES visit (id),
    line BIGINT NOT NULL,
    number BIGINT NOT NULL,
    system_id UUID NOT NULL REFERENCES system (id),
    day DATE NOT NULL,
    direction TEXT NOT NULL CHECK (direction IN ('added', 'recovered')),
    -- Tenths of an ounce, so that sums are exact.
    ounce_tenths BIGINT NOT NULL,
    -- By the plate of that day; empty where it isn't known.
    refrigerant TEXT NOT NULL,
    cylinder TEXT NOT NULL,
    person_id UUID REFERENCES person (id),
    at TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (visit_id, line, number)
);
CREATE INDEX refrigerant_movement_system ON refrigerant_movement (system_id, day);
CREATE INDEX refrigerant_movement_person ON refrigerant_movement (person_id);
