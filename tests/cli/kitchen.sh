# Makes the Larkspur Yard Smokehouse, an invented kitchen, in the current folder: holdwarden.db and files to
# go wrong with. Read by bad_input.sh, which sets $program.
set -euo pipefail
hw() { "$program" "$@"; }

hw init --name "Larkspur Yard Smokehouse" --zone America/Denver --altitude 5280ft --scale F --code us-fda-2022
hw probe add p1 --accuracy 1F
hw probe add p2
hw unit add cabinet --kind cabinet
hw lot open brisket-1 --food whole-cut --at "2026-10-31 17:00"
hw stage brisket-1 hot-holding 141F --unit cabinet --at "2026-10-31 18:00"
hw place p1 brisket-1 --at "2026-10-31 18:00"
hw lot open pork-1 --at "2026-10-31 17:00"
hw log pork-1 150F --at "2026-10-31 18:00"
printf 'time,p1_f\n2026-10-31T18:00:00-06:00,141.0\n2026-10-31T18:10:00-06:00,140.6\n' >good.csv
hw import good.csv

: >empty.csv
printf 'time,p1_f\n' >header-only.csv
head -c 4096 /dev/zero >zeros.csv
printf '\x7fELF\x02\x01\x01\x00\xff\xfe\x80time\n' >binary.csv
printf '\xff\xfet\x00i\x00m\x00e\x00,\x00p\x001\x00_\x00f\x00\n\x00' >utf16.csv
printf 'when,p1_f\n2026-10-31T18:00:00-06:00,141.0\n' >no-time.csv
printf 'time,note\n2026-10-31T18:00:00-06:00,warm\n' >no-temperature.csv
printf 'time,p1_f,p1_f\n2026-10-31T18:00:00-06:00,141.0,141.0\n' >twice.csv
printf 'time,temp\n2026-10-31T18:00:00-06:00,141.0\n' >no-scale.csv
printf 'time,p1_f\nyesterday,141.0\n2026-10-31T18:00:00-06:00,hot\n' >no-good-row.csv
printf 'time,p9_f\n2026-10-31T18:00:00-06:00,141.0\n' >unknown-probe.csv
printf 'time,p1_f\n2026-10-31 18:00,141.0\n' >local.csv
printf 'time,p1_f,stage\n2026-10-31T18:00:00-06:00,141.0,basking\n' >odd-stage.csv
printf 'time,p1_f,lot\n2026-10-31T18:00:00-06:00,141.0,pork-1\n' >two-lots.csv
mkdir folder
ln -s loop.csv loop.csv

sqlite3 foreign.db "create table guests (name text); insert into guests values ('not ours')"
cp holdwarden.db newer.db
sqlite3 newer.db 'pragma user_version = 9999'
sqlite3 holdwarden.db 'pragma wal_checkpoint(truncate)' >/dev/null
head -c 5000 holdwarden.db >truncated.db
cp holdwarden.db scribbled.db
printf 'scribble over the head of the file' | dd of=scribbled.db conv=notrunc status=none
printf 'this is a shopping list\n' >text.db
: >empty.db

# A lot that another kitchen handed on.
hw key new --key yard.pem
hw init --name Yard --zone UTC --store yard.db
hw lot open brisket-1 --store yard.db --at "2026-10-31 10:00"
hw stage brisket-1 cooking --store yard.db --at "2026-10-31 10:00"
hw hand-on brisket-1 --kitchen Tent -o yard.lot --key yard.pem --store yard.db --at "2026-10-31 18:00"
rm yard.db*
