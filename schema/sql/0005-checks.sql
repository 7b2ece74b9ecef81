-- Checks of thermometers: made, due and missed.

-- A check of a thermometer: what it showed (as found) against what was true, and, if it was
-- adjusted, what it showed then (as left). Temperatures are in the scale it showed.
create table probe_check (
    id               integer primary key,
    entry            integer not null unique references entry (id),
    probe            integer not null references probe (id),
    at               integer not null,
    method           text    not null,
    scale            text    not null check (scale in ('F', 'C')),
    found            integer not null,
    expected         integer not null,
    pressure_pa      integer,               -- at the place; for a boiling point
    altitude_um      integer,               -- for one without a pressure
    altitude_in      text    check (altitude_in in ('m', 'ft')),
    reference        text    not null,
    certificate      text    not null,
    as_left          integer,
    tolerance        integer not null check (tolerance > 0),
    tolerance_scale  text    not null check (tolerance_scale in ('F', 'C')),
    person           text    not null,
    note             text    not null,
    check ((altitude_um is null) = (altitude_in is null))
) strict;
create index probe_check_by_probe on probe_check (probe, at);

-- How often thermometers are checked, and from when that holds; without a probe, every one that has
-- no rule of its own.
create table check_schedule (
    id       integer primary key,
    entry    integer not null unique references entry (id),
    from_at  integer not null,
    probe    integer references probe (id),
    days     integer not null check (days >= 0),
    months   integer not null check (months >= 0),
    ended    integer not null check (ended in (0, 1)),
    source   text    not null,
    check ((days > 0) + (months > 0) + ended = 1)
) strict;

-- A check that was due and not made. It stays when one is made later.
create table missed_check (
    id      integer primary key,
    entry   integer not null unique references entry (id),
    probe   integer not null references probe (id),
    due_at  integer not null,
    unique (probe, due_at)
) strict;

create trigger probe_check_no_update before update on probe_check
begin
    select raise(abort, 'records are never changed');
end;
create trigger probe_check_no_delete before delete on probe_check
begin
    select raise(abort, 'records are never removed');
end;
create trigger probe_check_no_replace before insert on probe_check
    when exists (select 1 from probe_check where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger check_schedule_no_update before update on check_schedule
begin
    select raise(abort, 'records are never changed');
end;
create trigger check_schedule_no_delete before delete on check_schedule
begin
    select raise(abort, 'records are never removed');
end;
create trigger check_schedule_no_replace before insert on check_schedule
    when exists (select 1 from check_schedule where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger missed_check_no_update before update on missed_check
begin
    select raise(abort, 'records are never changed');
end;
create trigger missed_check_no_delete before delete on missed_check
begin
    select raise(abort, 'records are never removed');
end;
create trigger missed_check_no_replace before insert on missed_check
    when exists (
        select 1 from missed_check where id = new.id or entry = new.entry
          or (probe = new.probe and due_at = new.due_at))
begin
    select raise(abort, 'a record with this key is there already');
end;
