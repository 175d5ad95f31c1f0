-- What is wrong, raised by a verdict or by an observation.

CREATE TABLE finding (
    id UUID PRIMARY KEY,
    visit_id UUID NOT NULL REFERENCES visit (id),
    system_id UUID NOT NULL REFERENCES system (id),
    -- The component that it is about, as it was then; a verdict on the whole system has none.
    component_id UUID REFERENCES component (id),
    -- The measure or the observation that raised it.
    raised_by TEXT NOT NULL,
    subject TEXT NOT NULL,
    severity TEXT NOT NULL CHECK (severity IN ('hazard', 'repair', 'watch')),
    text TEXT NOT NULL,
    day DATE NOT NULL,
    -- Found bad and put right in the same visit.
    fixed BOOLEAN NOT NULL,
    -- A later judgement of the same visit no longer says it.
    withdrawn_at TIMESTAMPTZ,
    made_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX finding_visit ON finding (visit_id);
CREATE INDEX finding_system ON finding (system_id);
CREATE INDEX finding_component ON finding (component_id);
