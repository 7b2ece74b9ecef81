-- What else a usual lot has: the band it is best to eat in, and the points it is read at.

alter table lot_template add column target_low integer;
alter table lot_template add column target_high integer;
alter table lot_template add column target_scale text;

create table lot_template_point (
    id        integer primary key,
    entry     integer not null references entry (id),  -- the template's
    template  integer not null references lot_template (id),
    point     text    not null,
    probe     integer references probe (id)
) strict;
create index lot_template_point_by_template on lot_template_point (template);

create trigger lot_template_point_no_update before update on lot_template_point
begin
    select raise(abort, 'records are never changed');
end;
create trigger lot_template_point_no_delete before delete on lot_template_point
begin
    select raise(abort, 'records are never removed');
end;
create trigger lot_template_point_no_replace before insert on lot_template_point
    when exists (select 1 from lot_template_point where id = new.id)
begin
    select raise(abort, 'a record with this key is there already');
end;
