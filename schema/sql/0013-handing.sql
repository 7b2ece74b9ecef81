-- Lots handed to another kitchen, and lots taken in from one. `sha256` is of the signed file that
-- went along, `signer` the fingerprint of the key that signed it, both in hexadecimal digits.

create table handed_on (
    id       integer primary key,
    entry    integer not null unique references entry (id),
    lot      integer not null unique references lot (id),
    kitchen  text    not null,
    at       integer not null,
    sha256   text    not null unique check (length(sha256) = 64),
    signer   text    not null check (length(signer) = 64)
) strict;

create table taken_in (
    id            integer primary key,
    entry         integer not null unique references entry (id),
    lot           integer not null unique references lot (id),
    kitchen       text    not null,
    zone          text    not null,           -- of that kitchen, IANA name
    handed_on_at  integer not null,
    at            integer not null,
    sha256        text    not null unique check (length(sha256) = 64),
    signer        text    not null check (length(signer) = 64),
    file          blob    not null            -- as it came
) strict;

create trigger handed_on_no_update before update on handed_on
begin
    select raise(abort, 'records are never changed');
end;
create trigger handed_on_no_delete before delete on handed_on
begin
    select raise(abort, 'records are never removed');
end;
create trigger handed_on_no_replace before insert on handed_on
    when exists (
        select 1 from handed_on
        where id = new.id or entry = new.entry or lot = new.lot or sha256 = new.sha256)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger taken_in_no_update before update on taken_in
begin
    select raise(abort, 'records are never changed');
end;
create trigger taken_in_no_delete before delete on taken_in
begin
    select raise(abort, 'records are never removed');
end;
create trigger taken_in_no_replace before insert on taken_in
    when exists (
        select 1 from taken_in
        where id = new.id or entry = new.entry or lot = new.lot or sha256 = new.sha256)
begin
    select raise(abort, 'a record with this key is there already');
end;
