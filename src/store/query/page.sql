-- What pages ask: the daybook backwards in time, one entry with what belongs to it, the lots of a trace.

-- All that ever went into each lot of a range.
-- name: page_lot_in
select lot, sum(amount) from movement where lot between ?1 and ?2 and unit = 'mg' and amount > 0 and struck is null
group by lot order by lot;

-- name: page_leaves
select leaf from daybook where seq > ?1 and seq <= ?2 order by seq;

-- The daybook backwards: below ?1, ?2 lines.
-- name: page_daybook
select seq, uuid, cause, happened_ms, recorded_ms, offset_min, day, device, clock_ms, person, kind,
  version, digest, body, leaf
from daybook where seq < ?1 order by seq desc limit ?2;
-- name: page_daybook_day
select seq, uuid, cause, happened_ms, recorded_ms, offset_min, day, device, clock_ms, person, kind,
  version, digest, body, leaf
from daybook where day = ?3 and seq < ?1 order by seq desc limit ?2;
-- name: page_daybook_kind
select seq, uuid, cause, happened_ms, recorded_ms, offset_min, day, device, clock_ms, person, kind,
  version, digest, body, leaf
from daybook where kind = ?3 and seq < ?1 order by seq desc limit ?2;
-- name: page_daybook_day_kind
select seq, uuid, cause, happened_ms, recorded_ms, offset_min, day, device, clock_ms, person, kind,
  version, digest, body, leaf
from daybook where day = ?3 and kind = ?4 and seq < ?1 order by seq desc limit ?2;
-- Every entry that speaks of a lot, struck ones too. kinds: each kind of reading, from the index that begins with it.
-- name: page_daybook_lot
with recursive kinds(kind) as (
  select min(kind) from reading
  union all select (select min(r.kind) from reading r where r.kind > k.kind) from kinds k where k.kind is not null)
select entry from (
  select entry from lot where id = ?1
  union select entry from movement where lot = ?1
  union select entry from edge where parent = ?1
  union select entry from edge where child = ?1
  union select entry from step_lot where lot = ?1
  union select entry from chamber_use where lot = ?1
  union select entry from seed_test where lot = ?1
  union select entry from seed_state where lot = ?1
  union select entry from treatment where lot = ?1
  union select entry from sample where lot = ?1
  union select f.entry from sample s join finding f on f.sample = s.id where s.lot = ?1
  union select r.entry from kinds k join reading r on r.kind = k.kind and r.lot = ?1
  union select entry from paper where lot = ?1
  union select entry from packed where lot = ?1
  union select entry from shipped where lot = ?1
  union select entry from hold_on where lot = ?1
  union select entry from release where lot = ?1
  union select entry from task where lot = ?1 and kind = 'set-aside'
  union select entry from changed where name in ('lot_place', 'lot_closed', 'lot_markets', 'chamber_use_state') and of_row = ?1)
where entry < ?2 order by entry desc;
-- name: page_caused
select seq from daybook where cause = ?1 order by seq;
-- What was told and not booked: the entry that settled it.
-- name: page_aside
select case when t.done is not null then (select max(c.entry) from changed c
  where c.name = 'task_done' and c.of_row = t.id and c.struck is null) end
from task t where t.entry = ?1 and t.kind = 'set-aside' and t.struck is null;
-- name: page_sample_of
select lot, place from sample where id = ?1 and struck is null;

-- The cases of a lot, and whether an open hold names each.
-- name: page_lot_cases
select u.code, u.pieces, u.state, coalesce(u.place, ''),
  exists (select 1 from hold_on o join hold h on h.id = o.hold where o.unit = u.id and o.struck is null and h.struck is null
    and h.lifted is null)
from unit u where u.lot = ?1 and u.kind = 'case' and u.struck is null order by u.code;
-- name: page_lot_runs
select r.code, r.place, r.start_ms, r.end_ms, min(l.from_ms), max(l.to_ms)
from step_lot l join step s on s.id = l.step and s.struck is null join run r on r.id = s.run and r.struck is null
where l.lot = ?1 and l.struck is null group by r.id order by r.start_ms desc;

-- name: page_mappings
select m.source, m.kind, m.data, m.entry, d.happened_ms, d.person from mapping m join daybook d on d.seq = m.entry
where m.struck is null and m.entry = (select max(n.entry) from mapping n where n.source = m.source and n.kind = m.kind and n.struck is null)
order by m.kind, m.source;
-- What may leave, by item and best before, what ends first first.
-- name: order_stock
select l.item, coalesce(l.best_before, 0), l.markets, sum(p.amount) from lot l join balance p on p.lot = l.id and p.unit = 'pc' and p.amount > 0
where l.kind = 'packed' and l.closed is null and l.struck is null
  and not exists (select 1 from hold_on o join hold h on h.id = o.hold where o.lot = l.id and o.struck is null
    and h.struck is null and h.lifted is null and h.kind <> 'laboratory')
group by l.item, l.best_before, l.markets order by l.item, case when l.best_before is null then 1 else 0 end, l.best_before, l.markets;
-- name: page_order_versions
select o.version, o.customer, o.item, o.day, o.pieces, o.state, o.source, o.entry, d.happened_ms, d.person
from order_line o join daybook d on d.seq = o.entry where o.key = ?1 and o.struck is null order by o.version desc;
-- name: page_order_shipments
select h.code, h.at_ms, sum(s.pieces) from shipped s join shipment h on h.id = s.shipment and h.struck is null
where s.order_key = ?1 and s.struck is null group by h.id order by h.at_ms;

-- What the house has, by code: code, kind.
-- name: page_place_kinds
select p.code, p.kind from place p where p.struck is null and p.in_service = 1
  and p.entry = (select max(q.entry) from place q where q.code = p.code and q.struck is null) order by p.code;
-- name: page_instrument_kinds
select i.code, i.kind from instrument i where i.struck is null
  and i.entry = (select max(q.entry) from instrument q where q.code = i.code and q.struck is null) order by i.code;
-- name: page_item_kinds
select i.code, i.kind from item i where i.struck is null
  and i.entry = (select max(q.entry) from item q where q.code = i.code and q.struck is null) order by i.code;
-- Instruments that weighed in the last steps at a place, the latest first: code, kind.
-- name: page_instrument_last
select m.instrument, (select i.kind from instrument i where i.code = m.instrument and i.struck is null order by i.entry desc limit 1)
from (select entry, start_ms from step where place = ?1 order by start_ms desc limit 20) s
join movement m on m.entry = s.entry and m.instrument is not null and m.struck is null order by s.start_ms desc, m.leg;

-- Changes of a limit, the newest first; those of one moment as they were told.
-- name: page_limit_changes
select c.entry, c.low, c.high, c.source, c.from_ms, d.person, c.reason, c.loosens, d.body from limit_change c join daybook d on d.seq = c.entry
where c.name = ?1 and c.struck is null order by c.from_ms desc, c.entry desc;
-- name: page_profile_from
select from_ms from profile where struck is null and from_ms <= ?1 order by from_ms desc, entry desc limit 1;

-- The papers a form may name, the newest first: digest, kind, name, lot, entry, when.
-- name: page_papers
select p.sha256, p.kind, b.name, l.code, p.entry, d.recorded_ms from paper p join blob b on b.sha256 = p.sha256
join daybook d on d.seq = p.entry left join lot l on l.id = p.lot
where p.struck is null order by p.kind = 'validation' desc, p.entry desc limit ?1;

-- What grows, by chamber: lot, place, item, start.
