-- Steps, runs and what went in and came out where.

-- name: lot_how
select how, uncertainty from movement where lot = ?1 and amount > 0 and unit = 'mg' and struck is null
order by entry, leg limit 1;
-- name: clean_before
select max(end_ms) from clean where place = ?1 and end_ms <= ?2 and valid = 1 and struck is null having max(end_ms) is not null;
-- name: place_inputs
select l.lot, l.mg, l.from_ms, l.to_ms from step s join step_lot l on l.step = s.id
where s.place = ?1 and s.start_ms <= ?3 and s.struck is null and l.side = 'in' and l.struck is null
  and l.to_ms >= ?2 and l.from_ms <= ?3 order by l.from_ms, l.lot;
-- name: place_outputs
select l.lot, l.from_ms, l.to_ms from step s join step_lot l on l.step = s.id
where s.place = ?1 and s.struck is null and l.side = 'out' and l.struck is null and l.to_ms >= ?2
  and not exists (select 1 from edge e where e.parent = ?3 and e.child = l.lot and e.struck is null)
order by l.from_ms, l.lot;
-- name: holds_on_run
select id from hold where run = ?1 and from_ms <= ?3 and to_ms >= ?2 and lifted is null and struck is null;
-- name: run_open_at
select id, code, place, family, allergens, start_ms, end_ms, carry_ms from run where place = ?1 and end_ms is null
  and struck is null order by start_ms desc limit 1;
-- name: chamber_taken
select l.id, l.code from chamber_use u join lot l on l.id = u.lot and l.struck is null
where u.place = ?1 and u.emptied_ms is null and u.struck is null;
-- name: chamber_clean_since
select count(*) from clean where place = ?1 and valid = 1 and struck is null and end_ms <= ?2
  and start_ms >= coalesce((select max(emptied_ms) from chamber_use where place = ?1 and struck is null and emptied_ms <= ?2), 0);
-- name: seed_of_lot
select p.id, p.code from edge e join lot p on p.id = e.parent and p.struck is null
where e.child = ?1 and e.struck is null and p.kind = 'seed' order by p.id;
-- name: seed_state_latest
select state, markets, entry from seed_state where lot = ?1 and struck is null order by at_ms desc, entry desc limit 1;
-- name: seed_test_latest
select kind, value, ok, entry, data from seed_test t where lot = ?1 and struck is null
  and entry = (select max(u.entry) from seed_test u where u.lot = ?1 and u.kind = t.kind and u.struck is null) order by kind;
-- name: pack_mean
select mean_net_mg, declared_mg from packed where lot = ?1 and struck is null;
-- name: paper_kind
select kind from paper where sha256 = ?1 and struck is null limit 1;
-- name: pieces_of_series
select p.sha256, b.bytes from piece p join blob b on b.sha256 = p.sha256
where p.series = ?1 and p.to_ms >= ?2 and p.from_ms <= ?3 and p.dropped is null and p.struck is null
  and not exists (select 1 from piece r where r.replaces = p.sha256 and r.struck is null) order by p.from_ms, p.entry;
-- name: heat_constants_for
select authority, reference_mc, z_mc, d_ms, tested_max_mc, limit_mc, target_milli, entry from heat_constants
where item = ?1 and at_ms <= ?2 and struck is null order by at_ms desc, entry desc limit 1;
