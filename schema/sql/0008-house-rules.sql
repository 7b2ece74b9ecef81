-- The limits a site sets itself, its approved variances and its target bands. What is withdrawn
-- gets a row of its own that says from when and why.

alter table site_setting add column why text;

create table house_limit (
    id           integer primary key,
    entry        integer not null unique references entry (id),
    requirement  text    not null,           -- of the code, or 'largest-interval'
    at           integer,
    at_scale     text    check (at_scale in ('F', 'C')),
    within_ms    integer check (within_ms > 0),
    since        integer not null,
    why          text    not null,
    variance     text,                       -- reference of the approved plan or variance
    check ((at is null) = (at_scale is null)),
    check (at is not null or within_ms is not null)
) strict;

create table house_limit_end (
    id           integer primary key,
    entry        integer not null unique references entry (id),
    house_limit  integer not null unique references house_limit (id),
    from_at      integer not null,
    why          text    not null
) strict;

-- Where food is best to eat; no limit of safety.
create table target_band (
    id     integer primary key,
    entry  integer not null unique references entry (id),
    lot    integer references lot (id),
    unit   integer references unit (id),
    low    integer not null,
    high   integer not null,
    scale  text    not null check (scale in ('F', 'C')),
    since  integer not null,
    why    text    not null,
    check ((lot is null) <> (unit is null)),
    check (low < high)
) strict;

create table target_band_end (
    id           integer primary key,
    entry        integer not null unique references entry (id),
    target_band  integer not null unique references target_band (id),
    from_at      integer not null,
    why          text    not null
) strict;

create trigger house_limit_no_update before update on house_limit
begin
    select raise(abort, 'records are never changed');
end;
create trigger house_limit_no_delete before delete on house_limit
begin
    select raise(abort, 'records are never removed');
end;
create trigger house_limit_no_replace before insert on house_limit
    when exists (select 1 from house_limit where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;
create trigger house_limit_end_no_update before update on house_limit_end
begin
    select raise(abort, 'records are never changed');
end;
create trigger house_limit_end_no_delete before delete on house_limit_end
begin
    select raise(abort, 'records are never removed');
end;
create trigger house_limit_end_no_replace before insert on house_limit_end
    when exists (select 1 from house_limit_end where id = new.id or entry = new.entry or house_limit = new.house_limit)
begin
    select raise(abort, 'a record with this key is there already');
end;
create trigger target_band_no_update before update on target_band
begin
    select raise(abort, 'records are never changed');
end;
create trigger target_band_no_delete before delete on target_band
begin
    select raise(abort, 'records are never removed');
end;
create trigger target_band_no_replace before insert on target_band
    when exists (select 1 from target_band where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;
create trigger target_band_end_no_update before update on target_band_end
begin
    select raise(abort, 'records are never changed');
end;
create trigger target_band_end_no_delete before delete on target_band_end
begin
    select raise(abort, 'records are never removed');
end;
create trigger target_band_end_no_replace before insert on target_band_end
    when exists (select 1 from target_band_end where id = new.id or entry = new.entry or target_band = new.target_band)
begin
    select raise(abort, 'a record with this key is there already');
end;
