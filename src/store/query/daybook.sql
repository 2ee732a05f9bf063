-- The truth: entries, the tree over them, signed heads, attachment and piece bytes.

-- name: daybook_append
insert into daybook (seq, uuid, cause, happened_ms, recorded_ms, offset_min, day, device, clock_ms,
  person, kind, version, digest, body, leaf)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14, ?15);

-- name: daybook_by_uuid
select seq, uuid, cause, happened_ms, recorded_ms, offset_min, day, device, clock_ms, person, kind,
  version, digest, body, leaf
from daybook where uuid = ?1;

-- name: daybook_by_seq
select seq, uuid, cause, happened_ms, recorded_ms, offset_min, day, device, clock_ms, person, kind,
  version, digest, body, leaf
from daybook where seq = ?1;

-- name: daybook_last
select seq, uuid, cause, happened_ms, recorded_ms, offset_min, day, device, clock_ms, person, kind,
  version, digest, body, leaf
from daybook order by seq desc limit 1;

-- name: daybook_after
select seq, uuid, cause, happened_ms, recorded_ms, offset_min, day, device, clock_ms, person, kind,
  version, digest, body, leaf
from daybook where seq > ?1 order by seq;

-- name: daybook_caused_by
select seq, uuid, cause, happened_ms, recorded_ms, offset_min, day, device, clock_ms, person, kind,
  version, digest, body, leaf
from daybook where cause = ?1 order by seq;

-- name: tree_get
select size, peaks from tree where one = 1;

-- name: tree_put
insert into tree (one, size, peaks) values (1, ?1, ?2)
on conflict (one) do update set size = excluded.size, peaks = excluded.peaks;

-- name: head_put
insert into head (size, root, signed_ms, why, public_key, signature)
values (?1, ?2, ?3, ?4, ?5, ?6);

-- name: head_last
select size, root, signed_ms, why, public_key, signature from head order by size desc limit 1;

-- name: head_all
select size, root, signed_ms, why, public_key, signature from head order by size;

-- name: blob_put
insert into blob (sha256, kind, name, size, bytes) values (?1, ?2, ?3, ?4, ?5)
on conflict (sha256) do nothing;

-- name: blob_get
select sha256, kind, name, size, bytes from blob where sha256 = ?1;

-- name: blob_all
select sha256, kind, name, size from blob order by sha256;

-- name: daybook_of_kind
select seq, uuid, cause, happened_ms, recorded_ms, offset_min, day, device, clock_ms, person, kind, version, digest, body, leaf
from daybook where kind = ?1 order by seq;

-- name: head_by_size
select size, root, signed_ms, why, public_key, signature from head where size = ?1;
