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
select s.lot, s.place, null, s.id, s.code, f.organism from finding f join sample s on s.id = f.sample and s.struck is null
where f.entry = ?1 and f.struck is null and f.state in ('negative', 'confirmed-negative')
  and (f.by_hand = 0 or f.second_person is not null);
-- name: need_treatment
select lot, null, null from treatment where entry = ?1 and met = 1 and struck is null;
-- name: need_clean
select null, place, null from clean where entry = ?1 and valid = 1 and struck is null;
-- A check passed when none of its readings failed.
-- name: need_check
select r.lot, r.place, r.run from reading r where r.id between ?1 * 4096 and ?1 * 4096 + 4095 and r.struck is null
  and not exists (select 1 from reading f where f.id between ?1 * 4096 and ?1 * 4096 + 4095 and f.ok = 0
    and f.struck is null);
-- name: need_calibration
select null, null, null from calibration where entry = ?1 and ok = 1 and struck is null;
-- name: need_paper
select lot, null, null from paper where entry = ?1 and struck is null;
-- name: need_review
select null, null, null from review where entry = ?1 and struck is null;
-- name: need_disposition
select l.lot, null, null from step s join step_lot l on l.step = s.id and l.struck is null
where s.id between ?1 * 4096 and ?1 * 4096 + 4095 and s.act = 'destroy' and s.struck is null
union select s.lot, null, null from step s where s.id between ?1 * 4096 and ?1 * 4096 + 4095 and s.act = 'destroy' and s.struck is null;
-- Has a lot been at a place, or on a run?
-- name: lot_at_place
select 1 from step_lot l join step s on s.id = l.step where l.lot = ?1 and l.struck is null and s.struck is null and s.place = ?2
union select 1 from lot where id = ?1 and place = ?2 and struck is null limit 1;
-- name: lot_on_run
select 1 from step_lot l join step s on s.id = l.step where l.lot = ?1 and l.struck is null and s.struck is null and s.run = ?2
limit 1;

-- A start that a plan meant for day ?1 and chamber ?2, or that was made then and there.
-- name: start_on_day
select 1 from plan_taken t where t.day = ?1 and t.place = ?2 and t.struck is null
union all
select 1 from chamber_use u join lot l on l.id = u.lot and l.struck is null where l.day = ?1 and u.place = ?2 and u.struck is null
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
  and ((p.from_ms < ?3 and p.to_ms > ?2) or (p.from_ms <= ?3 and p.to_ms >= ?2 and p.first_n <= ?5 and p.last_n >= ?4))
  and not exists (select 1 from piece r where r.replaces = p.sha256 and r.struck is null) order by p.from_ms;
-- name: piece_by_sha
select entry, series, from_ms, to_ms from piece where sha256 = ?1 and struck is null and dropped is null order by entry limit 1;
-- name: treatment_bodies_from
select t.entry, d.body from treatment t join daybook d on d.seq = t.entry where d.recorded_ms >= ?1 and t.struck is null
order by t.entry;
-- A deviation of an entry that names the series, about that time; or a release that names the piece's entry.
-- name: piece_rests
select v.entry from deviation v join daybook d on d.seq = v.entry and d.body like '%"' || ?4 || '"%'
where v.from_ms is not null and v.struck is null and v.from_ms <= ?2 and coalesce(v.to_ms, v.from_ms) >= ?1
union select entry from release where struck is null and (clauses like '%[' || ?3 || ',%' or clauses like '%[' || ?3 || ']%'
  or clauses like '%,' || ?3 || ',%' or clauses like '%,' || ?3 || ']%') order by 1 limit 1;
-- name: blob_drop
update blob set bytes = null where sha256 = ?1
  and not exists (select 1 from piece p where p.sha256 = ?1 and p.dropped is null and p.struck is null)
  and not exists (select 1 from paper p where p.sha256 = ?1)
  and not exists (select 1 from profile p where p.digest = ?1);

-- What an entry touches. Struck rows count: they are asked for when they have just been struck.
-- name: touch_place
select distinct l.lot from step s join step_lot l on l.step = s.id
where s.start_ms <= ?3 and s.end_ms >= ?2 and s.place in (
  select p.code from place p where p.code = ?1 or p.parent = ?1
    or p.code = (select q.parent from place q where q.code = ?1 order by q.entry desc limit 1))
union select c.lot from chamber_use c where c.place = ?1 and c.start_ms <= ?3 and coalesce(c.emptied_ms, ?3) >= ?2
union select r.lot from reading r where r.kind = 'watering' and r.at_ms between ?2 and ?3 and r.lot is not null
  and r.data like '%"source":"' || ?1 || '"%';
-- Valid cleans of a place while something was on it.
-- name: touch_cleaned
select min(start_ms), max(end_ms) from clean
where place = ?1 and end_ms > ?2 and start_ms < ?3 and valid = 1 and struck is null;
-- name: touch_sample
select lot from sample where id = ?1 and lot is not null;
-- name: touch_run
select distinct l.lot from step s join step_lot l on l.step = s.id where s.run = ?1;
-- name: touch_unit
select distinct lot from unit where id = ?1 and lot <> 0;
-- name: touch_release
select lot from release where entry = ?1;

-- Releases judged again.
-- name: judge_releases
select r.entry, d.recorded_ms, r.markets, r.clauses from release r join daybook d on d.seq = r.entry
where r.lot = ?1 and r.revoked is null and r.struck is null and d.recorded_ms > ?2 order by r.entry;
-- name: judge_naming
select r.lot, r.clauses from release r where r.revoked is null and r.struck is null
  and (r.clauses like '%[' || ?1 || ',%' or r.clauses like '%[' || ?1 || ']%'
    or r.clauses like '%,' || ?1 || ',%' or r.clauses like '%,' || ?1 || ']%') order by r.entry;
-- The newest release in force, and when it was booked.
-- name: judge_newest
-- kept: release
select d.recorded_ms from release r join daybook d on d.seq = r.entry
where r.revoked is null and r.struck is null order by r.entry desc limit 1;
-- Lots released, of which some is here or whose date has not passed.
-- name: judge_in_trade
select distinct r.lot from release r join lot l on l.id = r.lot and l.struck is null
where r.revoked is null and r.struck is null and (l.best_before is null or l.best_before >= ?1
  or exists (select 1 from balance b where b.lot = r.lot and b.amount > 0)) order by r.lot;
-- The last good calibration of an instrument before another.
-- name: judge_calibrated
select max(at_ms) from calibration where instrument = ?1 and at_ms < ?2 and ok = 1 and struck is null
  and entry <> ?3 having max(at_ms) is not null;
-- What was read with it, and what was treated, since then: entry, lot.
-- name: judge_measured
select distinct r.entry, r.lot from reading r join daybook d on d.seq = r.entry
where r.instrument = ?1 and d.happened_ms > ?2 and d.happened_ms <= ?3 and r.struck is null
union select t.entry, t.lot from treatment t join daybook d on d.seq = t.entry
where t.at_ms > ?2 and t.at_ms <= ?3 and t.struck is null and d.body like '%"' || ?1 || '"%' order by 1;
-- What was weighed with it.
-- name: judge_weighed
select distinct m.lot from movement m join daybook d on d.seq = m.entry
where m.instrument = ?1 and m.lot is not null and d.happened_ms > ?2 and d.happened_ms <= ?3 and m.struck is null order by m.lot;
-- What left although a hold or a missing release stood against it.
-- name: judge_left
select distinct lot from deviation where entry = ?1 and rule in ('held-loaded', 'not-released') and lot is not null
  and struck is null order by lot;
-- A first negative for a sample and organism takes nothing away from anybody.
-- name: judge_finding_harmless
select count(*) from finding f where f.entry = ?1 and f.struck is null and (f.state not in ('negative', 'confirmed-negative')
  or exists (select 1 from finding b where b.sample = f.sample and b.organism = f.organism and b.entry < f.entry
    and b.struck is null and b.state not in ('pending', f.state)));
-- name: struck_entries
select of_entry from strike where entry = ?1 order by of_entry;

-- Who uses what an entry made: entry, kind. A release is no user: it is judged again.
-- name: strike_uses_lot
select d.seq, d.kind from daybook d where d.seq in (
  select entry from edge where parent = ?1 and struck is null
  union select entry from edge where child = ?1 and struck is null
  union select entry from movement where lot = ?1 and struck is null
  union select entry from step_lot where lot = ?1 and struck is null
  union select entry from chamber_use where lot = ?1 and struck is null
  union select entry from seed_test where lot = ?1 and struck is null
  union select entry from seed_state where lot = ?1 and struck is null
  union select entry from treatment where lot = ?1 and struck is null
  union select entry from sample where lot = ?1 and struck is null
  union select entry from reading where lot = ?1 and struck is null
  union select entry from packed where lot = ?1 and struck is null
  union select entry from unit where lot = ?1 and struck is null
  union select entry from shipped where lot = ?1 and struck is null
  union select entry from paper where lot = ?1 and struck is null
  union select entry from changed where name in ('lot_place', 'lot_closed', 'lot_markets', 'chamber_use_state') and of_row = ?1
    and struck is null and entry not in (select entry from strike)
) order by d.seq;
-- name: strike_uses_unit
select d.seq, d.kind from daybook d where d.seq in (
  select entry from shipped where unit = ?1 and unit <> 0 and struck is null
  union select entry from unit where parent = ?1 and struck is null
  union select entry from changed where name in ('unit_state', 'unit_content') and of_row = ?1 and struck is null
    and entry not in (select entry from strike)
) order by d.seq;
-- name: strike_uses_run
select d.seq, d.kind from daybook d where d.seq in (
  select entry from step where run = ?1 and struck is null
  union select entry from reading where run = ?1 and struck is null
  union select entry from hold where run = ?1 and struck is null
  union select entry from changed where name = 'run_end' and of_row = ?1 and struck is null
    and entry not in (select entry from strike)
) order by d.seq;
-- name: strike_uses_sample
select d.seq, d.kind from daybook d where d.seq in (
  select entry from finding where sample = ?1 and struck is null) order by d.seq;
-- name: strike_changed_later
select d.seq, d.kind from changed c join daybook d on d.seq = c.entry
where c.name = ?1 and c.of_row = ?2 and c.entry > ?3 and c.struck is null
  and c.entry not in (select entry from strike) order by d.seq;
-- name: owed_of_lot
select entry, amount from owed where lot = ?1 and unit = ?2 and closed is null and struck is null;

-- What later entries made of a row, read from the row as it was struck.
-- name: remake_changed
select d.happened_ms from changed c join daybook d on d.seq = c.entry where c.name = ?1 and c.of_row = ?2 and c.struck is null
  and c.entry not in (select entry from strike) order by c.entry desc limit 1;
-- name: remake_lot_place
select place from lot where id = ?1 and struck = ?2;
-- name: remake_lot_markets
select markets from lot where id = ?1 and struck = ?2;
-- name: remake_lot_closed
select closed from lot where id = ?1 and struck = ?2;
-- name: remake_unit_state
select state, place, shipment, parent from unit where id = ?1 and struck = ?2;
-- name: remake_unit_content
select lot, pieces, mg from unit where id = ?1 and struck = ?2;
-- name: remake_run_end
select end_ms from run where id = ?1 and struck = ?2;
-- name: remake_chamber_use
select shares_ppm, emptied_ms from chamber_use where lot = ?1 and struck = ?2;
-- name: lift_markets
select markets from release where lot = ?1 and struck is null order by entry desc limit 1;
