-- A matched set at a site, and the parts that it is or was made of.

CREATE TABLE system (
    id UUID PRIMARY KEY,
    site_id UUID NOT NULL REFERENCES site (id),
    name TEXT NOT NULL,
    kind TEXT NOT NULL,
    made_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX system_site ON system (site_id);

-- A component is replaced, never overwritten: the old row gets its removed_on and stays.
CREATE TABLE component (
    id UUID PRIMARY KEY,
    system_id UUID NOT NULL REFERENCES system (id),
    part TEXT NOT NULL,
    installed_on DATE,
    removed_on DATE,
    made_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX component_system ON component (system_id);
-- One outdoor unit, one coil … at a time; "other" parts may be many.
CREATE UNIQUE INDEX component_in_place ON component (system_id, part)
    WHERE removed_on IS NULL AND part <> 'other';

-- What its plate says. A corrected plate is a new version with a reason.
CREATE TABLE component_version (
    component_id UUID NOT NULL REFERENCES component (id),
    version BIGINT NOT NULL,
    make TEXT NOT NULL,
    model TEXT NOT NULL,
    serial TEXT NOT NULL,
    manufactured_on DATE,
    warranty_until DATE,
    -- Field keys of the assess document with their values, as typed on the plate.
    nameplate JSONB NOT NULL,
    reason TEXT NOT NULL,
    folded TEXT NOT NULL,
    at TIMESTAMPTZ NOT NULL,
    person_id UUID REFERENCES person (id),
    PRIMARY KEY (component_id, version)
);
CREATE INDEX component_version_person ON component_version (person_id);
