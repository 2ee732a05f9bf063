-- What the house keeps lists of, and what was noted about it. The newest unstruck row of a code stands.

-- name: listed_one
-- kept: listed
select code, place, about, until_ms, active, at_ms, data, entry from listed
where kind = ?1 and code = ?2 and struck is null order by entry desc limit 1;
-- name: listed_all
-- kept: listed
select l.code, l.place, l.about, l.until_ms, l.active, l.at_ms, l.data, l.entry from listed l where l.kind = ?1 and l.struck is null
  and l.active = 1 and l.entry = (select max(m.entry) from listed m where m.kind = l.kind and m.code = l.code and m.struck is null)
order by l.code;
-- name: noted_all
select code, data from noted where kind = ?1 and struck is null order by code, entry, n;
-- The last one that counts, at a moment or before it.
-- name: noted_good_before
select at_ms, until_ms, entry from noted where kind = ?1 and code = ?2 and ok = 1 and at_ms <= ?3 and struck is null
order by at_ms desc limit 1;
-- name: noted_last
select entry, ok, at_ms, until_ms, person, data from noted where kind = ?1 and code = ?2 and struck is null
order by at_ms desc, entry desc limit 1;
-- The last one of a person, of a code ?4 or any (null), at a moment or before it.
-- name: noted_of_person
select ok, at_ms, until_ms from noted where kind = ?1 and person = ?2 and at_ms <= ?3 and (?4 is null or code = ?4)
  and struck is null order by at_ms desc, entry desc limit 1;
-- name: noted_of_lot_like
select count(*) from noted where kind = ?1 and code = ?2 and lot = ?3 and struck is null;
-- name: noted_of_item_like
select count(*) from noted n join lot l on l.id = n.lot and l.struck is null
where n.kind = ?1 and n.code = ?2 and l.item = ?3 and n.at_ms > ?4 and n.struck is null;
-- name: deviation_open
select entry, rule, lot, place, what, from_ms, to_ms from deviation where id = ?1 and closed is null and struck is null;
-- Swabs of a site before a moment, newest first: was any finding positive, was any finally negative?
-- name: swabs_before
select s.taken_ms, max(case when f.state in ('confirmed-positive') then 1 else 0 end),
  max(case when f.state = 'negative' then 1 else 0 end)
from sample s join finding f on f.sample = s.id and f.struck is null
where s.location = ?1 and s.what = 'swab' and s.taken_ms < ?2 and s.struck is null
group by s.id, s.taken_ms order by s.taken_ms desc, s.id desc;
-- How many of a code at a place, from a moment to another.
-- name: noted_at_place
select count(*) from noted where kind = ?1 and code = ?2 and place = ?3 and at_ms > ?4 and at_ms <= ?5 and struck is null;
-- What became of a supplier's deliveries of an item by a moment, and (2) every approval of the supplier, in their order.
-- name: acceptance_history
select at_ms, entry, ok, data from noted where kind = 'delivery-check' and code = ?1 and at_ms <= ?3 and struck is null
union all
select at_ms, entry, 2, data from listed where kind = 'supplier' and code = ?2 and active = 1 and at_ms <= ?3 and struck is null
order by 1, 2;
-- What became of a line's packed lots of an item at a check by a moment, and (2) every verification that closed the deviation with which
-- their inspection was discontinued. ?2 the line.
-- name: acceptance_packs
select at_ms, entry, ok, data from noted where kind = 'pack-check' and code = ?1 and at_ms <= ?3 and struck is null
union all
select v.at_ms, v.entry, 2, v.data from noted v join deviation d on v.code = cast(d.id as text) and d.struck is null
where v.kind = 'verification' and v.ok = 1 and v.at_ms <= ?3 and v.struck is null and d.rule = 'packs-discontinued' and d.place = ?2
  and exists (select 1 from noted n where n.entry = d.entry and n.kind = 'pack-check' and n.code = ?1)
order by 1, 2;
-- Does a deviation stand open that says so of a line's packed lots of an item at a check?
-- name: acceptance_packs_open
select d.id from deviation d join noted n on n.entry = d.entry and n.kind = 'pack-check' and n.code = ?1 and n.struck is null
where d.rule = 'packs-discontinued' and d.closed is null and d.struck is null;
-- How many pieces a packed lot has, where they were packed, and whether a check ?2 of it was decided on before.
-- name: acceptance_packed
select p.pieces, s.place, exists (select 1 from noted m where m.kind = 'pack-check' and m.lot = p.lot and m.struck is null
  and m.code like ?2 || '/%' and m.data like '%"counts":true%')
from packed p join step_lot l on l.lot = p.lot and l.side = 'out' and l.struck is null
join step s on s.id = l.step and s.act = 'pack' and s.struck is null
where p.lot = ?1 and p.struck is null;
-- A delivery that is to be inspected, and whether it was decided on before.
-- name: acceptance_delivery
select n.data, exists (select 1 from noted m where m.kind = 'delivery-check' and m.lot = n.lot and m.struck is null
  and m.data like '%"counts":true%')
from noted n where n.kind = 'delivery' and n.lot = ?1 and n.struck is null order by n.entry desc limit 1;
-- Was the delivery of a lot accepted last time? No row: it is not to be inspected.
-- name: acceptance_of_lot
select coalesce((select m.ok from noted m where m.kind = 'delivery-check' and m.lot = n.lot and m.struck is null
  order by m.at_ms desc, m.entry desc limit 1), 0)
from noted n where n.kind = 'delivery' and n.lot = ?1 and n.struck is null order by n.entry desc limit 1;
