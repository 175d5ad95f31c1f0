-- What is sold (plan), and what a customer bought of it (agreement).

CREATE TABLE plan (
    id UUID PRIMARY KEY,
    made_at TIMESTAMPTZ NOT NULL
);

-- Immutable numbered versions: an agreement keeps the one that it was sold by.
CREATE TABLE plan_version (
    plan_id UUID NOT NULL REFERENCES plan (id),
    version BIGINT NOT NULL,
    name TEXT NOT NULL,
    price_cents BIGINT NOT NULL,
    discount_percent BIGINT NOT NULL,
    -- A list of {kind, first_month, first_day, last_month, last_day}.
    seasons JSONB NOT NULL,
    at TIMESTAMPTZ NOT NULL,
    PRIMARY KEY (plan_id, version)
);

CREATE TABLE agreement (
    id UUID PRIMARY KEY,
    customer_id UUID NOT NULL REFERENCES customer (id),
    plan_id UUID NOT NULL,
    plan_version BIGINT NOT NULL,
    starts_on DATE NOT NULL,
    -- The first day on which it no longer holds.
    ends_on DATE NOT NULL,
    -- A draft has none: whether it is in force follows from this and the dates.
    accepted_on DATE,
    ended_on DATE,
    made_at TIMESTAMPTZ NOT NULL,
    FOREIGN KEY (plan_id, plan_version) REFERENCES plan_version (plan_id, version)
);
CREATE INDEX agreement_customer ON agreement (customer_id);
CREATE INDEX agreement_plan ON agreement (plan_id, plan_version);

CREATE TABLE agreement_system (
    agreement_id UUID NOT NULL REFERENCES agreement (id),
    system_id UUID NOT NULL REFERENCES system (id),
    PRIMARY KEY (agreement_id, system_id)
);
CREATE INDEX agreement_system_system ON agreement_system (system_id);
