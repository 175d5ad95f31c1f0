-- Who pays, and where the equipment stands.

CREATE TABLE customer (
    id UUID PRIMARY KEY,
    name TEXT NOT NULL,
    phone TEXT NOT NULL,
    email TEXT NOT NULL,
    note TEXT NOT NULL,
    -- Name and mail, folded in Rust: the one search box looks here, and for digits below, apart,
    -- so that a house number doesn't find half of all phones.
    folded TEXT NOT NULL,
    phone_digits TEXT NOT NULL,
    made_at TIMESTAMPTZ NOT NULL
);

CREATE TABLE site (
    id UUID PRIMARY KEY,
    customer_id UUID NOT NULL REFERENCES customer (id),
    street TEXT NOT NULL,
    town TEXT NOT NULL,
    postal_code TEXT NOT NULL,
    -- Gauge pressure becomes absolute by the barometer of this height.
    elevation_ft DOUBLE PRECISION NOT NULL,
    latitude DOUBLE PRECISION,
    longitude DOUBLE PRECISION,
    access_note TEXT NOT NULL,
    folded TEXT NOT NULL,
    made_at TIMESTAMPTZ NOT NULL
);
CREATE INDEX site_customer ON site (customer_id);
