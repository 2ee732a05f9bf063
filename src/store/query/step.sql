-- Steps, runs and what went in and came out where.

-- name: lot_how
select how, uncertainty from movement where lot = ?1 and amount > 0 and unit = 'mg' and struck is null
order by entry, leg limit 1;
-- name: clean_before
select max(end_ms) from clean where place = ?1 and end_ms <= ?2 and valid = 1 and struck is null having max(end_ms) is not null;
-- What went into a place, and what came out of it, as product; a lot that only stood there is neither.
-- name: place_inputs
select l.lot, l.mg, l.from_ms, l.to_ms from step s join step_lot l on l.step = s.id
where s.place = ?1 and s.act in ('process', 'pack') and s.start_ms <= ?3 and s.struck is null and l.side = 'in'
  and l.struck is null and l.to_ms >= ?2 and l.from_ms <= ?3 order by l.from_ms, l.lot;
-- Outputs from ?2 on into which nothing of lot ?3 is known to have gone, up to the first clean that began after ?4.
-- name: place_outputs
select l.lot, l.from_ms, l.to_ms from step s join step_lot l on l.step = s.id
where s.place = ?1 and s.act in ('process', 'pack') and s.struck is null and l.side = 'out' and l.struck is null
  and l.to_ms >= ?2
  and not exists (select 1 from edge e where e.parent = ?3 and e.child = l.lot and e.struck is null)
  and not exists (select 1 from clean c where c.place = ?1 and c.valid = 1 and c.struck is null and c.start_ms >= ?4
    and c.end_ms <= l.from_ms)
order by l.from_ms, l.lot;
-- name: holds_on_run
select id from hold where run = ?1 and from_ms <= ?3 and to_ms >= ?2 and lifted is null and struck is null;
-- name: run_open_at
select id, code, place, family, allergens, start_ms, end_ms, carry_ms from run where place = ?1 and end_ms is null
  and struck is null order by start_ms desc limit 1;
-- The first lot that was on a place as product between two moments: that of a step, or growing in it. A step at a place takes
-- less than two days. Goods that only get another code or place touch nothing.
-- name: place_in_use
select code from (
  select t.code as code, s.start_ms as from_ms from step s
  join step_lot l on l.step = s.id and l.side = 'out' and l.struck is null
  join lot t on t.id = l.lot and t.struck is null
  where s.place = ?1 and s.start_ms >= ?2 - 172800000 and s.start_ms < ?3 and s.end_ms > ?2 and s.struck is null
    and s.act not in ('grow', 'split', 'join', 'move', 'return', 'count')
  union all
  select t.code, c.start_ms from chamber_use c join lot t on t.id = c.lot and t.struck is null
  where c.place = ?1 and c.start_ms < ?3 and coalesce(c.emptied_ms, ?3) > ?2 and c.struck is null)
order by from_ms, code limit 1;
-- name: chamber_taken
select l.id, l.code from chamber_use u join lot l on l.id = u.lot and l.struck is null
where u.place = ?1 and u.emptied_ms is null and u.struck is null;
-- name: chamber_clean_since
select count(*) from clean where place = ?1 and valid = 1 and struck is null and end_ms <= ?2
  and start_ms >= coalesce((select max(emptied_ms) from chamber_use where place = ?1 and struck is null and emptied_ms <= ?2), 0);
-- The seed lots that are in a lot.
-- name: seed_of_lot
with recursive back(lot) as (
  select ?1
  union
  select e.parent from back b join edge e on e.child = b.lot where e.struck is null)
select p.id, p.code from back b join lot p on p.id = b.lot and p.struck is null where p.kind = 'seed' order by p.id;
-- Approved, and nothing else told or happened later of the seed lot or of the supplier's lot it is a delivery of? Else what
-- was said last.
-- name: seed_standing
with about(lot) as (select ?1 union select supplier_lot from lot where id = ?1 and struck is null)
select exists (select 1 from seed_state a where a.lot = ?1 and a.state = 'approved' and a.struck is null
    and not exists (select 1 from seed_state w where w.lot in (select lot from about)
      and w.state not in ('approved', 'received') and w.struck is null and (w.entry > a.entry or w.at_ms > a.at_ms))),
  (select w.state from seed_state w where w.lot in (select lot from about) and w.state <> 'approved' and w.struck is null
    order by w.state = 'received', w.at_ms desc, w.entry desc limit 1);
-- The loads in a load of which none was treated as its recipe wants.
-- name: untreated_loads
with recursive untreated(lot) as (
  select ?1 where not exists (select 1 from treatment t where t.lot = ?1 and t.met = 1 and t.struck is null)
  union
  select p.id from untreated u join edge e on e.child = u.lot and e.struck is null
    join lot p on p.id = e.parent and p.kind = 'load' and p.struck is null
  where not exists (select 1 from treatment t where t.lot = p.id and t.met = 1 and t.struck is null))
select l.id, l.code from untreated u join lot l on l.id = u.lot and l.struck is null
where not exists (select 1 from edge e join lot p on p.id = e.parent and p.kind = 'load' and p.struck is null
  where e.child = u.lot and e.struck is null) order by l.id;
-- name: seed_test_latest
select kind, value, ok, entry, data from seed_test t where lot = ?1 and struck is null
  and entry = (select u.entry from seed_test u where u.lot = ?1 and u.kind = t.kind and u.struck is null
    order by u.at_ms desc, u.entry desc limit 1) order by kind;
-- name: pack_mean
select mean_net_mg, declared_mg from packed where lot = ?1 and struck is null;
-- name: paper_kind
select kind from paper where sha256 = ?1 and struck is null order by entry limit 1;
-- name: pieces_of_series
select p.sha256, b.bytes from piece p join blob b on b.sha256 = p.sha256
where p.series = ?1 and p.to_ms >= ?2 and p.from_ms <= ?3 and p.dropped is null and p.struck is null
  and not exists (select 1 from piece r where r.replaces = p.sha256 and r.struck is null) order by p.from_ms, p.entry;
-- name: heat_constants_for
select authority, reference_mc, z_mc, d_ms, tested_max_mc, limit_mc, target_milli, entry from heat_constants
where item = ?1 and at_ms <= ?2 and struck is null order by at_ms desc, entry desc limit 1;
-- name: run_under_way
select code from run where place = ?1 and struck is null and (start_ms < ?3 or (start_ms = ?3 and ?2 = ?3))
  and (end_ms is null or end_ms > ?2 or (end_ms = ?2 and ?2 = ?3)) order by start_ms desc, id desc limit 1;
