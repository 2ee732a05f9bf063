-- What the clauses of release look at, one kind of row a query. Struck rows are never seen.

-- name: evidence_lot
select l.code, l.item, l.kind, l.place, coalesce(l.supplier_lot, 0), l.entry,
  coalesce((select i.family from item i where i.code = l.item and i.struck is null
    order by i.entry desc limit 1), ''),
  coalesce((select i.allergens from item i where i.code = l.item and i.struck is null
    order by i.entry desc limit 1), ''),
  coalesce((select c.start_ms from chamber_use c where c.lot = l.id and c.struck is null
    order by c.entry desc limit 1), 0)
from lot l where l.id = ?1 and l.struck is null;

-- name: evidence_parents
select distinct e.parent from edge e join lot l on l.id = e.parent and l.struck is null
where e.child = ?1 and e.struck is null order by e.parent;

-- name: evidence_seed_states
select state, markets, at_ms, entry from seed_state where lot = ?1 and struck is null
order by entry;

-- name: evidence_treatments
select t.way, t.recipe, t.reason, t.met, t.data, t.at_ms, t.entry, d.body
from treatment t join daybook d on d.seq = t.entry
where t.lot = ?1 and t.struck is null order by t.entry;

-- name: evidence_constants
select entry from heat_constants where entry = ?1 and struck is null;

-- name: evidence_paper
select kind from paper where sha256 = ?1 and struck is null order by entry limit 1;

-- A lot on a place: made there, or passed over it (then it stands on both sides of the step). What
-- grows is in its chamber until that is emptied.
-- name: evidence_contacts
select s.entry, s.act, s.place, coalesce(s.run, 0), r.family, r.allergens, s.start_ms, l.from_ms,
  case when s.act = 'grow' then coalesce((select coalesce(c.emptied_ms, ?2) from chamber_use c
    where c.lot = l.lot and c.struck is null), l.to_ms) else l.to_ms end,
  not exists (select 1 from step_lot i where i.step = s.id and i.lot = l.lot
    and i.side = 'in' and i.struck is null)
from step_lot l join step s on s.id = l.step and s.struck is null
left join run r on r.id = s.run and r.struck is null
where l.lot = ?1 and l.side = 'out' and l.struck is null
order by l.from_ms, s.id;

-- Product that went over a place. A chamber's own uses stand in chamber_use; goods that only get
-- another code or place touch nothing; what falls off beside the product is not asked for itself;
-- what was over before ?4 is left out.
-- name: evidence_uses
select l.lot, t.code, s.entry, coalesce(s.run, 0),
  coalesce(r.family, (select i.family from item i where i.code = t.item and i.struck is null
    order by i.entry desc limit 1), ''),
  coalesce(r.allergens, (select i.allergens from item i where i.code = t.item and i.struck is null
    order by i.entry desc limit 1), ''),
  l.from_ms, l.to_ms
from step s join step_lot l on l.step = s.id and l.side = 'out' and l.struck is null
join lot t on t.id = l.lot and t.struck is null
left join run r on r.id = s.run and r.struck is null
where s.place = ?1 and s.start_ms between ?2 and ?3 and l.to_ms >= ?4 and s.struck is null
  and s.act not in ('grow', 'split', 'join', 'move', 'return', 'count')
  and (t.kind <> 'by-product' or not exists (select 1 from step_lot m join lot p on p.id = m.lot
    and p.struck is null where m.step = s.id and m.side = 'out' and m.struck is null
    and p.kind <> 'by-product'))
order by s.start_ms, s.id, l.lot;

-- ?4: what ended before is left out.
-- name: evidence_chamber_uses
select c.lot, t.code, c.entry, c.start_ms, coalesce(c.emptied_ms, ?3) from chamber_use c
join lot t on t.id = c.lot and t.struck is null
where c.place = ?1 and c.start_ms <= ?2 and (c.emptied_ms is null or c.emptied_ms >= ?4)
  and c.struck is null order by c.start_ms, c.entry;

-- ?5: what ended before is left out.
-- name: evidence_runs
select id, code, family, allergens, start_ms, coalesce(end_ms, ?4) from run
where place = ?1 and start_ms between ?2 and ?3 and (end_ms is null or end_ms >= ?5)
  and struck is null order by start_ms, id;

-- The cleans that ended before a moment, the last first.
-- name: evidence_cleans
select valid, start_ms, end_ms, entry from clean
where place = ?1 and end_ms <= ?2 and struck is null order by end_ms desc, entry desc;

-- name: evidence_samples
select id, code, location, what, taken_ms, volume_ml, entry from sample
where lot = ?1 and struck is null order by entry, id;

-- The newest first.
-- name: evidence_water_samples
select id, code, location, what, taken_ms, volume_ml, entry from sample
where place = ?1 and what = 'water' and taken_ms between ?2 and ?3 and struck is null
order by taken_ms desc, entry desc, id desc;

-- name: evidence_swabs_positive
select distinct s.id, s.code, s.place, s.location, s.taken_ms, s.volume_ml, s.entry from finding f
join sample s on s.id = f.sample and s.struck is null
where f.state = 'confirmed-positive' and f.struck is null and s.place is not null
  and s.what = 'swab' order by s.entry, s.id;

-- name: evidence_findings
select f.organism, f.state, f.method, f.report is not null, f.by_hand, coalesce(f.second_person, 0),
  d.person, f.at_ms, f.entry, f.report
from finding f join daybook d on d.seq = f.entry
where f.sample = ?1 and f.struck is null order by f.entry, f.organism;

-- Every lot that holds something of a lot whose sample was confirmed positive.
-- name: evidence_positive_lots
with recursive held(lot) as (
  select s.lot from finding f join sample s on s.id = f.sample and s.struck is null
    where f.state = 'confirmed-positive' and f.struck is null and s.lot is not null
  union
  select e.child from held h join edge e on e.parent = h.lot where e.struck is null)
select lot from held order by lot;

-- name: evidence_readings_of_lot
select kind, place, coalesce(run, 0), ok, coalesce(value, 0), data, at_ms, entry from reading
where kind = ?1 and lot = ?2 and struck is null order by at_ms, id;

-- name: evidence_readings_at
select place, coalesce(run, 0), ok, at_ms, entry from reading
where kind = ?1 and place = ?2 and at_ms between ?3 and ?4 and struck is null
order by at_ms, id;

-- Readings of the water at a place that say something of its disinfectant, or that something is out: one row a reading.
-- name: evidence_water_readings_at
select min(ok), at_ms, entry from reading
where kind = 'water-reading' and place = ?1 and at_ms between ?2 and ?3 and struck is null
group by entry, at_ms having min(ok) = 0 or max(case when unit = 'mg/L' then 1 else 0 end) = 1 order by at_ms, entry;

-- name: evidence_readings_nowhere
select place, coalesce(run, 0), ok, at_ms, entry from reading
where kind = ?1 and place is null and at_ms between ?2 and ?3 and struck is null
order by at_ms, id;

-- name: evidence_environments
select id, place, opened_ms, data, entry from environment
where product_hold = 1 and closed_ms is null and struck is null order by id;

-- An entry with each of its reviews.
-- name: evidence_entry
select d.kind, d.person, r.entry, r.person from daybook d
left join review r on r.of_entry = d.seq and r.struck is null where d.seq = ?1 order by r.entry;

-- Samples, reviews, actions as commands name them.

-- name: sample_by_code
select id, lot, place, location, what, taken_ms, entry from sample
where code = ?1 and struck is null;

-- The newest samples of a place first.
-- name: swabs_of_place
select id, code, location from sample where place = ?1 and what = 'swab' and taken_ms >= ?2
  and struck is null order by taken_ms desc, id desc;

-- name: environment_by_id
select place, product_hold, opened_ms, data, entry from environment
where id = ?1 and closed_ms is null and struck is null;

-- The scope of a positive.

-- name: positive_newest
-- kept: finding
select coalesce(max(entry), 0) from finding where state = 'confirmed-positive';
-- The confirmed positives that an entry told, each only where it is the first of its kind.
-- name: scope_positives
select s.id, s.code, s.lot, s.place, s.what, s.taken_ms, f.organism, s.location from finding f
join sample s on s.id = f.sample and s.struck is null
where f.entry = ?1 and f.state = 'confirmed-positive' and f.struck is null
  and f.second_person is null and not exists (select 1 from finding g where g.sample = f.sample
    and g.organism = f.organism and g.entry < f.entry and g.state = 'confirmed-positive'
    and g.struck is null)
order by s.id, f.organism;

-- name: scope_deliveries
select id from lot where supplier_lot = ?1 and kind = 'seed' and struck is null order by id;

-- name: scope_clean_after
select start_ms, end_ms from clean where place = ?1 and start_ms >= ?2 and valid = 1
  and struck is null order by end_ms, entry;

-- What came off a place, hulls, roots and culls as well: they met the same surface.
-- name: scope_uses
select l.lot, l.from_ms, l.to_ms from step s
join step_lot l on l.step = s.id and l.side = 'out' and l.struck is null
where s.place = ?1 and s.start_ms between ?2 and ?3 and s.struck is null
  and s.act not in ('grow', 'split', 'join', 'move', 'return', 'count')
order by s.start_ms, s.id, l.lot;

-- name: scope_waterings
select lot, data, at_ms, entry from reading where kind = 'watering' and place = ?1
  and at_ms >= ?2 and struck is null and lot is not null order by at_ms, entry;

-- name: scope_customers
select sh.customer, sum(sp.pieces), sum(sp.mg) from shipped sp
join shipment sh on sh.id = sp.shipment and sh.struck is null
where sp.lot = ?1 and sp.struck is null group by sh.customer order by sh.customer;

-- name: scope_releases
select entry from release where lot = ?1 and revoked is null and struck is null order by entry;
