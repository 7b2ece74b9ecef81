-- Corrective actions, their verification, and signed reviews.

-- What was done about a flag. `flag` is the id that judging gives it, which stays the same as
-- readings arrive. An action that adds to another, or says it otherwise, supersedes it.
create table corrective_action (
    id             integer primary key,
    entry          integer not null unique references entry (id),
    lot            integer not null references lot (id),
    flag           text    not null,
    deviation      text    not null,          -- what went wrong, where no limit tells
    at             integer not null,          -- when it was done
    person         text    not null,          -- who did it; the entry says who entered it
    done           text    not null,
    amount         integer check (amount > 0), -- thousandths of amount_unit
    amount_unit    text,
    disposition    text,
    shown_from     integer,                   -- when the stage began whose readings show it
    cause          text    not null,
    control        text    not null,
    prevention     text    not null,
    held_apart     text    not null,
    acceptability  text    not null,
    reassessment   text    not null,
    supersedes     integer unique references corrective_action (id),
    why            text    not null,
    check ((amount is null) = (amount_unit is null))
) strict;
create index corrective_action_by_lot on corrective_action (lot);

-- A second person's look at an action.
create table verification (
    id        integer primary key,
    entry     integer not null unique references entry (id),
    action    integer not null references corrective_action (id),
    accepted  integer not null check (accepted in (0, 1)),
    note      text    not null,
    alone     text    not null               -- why the one who did it verifies it
) strict;
create index verification_by_action on verification (action);

-- A signature under a lot or a period, bound to the digest of what was signed
-- (docs/formats/signed-content.md).
create table signature (
    id             integer primary key,
    entry          integer not null unique references entry (id),
    lot            integer references lot (id),   -- null: the period
    from_at        integer not null,
    to_at          integer not null,
    meaning        text    not null,
    name           text    not null,
    sha256         blob    not null check (length(sha256) = 32),
    alone          text    not null,              -- why somebody who made the record signs it
    unready        text    not null               -- why a lot is released that is not ready
) strict;
create index signature_by_lot on signature (lot);

-- By when a record is reviewed.
create table review_rule (
    id            integer primary key,
    entry         integer not null unique references entry (id),
    from_at       integer not null,
    days          integer not null check (days between 0 and 3650),
    working_days  integer not null check (working_days in (0, 1)),
    source        text    not null
) strict;

create trigger corrective_action_no_update before update on corrective_action
begin
    select raise(abort, 'records are never changed');
end;
create trigger corrective_action_no_delete before delete on corrective_action
begin
    select raise(abort, 'records are never removed');
end;
create trigger corrective_action_no_replace before insert on corrective_action
    when exists (
        select 1 from corrective_action
        where id = new.id or entry = new.entry or supersedes = new.supersedes)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger verification_no_update before update on verification
begin
    select raise(abort, 'records are never changed');
end;
create trigger verification_no_delete before delete on verification
begin
    select raise(abort, 'records are never removed');
end;
create trigger verification_no_replace before insert on verification
    when exists (select 1 from verification where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger signature_no_update before update on signature
begin
    select raise(abort, 'records are never changed');
end;
create trigger signature_no_delete before delete on signature
begin
    select raise(abort, 'records are never removed');
end;
create trigger signature_no_replace before insert on signature
    when exists (select 1 from signature where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger review_rule_no_update before update on review_rule
begin
    select raise(abort, 'records are never changed');
end;
create trigger review_rule_no_delete before delete on review_rule
begin
    select raise(abort, 'records are never removed');
end;
create trigger review_rule_no_replace before insert on review_rule
    when exists (select 1 from review_rule where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;
