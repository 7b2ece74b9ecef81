-- The history: one leaf of a hash tree (RFC 6962) for each entry, each batch of readings and each
-- block of rejects, in the order in which they were written. docs/formats/history.md says how a leaf
-- is made of its rows. A table of records must have a column `entry`, or the history does not see
-- it; columns added to a table later must be nullable, or old leaves no longer fit.

create table history (
    id    integer primary key,               -- 1, 2, 3, ...: leaf id - 1 of the tree
    what  text    not null check (what in ('entry', 'batch', 'reject')),
    ref   integer not null,                  -- id in that table; of a block of rejects, the last
    leaf  blob    not null check (length(leaf) = 32),
    -- The root of the largest perfect subtree that ends with this leaf, if larger than the leaf.
    node  blob    check (length(node) = 32)
) strict;

-- What was signed of the history, and by which key.
create table checkpoint (
    id          integer primary key,
    entry       integer not null unique references entry (id),
    text        text    not null,
    signature   blob    not null check (length(signature) = 64),
    public_key  blob    not null check (length(public_key) = 32)
) strict;

-- For the leaf of a batch.
create index conflict_by_batch on conflict (batch);

create trigger history_no_update before update on history
begin
    select raise(abort, 'records are never changed');
end;
create trigger history_no_delete before delete on history
begin
    select raise(abort, 'records are never removed');
end;
create trigger history_no_replace before insert on history
    when exists (select 1 from history where id = new.id)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger checkpoint_no_update before update on checkpoint
begin
    select raise(abort, 'records are never changed');
end;
create trigger checkpoint_no_delete before delete on checkpoint
begin
    select raise(abort, 'records are never removed');
end;
create trigger checkpoint_no_replace before insert on checkpoint
    when exists (select 1 from checkpoint where id = new.id or entry = new.entry)
begin
    select raise(abort, 'a record with this key is there already');
end;
