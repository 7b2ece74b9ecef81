-- What a kitchen notes beside its lots: receiving, waste, systems seen working, papers kept on file,
-- and what was entered afterwards from forms filled in by pen.

-- One line of a delivery. A row that names another in instead_of puts that right.
create table receipt (
    id            integer primary key,
    entry         integer not null unique references entry (id),
    at            integer not null,
    supplier      text    not null,
    supplier_lot  text    not null,
    product       text    not null,
    received_as   text    not null check (received_as in ('cold', 'hot', 'frozen', 'other')),
    value         integer,                    -- thousandths of a degree of the scale
    scale         text    check (scale in ('F', 'C')),
    probe         integer references probe (id),
    frozen_solid  integer check (frozen_solid in (0, 1)),
    amount        integer check (amount > 0), -- thousandths of amount_unit
    amount_unit   text,
    accepted      integer not null check (accepted in (0, 1)),
    reason        text    not null,
    note          text    not null,
    instead_of    integer unique references receipt (id),
    why           text    not null,
    check ((value is null) = (scale is null)),
    check ((amount is null) = (amount_unit is null))
) strict;

-- What went into the bin: of a lot, or of food that was none.
create table waste (
    id           integer primary key,
    entry        integer not null unique references entry (id),
    at           integer not null,
    lot          integer references lot (id),
    product      text    not null,
    amount       integer not null check (amount > 0),
    amount_unit  text    not null,
    reason       text    not null,
    instead_of   integer unique references waste (id),
    why          text    not null
) strict;
create index waste_by_lot on waste (lot);

-- A person saw whether a system that records by itself works, and signed for it.
create table working_check (
    id       integer primary key,
    entry    integer not null unique references entry (id),
    at       integer not null,
    unit     integer not null references unit (id),
    working  integer not null check (working in (0, 1)),
    value    integer,                         -- what its display said
    scale    text    check (scale in ('F', 'C')),
    note     text    not null,
    signer   text    not null,                -- printed name
    check ((value is null) = (scale is null))
) strict;

-- Texts kept on file, each version a row.
create table paper (
    id       integer primary key,
    entry    integer not null unique references entry (id),
    name     text    not null,
    version  integer not null check (version > 0),
    kind     text    not null,
    title    text    not null,
    text     text    not null,
    unique (name, version)
) strict;

-- A form that was filled in by pen and entered afterwards. The sheet of paper stays the original;
-- kept_at says where it is, sha256 what was read from it (the rows as they were typed).
create table filled_form (
    id          integer primary key,
    entry       integer not null unique references entry (id),
    form        text    not null,
    written_by  text    not null,             -- who filled the form in
    kept_at     text    not null,
    sha256      blob    not null unique check (length(sha256) = 32)
) strict;

-- One row of it, and the record that it became.
create table transcribed (
    id          integer primary key,
    entry       integer not null references entry (id),  -- the filled form's
    filled_form  integer not null references filled_form (id),
    row         integer not null check (row > 0),
    record      integer not null references entry (id),  -- that of the reading
    written_by  text    not null,             -- initials on that row; empty: as the form
    words       text    not null,             -- the row as it was typed
    unique (filled_form, row)
) strict;
create index transcribed_by_entry on transcribed (entry);
create index transcribed_by_record on transcribed (record);

create trigger receipt_no_update before update on receipt
begin
    select raise(abort, 'records are never changed');
end;
create trigger receipt_no_delete before delete on receipt
begin
    select raise(abort, 'records are never removed');
end;
create trigger receipt_no_replace before insert on receipt
    when exists (
        select 1 from receipt
        where id = new.id or entry = new.entry or instead_of = new.instead_of)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger waste_no_update before update on waste
begin
    select raise(abort, 'records are never changed');
end;
create trigger waste_no_delete before delete on waste
begin
    select raise(abort, 'records are never removed');
end;
create trigger waste_no_replace before insert on waste
    when exists (
        select 1 from waste
        where id = new.id or entry = new.entry or instead_of = new.instead_of)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger working_check_no_update before update on working_check
begin
    select raise(abort, 'records are never changed');
end;
create trigger working_check_no_delete before delete on working_check
begin
    select raise(abort, 'records are never removed');
end;
create trigger working_check_no_replace before insert on working_check
    when exists (
        select 1 from working_check
        where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger paper_no_update before update on paper
begin
    select raise(abort, 'records are never changed');
end;
create trigger paper_no_delete before delete on paper
begin
    select raise(abort, 'records are never removed');
end;
create trigger paper_no_replace before insert on paper
    when exists (
        select 1 from paper
        where id = new.id or entry = new.entry or (name = new.name and version = new.version))
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger filled_form_no_update before update on filled_form
begin
    select raise(abort, 'records are never changed');
end;
create trigger filled_form_no_delete before delete on filled_form
begin
    select raise(abort, 'records are never removed');
end;
create trigger filled_form_no_replace before insert on filled_form
    when exists (
        select 1 from filled_form
        where id = new.id or entry = new.entry or (sha256 = new.sha256))
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger transcribed_no_update before update on transcribed
begin
    select raise(abort, 'records are never changed');
end;
create trigger transcribed_no_delete before delete on transcribed
begin
    select raise(abort, 'records are never removed');
end;
create trigger transcribed_no_replace before insert on transcribed
    when exists (
        select 1 from transcribed
        where id = new.id or (filled_form = new.filled_form and row = new.row))
begin
    select raise(abort, 'a record with this key is there already');
end;
