-- Photos of visits and the customers' signatures.

-- One row a picture; the picture itself is a file outside. Not among the append-only tables, and
-- no entry names one: a customer's signature, or a face in a mirror, must be able to go without
-- breaking the history of a system. What goes is the file; the row stays and says that it went.
CREATE TABLE photo (
    -- Made by the device, so that the same picture sent twice is one.
    id UUID PRIMARY KEY,
    visit_id UUID NOT NULL REFERENCES visit (id),
    -- The field of the sheet that it belongs to: "observe.coil_face", "signature"; empty for the
    -- visit as a whole. Text and no table behind it: the sheet is the program's.
    field TEXT NOT NULL,
    -- Who took it. Never NULL: a phone sends a picture only as the person who took it.
    person_id UUID NOT NULL REFERENCES person (id),
    -- By the device's clock, which may be wrong; NULL if it didn't say.
    taken_at TIMESTAMPTZ,
    received_at TIMESTAMPTZ NOT NULL,
    -- Of what is kept, so that a page can leave room before the picture comes.
    width BIGINT NOT NULL,
    height BIGINT NOT NULL,
    bytes BIGINT NOT NULL,
    -- Of what was sent: tells a repeat from another picture under the same id.
    sent_sha256 TEXT NOT NULL,
    -- Of what is kept: tells whether the file is still what it was.
    kept_sha256 TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('image/jpeg', 'image/png')),
    removed_at TIMESTAMPTZ,
    removed_by_id UUID REFERENCES person (id),
    -- When the file was gone too. Between the two a bucket may be out of reach, and the file is
    -- tried for again.
    cleared_at TIMESTAMPTZ,
    CHECK (cleared_at IS NULL OR removed_at IS NOT NULL)
);
CREATE INDEX photo_visit ON photo (visit_id, received_at);
CREATE INDEX photo_person ON photo (person_id);
CREATE INDEX photo_removed_by ON photo (removed_by_id);
CREATE INDEX photo_to_clear ON photo (removed_at) WHERE removed_at IS NOT NULL AND cleared_at IS NULL;
