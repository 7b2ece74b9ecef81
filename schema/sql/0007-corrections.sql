-- What was amended, confirmed or set aside, and why. An amendment holds the whole of what is true now;
-- what was written before stays where it stands. Of several amendments of one record the last holds.
-- The views `..._now` show the records as amended; judgements read those.

-- Beside any entry: that it was made for somebody else, or why it was made late.
create table entry_remark (
    id        integer primary key,
    entry     integer not null unique references entry (id),
    taken_by  text    check (length(trim(taken_by)) > 0),  -- who took the reading or did the work
    why_late  text    check (length(trim(why_late)) > 0),
    check (taken_by is not null or why_late is not null)
) strict;

create table reading_amendment (
    id         integer primary key,
    entry      integer not null unique references entry (id),
    reading    integer not null references typed_reading (id),
    why        text    not null check (length(trim(why)) > 0),
    void       integer not null check (void in (0, 1)),
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
create index reading_amendment_by_reading on reading_amendment (reading);
create index reading_amendment_by_lot on reading_amendment (lot, at);
create index reading_amendment_by_unit on reading_amendment (unit, at);

create table stage_amendment (
    id             integer primary key,
    entry          integer not null unique references entry (id),
    stage_entry    integer not null references stage_entry (id),
    why            text    not null check (length(trim(why)) > 0),
    void           integer not null check (void in (0, 1)),
    lot            integer not null references lot (id),
    stage          text    not null,
    from_at        integer not null,
    unit           integer references unit (id),
    setting        integer,
    setting_scale  text    check (setting_scale in ('F', 'C')),
    oven           text,
    form           text    not null check (form in ('4h', '6h')),
    check ((setting is null) = (setting_scale is null))
) strict;
create index stage_amendment_by_stage_entry on stage_amendment (stage_entry);
create index stage_amendment_by_lot on stage_amendment (lot);

create table lot_amendment (
    id                 integer primary key,
    entry              integer not null unique references entry (id),
    lot                integer not null references lot (id),
    why                text    not null check (length(trim(why)) > 0),
    food               text    not null,
    description        text    not null,
    mass_g             integer check (mass_g > 0),
    thickness_um       integer check (thickness_um > 0),
    container          text    not null,
    made_from_ambient  integer not null check (made_from_ambient in (0, 1)),
    made_on            integer
) strict;
create index lot_amendment_by_lot on lot_amendment (lot);

create table end_amendment (
    id       integer primary key,
    entry    integer not null unique references entry (id),
    lot_end  integer not null references lot_end (id),
    why      text    not null check (length(trim(why)) > 0),
    void     integer not null check (void in (0, 1)),
    lot      integer not null references lot (id),
    outcome  text    not null,
    at       integer not null
) strict;
create index end_amendment_by_lot_end on end_amendment (lot_end);
create index end_amendment_by_lot on end_amendment (lot);

-- `to_at` is null where the amendment leaves the end of the placement as it was or will be lifted.
create table placement_amendment (
    id         integer primary key,
    entry      integer not null unique references entry (id),
    placement  integer not null references placement (id),
    why        text    not null check (length(trim(why)) > 0),
    void       integer not null check (void in (0, 1)),
    from_at    integer not null,
    to_at      integer
) strict;
create index placement_amendment_by_placement on placement_amendment (placement);

-- Readings that a person vouches for or sets aside: one typed reading, or what a probe logged in
-- [from_at, to_at]. Of several marks on one reading the last holds.
create table reading_mark (
    id       integer primary key,
    entry    integer not null unique references entry (id),
    mark     text    not null check (mark in ('confirmed', 'set-aside')),
    why      text    not null check (length(trim(why)) > 0),
    reading  integer references typed_reading (id),
    probe    integer references probe (id),
    from_at  integer,
    to_at    integer,
    check ((reading is null) <> (probe is null)),
    check ((probe is null) = (from_at is null)),
    check ((probe is null) = (to_at is null)),
    check (from_at is null or from_at <= to_at)
) strict;
create index reading_mark_by_reading on reading_mark (reading);
create index reading_mark_by_probe on reading_mark (probe);

-- A second person agrees that the readings do not count.
create table mark_verification (
    id     integer primary key,
    entry  integer not null unique references entry (id),
    mark   integer not null unique references reading_mark (id)
) strict;

create view typed_reading_now as
    select r.id, r.entry, r.lot, r.point, r.unit, r.at, r.value, r.scale, r.probe, r.watched_s
    from typed_reading r
    where not exists (select 1 from reading_amendment where reading = r.id)
    union all
    select r.id, r.entry, a.lot, a.point, a.unit, a.at, a.value, a.scale, a.probe, a.watched_s
    from reading_amendment a join typed_reading r on r.id = a.reading
    where a.void = 0 and a.id = (select max(id) from reading_amendment where reading = a.reading);

create view stage_entry_now as
    select s.id, s.entry, s.lot, s.stage, s.from_at, s.unit, s.setting, s.setting_scale, s.oven,
           s.form
    from stage_entry s
    where not exists (select 1 from stage_amendment where stage_entry = s.id)
    union all
    select s.id, s.entry, s.lot, a.stage, a.from_at, a.unit, a.setting, a.setting_scale, a.oven,
           a.form
    from stage_amendment a join stage_entry s on s.id = a.stage_entry
    where a.void = 0
          and a.id = (select max(id) from stage_amendment where stage_entry = a.stage_entry);

create view lot_now as
    select l.id, l.entry, l.name, l.food, l.description, l.mass_g, l.thickness_um, l.container,
           l.made_from_ambient, l.made_on, l.opened_at
    from lot l
    where not exists (select 1 from lot_amendment where lot = l.id)
    union all
    select l.id, l.entry, l.name, a.food, a.description, a.mass_g, a.thickness_um, a.container,
           a.made_from_ambient, a.made_on, l.opened_at
    from lot_amendment a join lot l on l.id = a.lot
    where a.id = (select max(id) from lot_amendment where lot = a.lot);

create view lot_end_now as
    select x.id, x.entry, x.lot, x.outcome, x.at
    from lot_end x
    where not exists (select 1 from end_amendment where lot_end = x.id)
    union all
    select x.id, x.entry, x.lot, a.outcome, a.at
    from end_amendment a join lot_end x on x.id = a.lot_end
    where a.void = 0 and a.id = (select max(id) from end_amendment where lot_end = a.lot_end);

-- A placement with its lift, as first recorded.
create view placement_first as
    select m.id, m.entry, m.probe, m.lot, m.point, m.unit, m.from_at, t.at as to_at
    from placement m left join lift t on t.placement = m.id;

create view placement_now as
    select f.id, f.entry, f.probe, f.lot, f.point, f.unit, f.from_at, f.to_at
    from placement_first f
    where not exists (select 1 from placement_amendment where placement = f.id)
    union all
    select f.id, f.entry, f.probe, f.lot, f.point, f.unit, a.from_at, coalesce(a.to_at, f.to_at)
    from placement_amendment a join placement_first f on f.id = a.placement
    where a.void = 0
          and a.id = (select max(id) from placement_amendment where placement = a.placement);

create trigger entry_remark_no_update before update on entry_remark
begin
    select raise(abort, 'records are never changed');
end;
create trigger entry_remark_no_delete before delete on entry_remark
begin
    select raise(abort, 'records are never removed');
end;
create trigger entry_remark_no_replace before insert on entry_remark
    when exists (select 1 from entry_remark where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger reading_amendment_no_update before update on reading_amendment
begin
    select raise(abort, 'records are never changed');
end;
create trigger reading_amendment_no_delete before delete on reading_amendment
begin
    select raise(abort, 'records are never removed');
end;
create trigger reading_amendment_no_replace before insert on reading_amendment
    when exists (select 1 from reading_amendment where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger stage_amendment_no_update before update on stage_amendment
begin
    select raise(abort, 'records are never changed');
end;
create trigger stage_amendment_no_delete before delete on stage_amendment
begin
    select raise(abort, 'records are never removed');
end;
create trigger stage_amendment_no_replace before insert on stage_amendment
    when exists (select 1 from stage_amendment where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger lot_amendment_no_update before update on lot_amendment
begin
    select raise(abort, 'records are never changed');
end;
create trigger lot_amendment_no_delete before delete on lot_amendment
begin
    select raise(abort, 'records are never removed');
end;
create trigger lot_amendment_no_replace before insert on lot_amendment
    when exists (select 1 from lot_amendment where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger end_amendment_no_update before update on end_amendment
begin
    select raise(abort, 'records are never changed');
end;
create trigger end_amendment_no_delete before delete on end_amendment
begin
    select raise(abort, 'records are never removed');
end;
create trigger end_amendment_no_replace before insert on end_amendment
    when exists (select 1 from end_amendment where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger placement_amendment_no_update before update on placement_amendment
begin
    select raise(abort, 'records are never changed');
end;
create trigger placement_amendment_no_delete before delete on placement_amendment
begin
    select raise(abort, 'records are never removed');
end;
create trigger placement_amendment_no_replace before insert on placement_amendment
    when exists (select 1 from placement_amendment where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger reading_mark_no_update before update on reading_mark
begin
    select raise(abort, 'records are never changed');
end;
create trigger reading_mark_no_delete before delete on reading_mark
begin
    select raise(abort, 'records are never removed');
end;
create trigger reading_mark_no_replace before insert on reading_mark
    when exists (select 1 from reading_mark where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger mark_verification_no_update before update on mark_verification
begin
    select raise(abort, 'records are never changed');
end;
create trigger mark_verification_no_delete before delete on mark_verification
begin
    select raise(abort, 'records are never removed');
end;
create trigger mark_verification_no_replace before insert on mark_verification
    when exists (select 1 from mark_verification where id = new.id or entry = new.entry or mark = new.mark)
begin
    select raise(abort, 'a record with this key is there already');
end;
