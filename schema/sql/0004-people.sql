-- Who works here: names, roles, and what they sign with.

-- A person as described: the latest row holds. `person` itself (0001) is written at the first entry
-- that somebody makes.
create table person_fact (
    id                integer primary key,
    entry             integer not null unique references entry (id),
    person            integer not null references person (id),
    printed_name      text    not null,
    logger            integer not null check (logger in (0, 1)),
    person_in_charge  integer not null check (person_in_charge in (0, 1)),
    reviewer          integer not null check (reviewer in (0, 1)),
    active            integer not null check (active in (0, 1))
) strict;
create index person_fact_by_person on person_fact (person);

-- What keeps a PIN: an Argon2id text (RFC 9106). The latest row holds, the older ones stay. This
-- table goes into no packet and no export.
create table person_pin (
    id      integer primary key,
    entry   integer not null unique references entry (id),
    person  integer not null references person (id),
    hash    text    not null
) strict;
create index person_pin_by_person on person_pin (person);

-- Every try at a PIN, right or wrong; its entry is by nobody, because who tried is the question.
create table pin_attempt (
    id       integer primary key,
    entry    integer not null unique references entry (id),
    person   integer not null references person (id),  -- whose PIN was tried
    is_right integer not null check (is_right in (0, 1)),
    purpose  text    not null
) strict;
create index pin_attempt_by_person on pin_attempt (person);

-- Whether one person works here alone, so that nobody else can verify.
create table one_person (
    id     integer primary key,
    entry  integer not null unique references entry (id),
    alone  integer not null check (alone in (0, 1)),
    why    text    not null
) strict;

create trigger person_fact_no_update before update on person_fact
begin
    select raise(abort, 'records are never changed');
end;
create trigger person_fact_no_delete before delete on person_fact
begin
    select raise(abort, 'records are never removed');
end;
create trigger person_fact_no_replace before insert on person_fact
    when exists (select 1 from person_fact where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger person_pin_no_update before update on person_pin
begin
    select raise(abort, 'records are never changed');
end;
create trigger person_pin_no_delete before delete on person_pin
begin
    select raise(abort, 'records are never removed');
end;
create trigger person_pin_no_replace before insert on person_pin
    when exists (select 1 from person_pin where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger pin_attempt_no_update before update on pin_attempt
begin
    select raise(abort, 'records are never changed');
end;
create trigger pin_attempt_no_delete before delete on pin_attempt
begin
    select raise(abort, 'records are never removed');
end;
create trigger pin_attempt_no_replace before insert on pin_attempt
    when exists (select 1 from pin_attempt where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger one_person_no_update before update on one_person
begin
    select raise(abort, 'records are never changed');
end;
create trigger one_person_no_delete before delete on one_person
begin
    select raise(abort, 'records are never removed');
end;
create trigger one_person_no_replace before insert on one_person
    when exists (select 1 from one_person where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;
