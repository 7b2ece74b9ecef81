-- A PIN set anew by who holds the signing key, because nobody in charge could sign any more. The
-- signature is over the text that docs/formats/history.md gives.

create table pin_reset (
    id          integer primary key,
    entry       integer not null unique references entry (id),
    person      integer not null references person (id),  -- whose PIN
    why         text    not null,
    public_key  blob    not null check (length(public_key) = 32),
    signature   blob    not null check (length(signature) = 64)
) strict;
create index pin_reset_by_person on pin_reset (person);

create trigger pin_reset_no_update before update on pin_reset
begin
    select raise(abort, 'records are never changed');
end;
create trigger pin_reset_no_delete before delete on pin_reset
begin
    select raise(abort, 'records are never removed');
end;
create trigger pin_reset_no_replace before insert on pin_reset
    when exists (select 1 from pin_reset where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;
