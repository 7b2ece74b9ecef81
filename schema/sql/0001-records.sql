-- The records of one site. Times are UTC in milliseconds since 1970-01-01 (POSIX); temperatures are
-- thousandths of a degree with the scale they were read in ('F' or 'C'). Words (stages, food kinds,
-- ...) are those the program prints; it refuses a store that holds a word it does not know.

-- Every record belongs to one entry; entries count up in the order in which they were made.
create table entry (
    id          integer primary key,
    kind        text    not null,            -- the table that holds what was entered
    entered_at  integer not null,            -- the program's clock
    by          integer references person (id)
) strict;

create table person (
    id     integer primary key,
    entry  integer not null unique references entry (id),
    name   text    not null unique
) strict;

create table site (
    id           integer primary key check (id = 1),
    entry        integer not null unique references entry (id),
    name         text    not null,
    zone         text    not null,           -- IANA name
    altitude_um  integer,                    -- micrometres: feet and metres are both exact
    altitude_in  text    check (altitude_in in ('m', 'ft')),
    scale        text    not null check (scale in ('F', 'C')),
    check ((altitude_um is null) = (altitude_in is null))
) strict;

-- What the site adopted, and from when it holds. An empty field leaves that matter as it was.
create table site_setting (
    id                   integer primary key,
    entry                integer not null unique references entry (id),
    from_at              integer not null,
    code                 text,               -- id of a code pack
    largest_interval_ms  integer check (largest_interval_ms > 0)
) strict;

create table unit (
    id     integer primary key,
    entry  integer not null unique references entry (id),
    name   text    not null unique,
    kind   text    not null,
    oven   text,
    note   text    not null
) strict;

create table probe (
    id                  integer primary key,
    entry               integer not null unique references entry (id),
    name                text    not null unique,
    accuracy            integer check (accuracy >= 0),
    accuracy_scale      text    check (accuracy_scale in ('F', 'C')),
    display_step        integer check (display_step >= 0),
    display_step_scale  text    check (display_step_scale in ('F', 'C')),
    note                text    not null,
    check ((accuracy is null) = (accuracy_scale is null)),
    check ((display_step is null) = (display_step_scale is null))
) strict;

create table lot (
    id                 integer primary key,
    entry              integer not null unique references entry (id),
    name               text    not null unique,
    food               text    not null,
    description        text    not null,
    mass_g             integer check (mass_g > 0),
    thickness_um       integer check (thickness_um > 0),
    container          text    not null,
    made_from_ambient  integer not null check (made_from_ambient in (0, 1)),
    made_on            integer,              -- days since 1970-01-01, the site's own calendar
    opened_at          integer not null
) strict;

create table stage_entry (
    id             integer primary key,
    entry          integer not null unique references entry (id),
    lot            integer not null references lot (id),
    stage          text    not null,
    from_at        integer not null,
    unit           integer references unit (id),
    setting        integer,
    setting_scale  text    check (setting_scale in ('F', 'C')),
    oven           text,
    form           text    not null check (form in ('4h', '6h')),
    unique (lot, from_at),
    check ((setting is null) = (setting_scale is null))
) strict;

create table lot_end (
    id       integer primary key,
    entry    integer not null unique references entry (id),
    lot      integer not null unique references lot (id),
    outcome  text    not null,
    at       integer not null
) strict;

-- A probe reads a lot's point or a unit's air from `from_at` until it is lifted.
create table placement (
    id       integer primary key,
    entry    integer not null unique references entry (id),
    probe    integer not null references probe (id),
    lot      integer references lot (id),
    point    text,
    unit     integer references unit (id),
    from_at  integer not null,
    check ((lot is null) <> (unit is null)),
    check ((lot is null) = (point is null))
) strict;
create index placement_by_probe on placement (probe);
create index placement_by_lot on placement (lot);
create index placement_by_unit on placement (unit);

create table lift (
    id         integer primary key,
    entry      integer not null unique references entry (id),
    placement  integer not null unique references placement (id),
    at         integer not null
) strict;

create table typed_reading (
    id         integer primary key,
    entry      integer not null unique references entry (id),
    lot        integer references lot (id),
    point      text,
    unit       integer references unit (id),
    at         integer not null,
    value      integer not null,
    scale      text    not null check (scale in ('F', 'C')),
    probe      integer references probe (id),
    watched_s  integer not null check (watched_s between 0 and 65535),
    check ((lot is null) <> (unit is null)),
    check ((lot is null) = (point is null))
) strict;
create index typed_reading_by_lot on typed_reading (lot, at);
create index typed_reading_by_unit on typed_reading (unit, at);

create table import (
    id       integer primary key,
    entry    integer not null unique references entry (id),
    name     text    not null,               -- of the file
    sha256   blob    not null check (length(sha256) = 32),
    bytes    integer not null,
    mapping  text    not null                -- how its columns were read
) strict;
create index import_by_sha256 on import (sha256);

-- Written when an import came to its end; one without it was broken off.
create table import_end (
    id            integer primary key,
    entry         integer not null unique references entry (id),
    import        integer not null unique references import (id),
    source_rows   integer not null,
    added         integer not null,
    duplicates    integer not null,
    conflicts     integer not null,
    rejected      integer not null,
    out_of_order  integer not null
) strict;

-- What many readings have in common. A batch counts in steps: most thermometers show tenths of a
-- degree, and a small number takes few bytes.
create table batch (
    id      integer primary key,
    entry   integer not null references entry (id),
    import  integer references import (id),
    scale   text    not null check (scale in ('F', 'C')),
    step    integer not null check (step > 0)  -- thousandths of a degree
) strict;

-- The logged readings, clustered by probe and instant: both are one number, so that a row takes few
-- bytes and one comparison. `logged` below shows them plainly.
create table reading (
    key    integer primary key,              -- probe * 2^42 + instant
    value  integer not null,                 -- in steps of its batch
    batch  integer not null                  -- no foreign key: it would be looked up for every row
) strict;

create view logged as
    select reading.key >> 42 as probe, reading.key & 4398046511103 as at,
           reading.value * batch.step as thousandths, batch.scale, reading.batch
    from reading join batch on batch.id = reading.batch;

-- Another value for a probe and instant that `reading` holds.
create table conflict (
    probe  integer not null,
    at     integer not null,
    value  integer not null,
    scale  text    not null check (scale in ('F', 'C')),
    batch  integer not null references batch (id),
    primary key (probe, at, value, scale)
) strict, without rowid;

create table reject (
    id      integer primary key,
    import  integer not null references import (id),
    line    integer not null,
    text    blob    not null,                -- as it stood in the source, perhaps not UTF-8
    reason  text    not null
) strict;
create index reject_by_import on reject (import, line);
