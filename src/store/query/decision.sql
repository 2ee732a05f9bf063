-- Holds, what lifts them, corrections, decisions judged again.

-- name: kin_children
select distinct child from edge where parent = ?1 and struck is null order by child;
-- name: kin_parents
select distinct parent from edge where child = ?1 and struck is null order by parent;

-- name: hold_by_code
select id, code, kind, stops, needs, reason, placed_ms, run, from_ms, to_ms, lifted, entry from hold
where code = ?1 and struck is null;
-- name: hold_covers
select distinct lot, unit from hold_on where hold = ?1 and struck is null order by lot, unit;
-- A unit with all units in it.
-- name: hold_units_inside
with recursive inside(id) as (
  select ?1
  union
  select u.id from unit u join inside i on u.parent = i.id where u.struck is null)
select u.id, u.lot from unit u join inside i on i.id = u.id where u.struck is null order by u.id;
-- name: hold_run_window
select distinct l.lot from step s join step_lot l on l.step = s.id
where s.run = ?1 and s.struck is null and l.side = 'out' and l.struck is null and l.to_ms >= ?2 and l.from_ms <= ?3
order by l.lot;
-- name: hold_stock
select sum(case when b.amount > 0 then 1 else 0 end),
  (select count(*) from unit u where u.lot = ?1 and u.state in ('here', 'returned') and u.struck is null)
from balance b where b.lot = ?1;
-- name: unit_state_of
select state, lot from unit where id = ?1 and struck is null;

-- name: struck_by
select entry from strike where of_entry = ?1;

-- For each need: lot, place, run for which an entry counts; nulls where it isn't bound to one.
-- name: need_negative
select s.lot, s.place, null from finding f join sample s on s.id = f.sample and s.struck is null
where f.entry = ?1 and f.struck is null and f.state in ('negative', 'confirmed-negative')
  and (f.by_hand = 0 or f.second_person is not null);
-- name: need_treatment
select lot, null, null from treatment where entry = ?1 and met = 1 and struck is null;
-- name: need_clean
select null, place, null from clean where entry = ?1 and valid = 1 and struck is null;
-- A check passed when none of its readings failed.
-- name: need_check
select r.lot, r.place, r.run from reading r where r.entry = ?1 and r.struck is null
  and not exists (select 1 from reading f where f.entry = ?1 and f.ok = 0 and f.struck is null);
-- name: need_calibration
select null, null, null from calibration where entry = ?1 and ok = 1 and struck is null;
-- name: need_paper
select lot, null, null from paper where entry = ?1 and struck is null;
-- name: need_review
select null, null, null from review where entry = ?1 and struck is null;
-- What happened at one of its lots or places.
-- name: need_clauses
select m.lot, null, null from movement m where m.entry = ?1 and m.lot is not null and m.struck is null
union select s.lot, s.place, null from finding f join sample s on s.id = f.sample and s.struck is null
  where f.entry = ?1 and f.struck is null
union select lot, null, null from treatment where entry = ?1 and struck is null
union select lot, null, null from seed_state where entry = ?1 and struck is null
union select lot, place, run from reading where entry = ?1 and struck is null
union select null, place, null from clean where entry = ?1 and struck is null
union select null, null, null from review where entry = ?1 and struck is null
union select null, place, null from environment where entry = ?1 and struck is null
union select lot, null, null from paper where entry = ?1 and struck is null;
-- name: need_disposition
select l.lot, null, null from step s join step_lot l on l.step = s.id and l.struck is null
where s.entry = ?1 and s.act = 'destroy' and s.struck is null
union select s.lot, null, null from step s where s.entry = ?1 and s.act = 'destroy' and s.struck is null;
-- Has a lot been at a place, or on a run?
-- name: lot_at_place
select 1 from step_lot l join step s on s.id = l.step where l.lot = ?1 and l.struck is null and s.struck is null and s.place = ?2
union select 1 from lot where id = ?1 and place = ?2 and struck is null limit 1;
-- name: lot_on_run
select 1 from step_lot l join step s on s.id = l.step where l.lot = ?1 and l.struck is null and s.struck is null and s.run = ?2
limit 1;

-- Orders: the newest version of a line, with what has left for it.
-- name: order_line_by_key
select o.key, o.version, o.customer, o.item, o.day, o.pieces, o.state, o.source,
  coalesce((select sum(s.pieces) from shipped s where s.order_key = o.key and s.struck is null), 0)
from order_line o where o.key = ?1 and o.struck is null order by o.version desc limit 1;
-- name: order_lines_of_days
select o.key, o.version, o.customer, o.item, o.day, o.pieces, o.state, o.source,
  coalesce((select sum(s.pieces) from shipped s where s.order_key = o.key and s.struck is null), 0)
from order_line o where o.day between ?1 and ?2 and o.struck is null
  and o.version = (select max(n.version) from order_line n where n.key = o.key and n.struck is null) order by o.key;
-- name: order_version_last
select max(version) from order_line where key = ?1;

-- Sealed pieces. In force: not struck, not dropped, not replaced by a piece in force.
-- name: piece_newest
select b.bytes from piece p join blob b on b.sha256 = p.sha256
where p.series = ?1 and p.struck is null and p.dropped is null order by p.entry desc limit 1;
-- name: piece_in_force
select p.entry from piece p where p.sha256 = ?1 and p.series = ?2 and p.struck is null and p.dropped is null
  and not exists (select 1 from piece r where r.replaces = p.sha256 and r.struck is null);
-- name: pieces_overlapping
select p.sha256 from piece p where p.series = ?1 and p.struck is null and p.dropped is null
  and ((p.from_ms < ?3 and p.to_ms > ?2) or (p.first_n <= ?5 and p.last_n >= ?4))
  and not exists (select 1 from piece r where r.replaces = p.sha256 and r.struck is null) order by p.from_ms;
-- name: piece_by_sha
select entry, series, from_ms, to_ms from piece where sha256 = ?1 and struck is null and dropped is null order by entry limit 1;
-- name: treatment_bodies_from
select t.entry, d.body from treatment t join daybook d on d.seq = t.entry where t.at_ms >= ?1 and t.struck is null
order by t.entry;
-- A deviation about that time, or a release that names the piece's entry.
-- name: piece_rests
select entry from deviation where from_ms is not null and struck is null and from_ms <= ?2 and coalesce(to_ms, from_ms) >= ?1
union select entry from release where struck is null and (clauses like '%[' || ?3 || ',%' or clauses like '%[' || ?3 || ']%'
  or clauses like '%,' || ?3 || ',%' or clauses like '%,' || ?3 || ']%') order by 1 limit 1;
-- name: blob_drop
update blob set bytes = null where sha256 = ?1
  and not exists (select 1 from piece p where p.sha256 = ?1 and p.dropped is null and p.struck is null)
  and not exists (select 1 from paper p where p.sha256 = ?1)
  and not exists (select 1 from profile p where p.digest = ?1);
