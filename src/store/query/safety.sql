-- What the pages of food safety show. Struck rows are never seen.

-- Open deviations, newest first, each with the corrective action that stands: one that a later verification did not take
-- away. No action: 0 and ''.
-- name: safety_deviations
select d.id, d.entry, d.rule, coalesce(d.lot, 0), coalesce(l.code, ''), coalesce(d.place, ''), d.what, coalesce(d.from_ms, 0),
  coalesce(d.to_ms, 0), b.happened_ms, b.person, coalesce(c.entry, 0), coalesce(c.person, 0), coalesce(c.at_ms, 0),
  coalesce(c.data, '')
from deviation d join daybook b on b.seq = d.entry left join lot l on l.id = d.lot and l.struck is null
left join noted c on c.kind = 'corrective' and c.code = cast(d.id as text) and c.struck is null
  and c.entry = (select max(n.entry) from noted n where n.kind in ('corrective', 'verification') and n.code = cast(d.id as text)
    and n.struck is null)
where d.closed is null and d.struck is null order by d.id desc;
-- What lay on a place, or grew in it, at any time between two moments: the first moment it was there, in order.
-- name: safety_there
select t.code, min(l.from_ms) from step s join step_lot l on l.step = s.id and l.side = 'out' and l.struck is null
join lot t on t.id = l.lot and t.struck is null
where s.place = ?1 and s.struck is null and s.start_ms <= ?3 and l.from_ms <= ?3 and l.to_ms >= ?2
  and s.act not in ('grow', 'split', 'join', 'move', 'return', 'count')
group by t.code
union
select t.code, min(c.start_ms) from chamber_use c join lot t on t.id = c.lot and t.struck is null
where c.place = ?1 and c.start_ms <= ?3 and coalesce(c.emptied_ms, ?3) >= ?2 and c.struck is null
group by t.code order by 2, 1;
-- name: safety_environments
select e.id, e.place, e.product_hold, e.opened_ms, e.data,
  (select count(*) from task t where t.place = e.place and t.kind like 'listeria%' and t.done is null and t.struck is null)
from environment e where e.closed_ms is null and e.struck is null order by e.id;
-- Swabs from a moment on with what they gave, oldest first.
-- name: schedule_swabs
select s.location, s.taken_ms, max(case when f.state = 'confirmed-positive' then 1 else 0 end),
  max(case when f.state = 'presumptive' then 1 else 0 end),
  max(case when f.state in ('negative', 'confirmed-negative') then 1 else 0 end)
from sample s left join finding f on f.sample = s.id and f.struck is null
where s.what = 'swab' and s.taken_ms >= ?1 and s.struck is null
group by s.id, s.location, s.taken_ms order by s.taken_ms, s.id;
-- name: calendar_samples
select id, code, location, what, taken_ms, coalesce(age_ms, -1), volume_ml, entry from sample
where lot = ?1 and struck is null order by taken_ms, id;
-- name: calendar_findings
select organism, state, at_ms from finding where sample = ?1 and struck is null order by organism, at_ms, entry;
-- name: calendar_custody
select at_ms, ok, data from noted where kind = 'custody' and code = ?1 and struck is null order by at_ms, entry;
-- Readings of water between two moments, by place, unit and time.
-- name: water_readings
select place, unit, value, ok, at_ms, entry from reading
where kind = 'water-reading' and place is not null and value is not null and at_ms between ?1 and ?2 and struck is null
order by place, unit, at_ms, id;
-- When a place held product between two moments: what went over it.
-- name: water_product
select t.code, l.from_ms, l.to_ms from step s join step_lot l on l.step = s.id and l.side = 'out' and l.struck is null
join lot t on t.id = l.lot and t.struck is null
where s.place = ?1 and s.struck is null and s.start_ms <= ?3 and l.from_ms <= ?3 and l.to_ms >= ?2
  and s.act not in ('grow', 'split', 'join', 'move', 'return', 'count') and t.kind <> 'by-product'
order by l.from_ms, t.code;
-- What the laboratory said of each water system's water, newest first.
-- name: water_results
select coalesce(s.place, ''), s.code, s.taken_ms, coalesce(f.organism, ''), coalesce(f.state, 'waiting'), coalesce(f.at_ms, 0)
from sample s left join finding f on f.sample = s.id and f.struck is null
where s.what = 'water' and s.place is not null and s.taken_ms >= ?1 and s.struck is null
order by s.place, s.taken_ms desc, s.id desc, f.organism, f.entry;
-- What broke a rule in one lot, and whether it is closed.
-- name: treatment_deviations
select id, entry, rule, what, coalesce(closed, 0) from deviation where lot = ?1 and struck is null order by id;
-- name: treatment_paper
select p.kind, b.name from paper p join blob b on b.sha256 = p.sha256 where p.sha256 = ?1 and p.struck is null
order by p.entry limit 1;
-- name: treatment_constants
select authority, reference_mc, z_mc, d_ms, tested_max_mc, limit_mc, target_milli, at_ms from heat_constants where entry = ?1;
-- Notes of a kind ?1 from a moment ?2 on, of a code ?3 or any (''), newest first; who told them.
-- name: register_notes
select n.entry, n.code, coalesce(n.place, ''), coalesce(l.code, ''), n.ok, n.at_ms, n.data, d.person
from noted n join daybook d on d.seq = n.entry left join lot l on l.id = n.lot and l.struck is null
where n.kind = ?1 and n.at_ms >= ?2 and (?3 = '' or n.code = ?3) and n.struck is null
order by n.at_ms desc, n.entry desc limit ?4;
-- How many of a kind and code there were from a moment on, and how many of them were not good.
-- name: register_counts
select count(*), coalesce(sum(case when ok = 0 then 1 else 0 end), 0) from noted
where kind = ?1 and code = ?2 and at_ms >= ?3 and struck is null;
-- Work orders that are open, and those handed back from a moment ?1 on.
-- name: register_work
select o.code, coalesce(o.place, ''), o.at_ms, o.data, o.entry, b.at_ms, b.data, b.entry
from listed o left join listed b on b.kind = o.kind and b.code = o.code and b.active = 0 and b.struck is null
where o.kind = 'work-order' and o.active = 1 and o.struck is null and (b.at_ms is null or b.at_ms >= ?1)
order by case when b.at_ms is null then 0 else 1 end, o.at_ms desc, o.entry desc limit ?2;
-- Whose deliveries of what are inspected by sample: how many were accepted and refused, the last size and its moment.
-- name: register_deliveries
select l.supplier, l.item, count(distinct l.id),
  coalesce(sum(case when c.ok = 1 then 1 else 0 end), 0), coalesce(sum(case when c.ok = 0 then 1 else 0 end), 0), max(n.at_ms)
from noted n join lot l on l.id = n.lot and l.struck is null
left join noted c on c.kind = 'delivery-check' and c.lot = n.lot and c.struck is null
where n.kind = 'delivery' and n.struck is null group by l.supplier, l.item order by l.supplier, l.item;
-- Packed lots whose pieces were counted, by check with its line and item.
-- name: register_packs
select n.code, n.place, l.item, count(distinct n.lot), sum(case when n.ok = 1 then 1 else 0 end), sum(case when n.ok = 0 then 1 else 0 end),
  max(n.at_ms)
from noted n join lot l on l.id = n.lot and l.struck is null
where n.kind = 'pack-check' and n.struck is null group by n.code, n.place, l.item order by n.code;
-- Complaints from a moment on: the item of their lot with them, newest first.
-- name: complaint_list
select n.entry, n.code, l.code, l.item, n.at_ms, n.data, d.person from noted n join daybook d on d.seq = n.entry
join lot l on l.id = n.lot and l.struck is null
where n.kind = 'complaint' and n.at_ms >= ?1 and n.struck is null order by n.at_ms desc, n.entry desc;
-- Pieces of each item that left for customers, a row a shipment, from a moment on.
-- name: complaint_shipped
select l.item, s.at_ms, sum(p.pieces) from shipment s join shipped p on p.shipment = s.id and p.struck is null
join lot l on l.id = p.lot and l.struck is null
where s.at_ms >= ?1 and s.struck is null group by s.id, l.item, s.at_ms order by s.at_ms;
