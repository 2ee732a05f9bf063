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
order by place, unit, at_ms, entry, n;
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
