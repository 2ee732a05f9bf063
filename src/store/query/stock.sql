-- Stock that is moved, shipped, taken back, destroyed and counted; readings, cleans, calibrations.

-- name: units_here
select id, code, kind, state, place, parent, lot, pieces, mg, shipment from unit
where lot = ?1 and state in ('here', 'returned') and struck is null order by id;
-- name: account_of
select amount from account where name = ?1 and unit = ?2;
-- name: lot_counted
select 1 from balance where lot = ?1 and unit = 'pc';
-- name: holds_on_unit
select distinct h.code, h.kind, h.stops, h.id from hold_on o join hold h on h.id = o.hold
where o.unit = ?1 and o.struck is null and h.struck is null and h.lifted is null order by h.id;
-- Releases that stood at a moment and still do.
-- name: releases_in_force
select r.markets from release r join daybook d on d.seq = r.entry
where r.lot = ?1 and d.happened_ms <= ?2 and r.revoked is null and r.struck is null order by r.entry;
-- name: order_line_newest
select customer, item, state from order_line where key = ?1 and struck is null order by version desc limit 1;
-- What a customer got of a lot, and what of it came back: pieces, mg.
-- name: shipped_to
select coalesce(sum(p.pieces), 0), coalesce(sum(p.mg), 0) from shipped p
join shipment s on s.id = p.shipment and s.struck is null
where p.lot = ?1 and s.customer = ?2 and p.struck is null;
-- name: returned_from
select coalesce(sum(case m.unit when 'pc' then m.amount else 0 end), 0),
  coalesce(sum(case m.unit when 'mg' then m.amount else 0 end), 0)
from step t join edge e on e.child = t.lot and e.parent = ?1 and e.entry = t.entry and e.struck is null
join movement m on m.entry = t.entry and m.lot = t.lot and m.struck is null
where t.act = 'return' and t.note = ?2 and t.struck is null;
-- The customer that a case went to with the shipment it is in, and what went.
-- name: unit_shipped
select s.customer, p.pieces, p.mg from shipped p join shipment s on s.id = p.shipment and s.struck is null
where p.unit = ?1 and p.shipment = ?2 and p.struck is null;
-- name: owed_open
select id from owed where lot = ?1 and unit = ?2 and closed is null and struck is null order by id;
-- name: owed_tasks_open
select id from task where lot = ?1 and kind = 'explain-owed' and done is null and struck is null order by id;
-- name: task_open
select kind, entry from task where id = ?1 and done is null and struck is null;
-- name: aside_open
select id from task where entry = ?1 and kind = 'set-aside' and done is null and struck is null;
-- name: moved_since
select coalesce(sum(m.amount), 0) from movement m join daybook b on b.seq = m.entry
where m.lot = ?1 and m.unit = ?2 and b.happened_ms > ?3 and m.struck is null;
-- The last good reading of a check, in one unit, at a place.
-- name: reading_good_before
select at_ms from reading where kind = ?1 and place = ?2 and unit = ?3 and at_ms < ?4 and ok = 1 and struck is null
order by at_ms desc limit 1;
-- name: reading_good_after
select at_ms from reading where kind = ?1 and place = ?2 and unit = ?3 and at_ms > ?4 and ok = 1 and struck is null
order by at_ms limit 1;
-- A place with all it stands in.
-- name: places_around
with recursive around(code) as (
  select ?1
  union
  select p.parent from around a join place p on p.code = a.code and p.struck is null
  where p.parent is not null and p.entry = (select max(n.entry) from place n where n.code = p.code and n.struck is null))
select code from around;
-- Good checks of a place: there, in what stands in it, or for a run of it.
-- name: metal_good_before
with recursive inside(code) as (
  select ?1
  union
  select p.code from inside i join place p on p.parent = i.code and p.struck is null
  where p.entry = (select max(n.entry) from place n where n.code = p.code and n.struck is null))
select max(r.at_ms) from reading r where r.kind = 'metal-check' and r.ok = 1 and r.at_ms < ?2 and r.struck is null
  and (r.place in (select code from inside) or r.run in (select u.id from run u where u.place = ?1 and u.struck is null))
having max(r.at_ms) is not null;
-- name: metal_good_after
with recursive inside(code) as (
  select ?1
  union
  select p.code from inside i join place p on p.parent = i.code and p.struck is null
  where p.entry = (select max(n.entry) from place n where n.code = p.code and n.struck is null))
select min(r.at_ms) from reading r where r.kind = 'metal-check' and r.ok = 1 and r.at_ms > ?2 and r.struck is null
  and (r.place in (select code from inside) or r.run in (select u.id from run u where u.place = ?1 and u.struck is null))
having min(r.at_ms) is not null;
-- What came out of a place in a stretch of time, with its run; what ended when the stretch began is not in it.
-- name: metal_outputs
select coalesce(s.run, 0), l.lot from step s join step_lot l on l.step = s.id and l.side = 'out' and l.struck is null
where s.place = ?1 and s.act in ('process', 'pack') and s.struck is null
  and (l.to_ms > ?2 or (l.to_ms = ?2 and l.from_ms = l.to_ms)) and (l.from_ms < ?3 or (l.from_ms = ?3 and l.from_ms = l.to_ms))
order by s.run, l.lot;
-- name: metal_runs
select id from run where place = ?1 and start_ms < ?3 and (end_ms is null or end_ms > ?2) and struck is null order by id;
-- A metal check with which a lot was passed again.
-- name: need_re_passed
select lot, null, null from reading where id between ?1 * 4096 and ?1 * 4096 + 4095 and kind = 'metal-check'
  and ok = 1 and lot is not null and struck is null;
-- What came back was looked at and found good, or is gone.
-- name: need_decision
select lot, null, null from reading where id between ?1 * 4096 and ?1 * 4096 + 4095 and kind = 'inspect'
  and ok = 1 and lot is not null and struck is null
union select l.lot, null, null from step s join step_lot l on l.step = s.id and l.struck is null
where s.id between ?1 * 4096 and ?1 * 4096 + 4095 and s.act = 'destroy' and s.struck is null;
-- name: instrument_by_code
-- kept: instrument
select code, kind, place, division, uncertainty, due_ms from instrument where code = ?1 and struck is null
order by entry desc limit 1;
-- The newest first.
-- name: calibrations_of
-- kept: calibration
select at_ms, ok, uncertainty, due_ms from calibration where instrument = ?1 and struck is null order by at_ms desc, entry desc;
-- name: calibration_good_before
select max(at_ms) from calibration where instrument = ?1 and at_ms < ?2 and ok = 1 and struck is null
having max(at_ms) is not null;
