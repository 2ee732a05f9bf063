-- What the server asks of the record for itself.

-- name: record_size
select coalesce(max(seq), 0) from daybook;
-- name: profile_entry_in_force
select entry from profile where struck is null and from_ms <= ?1 order by from_ms desc, entry desc limit 1;
-- name: daybook_effects_after
select seq, kind, body from daybook where seq > ?1 and seq <= ?2 order by seq;
-- name: daybook_kinds_after
select distinct kind from daybook where seq > ?1 and seq <= ?2 order by kind;
-- name: record_span
select (select recorded_ms from daybook order by seq limit 1), (select recorded_ms from daybook order by seq desc limit 1);
-- name: head_newest
select size, signed_ms from head order by size desc limit 1;
