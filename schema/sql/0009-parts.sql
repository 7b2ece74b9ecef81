-- Lots split and merged, and the usual lots a kitchen opens.

-- Lots became others: one split into parts, or several merged into one. The rows of one parting
-- share its entry.
create table parting (
    id     integer primary key,
    entry  integer not null unique references entry (id),
    kind   text    not null check (kind in ('split', 'merge')),
    at     integer not null,
    form   text    not null check (form in ('whole', 'sliced', 'pulled', 'portioned'))
) strict;

-- A lot is made by one parting at most, and becomes others in one at most.
create table parting_lot (
    id       integer primary key,
    entry    integer not null references entry (id),
    parting  integer not null references parting (id),
    side     text    not null check (side in ('from', 'into')),
    lot      integer not null references lot (id),
    mass_g   integer check (mass_g > 0),
    unique (lot, side)
) strict;
create index parting_lot_by_parting on parting_lot (parting);

-- What did not come through, and why.
create table parting_loss (
    id       integer primary key,
    entry    integer not null references entry (id),
    parting  integer not null references parting (id),
    name     text    not null,
    mass_g   integer not null check (mass_g > 0)
) strict;
create index parting_loss_by_parting on parting_loss (parting);

-- A lot as a kitchen usually opens it. The last row of a name holds.
create table lot_template (
    id                 integer primary key,
    entry              integer not null unique references entry (id),
    name               text    not null,
    food               text    not null,
    description        text    not null,
    mass_g             integer check (mass_g > 0),
    container          text    not null,
    made_from_ambient  integer not null check (made_from_ambient in (0, 1)),
    stage              text,
    unit               integer references unit (id),
    setting            integer,
    setting_scale      text    check (setting_scale in ('F', 'C')),
    plan               text    not null,
    ended              integer not null check (ended in (0, 1))
) strict;

create trigger parting_no_update before update on parting
begin
    select raise(abort, 'records are never changed');
end;
create trigger parting_no_delete before delete on parting
begin
    select raise(abort, 'records are never removed');
end;
create trigger parting_no_replace before insert on parting
    when exists (select 1 from parting where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger parting_lot_no_update before update on parting_lot
begin
    select raise(abort, 'records are never changed');
end;
create trigger parting_lot_no_delete before delete on parting_lot
begin
    select raise(abort, 'records are never removed');
end;
create trigger parting_lot_no_replace before insert on parting_lot
    when exists (select 1 from parting_lot where id = new.id or (lot = new.lot and side = new.side))
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger parting_loss_no_update before update on parting_loss
begin
    select raise(abort, 'records are never changed');
end;
create trigger parting_loss_no_delete before delete on parting_loss
begin
    select raise(abort, 'records are never removed');
end;
create trigger parting_loss_no_replace before insert on parting_loss
    when exists (select 1 from parting_loss where id = new.id)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger lot_template_no_update before update on lot_template
begin
    select raise(abort, 'records are never changed');
end;
create trigger lot_template_no_delete before delete on lot_template
begin
    select raise(abort, 'records are never removed');
end;
create trigger lot_template_no_replace before insert on lot_template
    when exists (select 1 from lot_template where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;
