-- A store made from a packet: the leaves whose records the packet left out, and what its maker signed.
-- Like `history` these are no records of the kitchen's and in no leaf: the history comes to the root
-- that it had where the packet was made. docs/formats/history.md.

create table kept_elsewhere (
    leaf  integer primary key,
    why   text    not null                   -- as the packet says
) strict;

-- The packet's list of files, as signed: it holds the digest over what the packet says of each leaf.
create table made_from_packet (
    id          integer primary key check (id = 1),
    leaves      integer not null check (leaves > 0),
    manifest    text    not null,
    signature   blob    not null check (length(signature) = 64),
    public_key  blob    not null check (length(public_key) = 32)
) strict;

create trigger kept_elsewhere_no_update before update on kept_elsewhere
begin
    select raise(abort, 'records are never changed');
end;
create trigger kept_elsewhere_no_delete before delete on kept_elsewhere
begin
    select raise(abort, 'records are never removed');
end;
create trigger kept_elsewhere_no_replace before insert on kept_elsewhere
    when exists (select 1 from kept_elsewhere where leaf = new.leaf)
begin
    select raise(abort, 'a record with this key is there already');
end;

create trigger made_from_packet_no_update before update on made_from_packet
begin
    select raise(abort, 'records are never changed');
end;
create trigger made_from_packet_no_delete before delete on made_from_packet
begin
    select raise(abort, 'records are never removed');
end;
create trigger made_from_packet_no_replace before insert on made_from_packet
    when exists (select 1 from made_from_packet where id = new.id)
begin
    select raise(abort, 'a record with this key is there already');
end;
