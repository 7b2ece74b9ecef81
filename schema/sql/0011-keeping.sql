-- How long records are kept, and what was purged after that.

-- The rules that bind the site (schema/keeping/retention.toml), one a row; the latest entry holds.
create table retention_choice (
    id     integer primary key,
    entry  integer not null references entry (id),
    rule   text    not null,
    unique (entry, rule)
) strict;

-- A tombstone: what was removed, by whose key. The signature is over the text that
-- docs/formats/history.md gives.
create table purge (
    id          integer primary key,
    entry       integer not null unique references entry (id),
    before_at   integer not null,             -- what was removed was over before this
    rules       text    not null,             -- the rule that counted, and its months
    leaves      integer not null check (leaves > 0),
    sha256      blob    not null check (length(sha256) = 32), -- over the leaves' hashes, in order
    public_key  blob    not null check (length(public_key) = 32),
    signature   blob    not null check (length(signature) = 64)
) strict;

-- The leaves whose records are gone. Their hashes stay in the history.
create table purged_leaf (
    id     integer primary key,
    entry  integer not null references entry (id),
    leaf   integer not null unique
) strict;
create index purged_leaf_by_entry on purged_leaf (entry);

create trigger retention_choice_no_update before update on retention_choice
begin
    select raise(abort, 'records are never changed');
end;
create trigger retention_choice_no_delete before delete on retention_choice
begin
    select raise(abort, 'records are never removed');
end;
create trigger retention_choice_no_replace before insert on retention_choice
    when exists (
        select 1 from retention_choice
        where id = new.id or (entry = new.entry and rule = new.rule))
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger purge_no_update before update on purge
begin
    select raise(abort, 'records are never changed');
end;
create trigger purge_no_delete before delete on purge
begin
    select raise(abort, 'records are never removed');
end;
create trigger purge_no_replace before insert on purge
    when exists (select 1 from purge where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger purged_leaf_no_update before update on purged_leaf
begin
    select raise(abort, 'records are never changed');
end;
create trigger purged_leaf_no_delete before delete on purged_leaf
begin
    select raise(abort, 'records are never removed');
end;
create trigger purged_leaf_no_replace before insert on purged_leaf
    when exists (select 1 from purged_leaf where id = new.id or leaf = new.leaf)
begin
    select raise(abort, 'a record with this key is there already');
end;
