-- What repairs found to be the matter, and the company's own priors that learn from it.

-- One row a confirmation by a person. A correction is a new row, and the newest of a visit counts:
-- what was believed before stays to be seen. Never changed.
CREATE TABLE confirmed_cause (
    id UUID PRIMARY KEY,
    -- Counts all confirmations in their order, so that a reset of the priors can say after which
    -- one they begin again; given out explicitly, since SQLite accepts a serial type and leaves it
    -- NULL.
    number BIGINT NOT NULL UNIQUE,
    -- The visit that is answered: its judgement is what was predicted.
    visit_number BIGINT NOT NULL REFERENCES visit (number),
    -- The judgement that was shown when the visit was first answered; NULL if nothing could be
    -- judged. A later judgement must not change what was predicted: it may know the answer, by the
    -- priors that learnt from it.
    assessment_number BIGINT,
    -- The finding that the repair answers, if it was one.
    finding_id UUID REFERENCES finding (id),
    -- A cause's word of the assess document, or two as "a+b". Text and no table behind it: the
    -- causes are the program's.
    cause TEXT NOT NULL,
    remark TEXT NOT NULL,
    -- Never NULL, unlike elsewhere: the program itself can't know what was found.
    person_id UUID NOT NULL REFERENCES person (id),
    at TIMESTAMPTZ NOT NULL,
    FOREIGN KEY (visit_number, assessment_number) REFERENCES assessment (visit_number, number)
);
CREATE INDEX confirmed_cause_visit ON confirmed_cause (visit_number, number);
CREATE INDEX confirmed_cause_finding ON confirmed_cause (finding_id);
CREATE INDEX confirmed_cause_person ON confirmed_cause (person_id);

-- The probabilities of causes before anything is read, as the company's own confirmations move
-- them: one row a version, and the newest is in force. Never changed: each judgement names the one
-- that it went by. Without a row the published ones hold.
CREATE TABLE prior_version (
    id UUID PRIMARY KEY,
    -- The number in its name: "priors-7".
    number BIGINT NOT NULL UNIQUE,
    why TEXT NOT NULL CHECK (why IN ('confirmation', 'reset')),
    -- The confirmation that made it; NULL for a reset.
    confirmed_cause_id UUID REFERENCES confirmed_cause (id),
    -- Confirmations up to this number no longer count, nor visits that came in before that
    -- instant: where the last reset drew its line.
    since_number BIGINT NOT NULL,
    since_at TIMESTAMPTZ,
    -- The version of the published figures that the counts were added to.
    published TEXT NOT NULL,
    -- Judged visits that could have been confirmed: the confirmed ones are a choice among these.
    visits BIGINT NOT NULL,
    -- Confirmations by the cause's word, a pair as half to each; and the probability of each.
    -- JSONB and not nine columns: the causes are the program's, and a later one may know of more.
    counts JSONB NOT NULL,
    priors JSONB NOT NULL,
    -- Why the owner began again; empty for a confirmation, whose remark says it.
    reason TEXT NOT NULL,
    person_id UUID REFERENCES person (id),
    at TIMESTAMPTZ NOT NULL
);
CREATE INDEX prior_version_confirmed_cause ON prior_version (confirmed_cause_id);
CREATE INDEX prior_version_person ON prior_version (person_id);

-- By which priors the causes were weighed; empty for judgements of before there were any.
ALTER TABLE assessment ADD COLUMN priors TEXT NOT NULL DEFAULT '';

-- A judgement reads the system's earlier visits too. What was refused there takes a reading's place
-- away, and is rare: without this every entry ever typed on them is looked through.
CREATE INDEX entry_refused ON entry (visit_number) WHERE refusal <> '';
