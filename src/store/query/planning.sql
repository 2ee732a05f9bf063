-- What planning reads from the record.

-- name: planning_past
select c.grp, c.market, o.item, o.day, sum(o.pieces),
  o.day - (select min(d.day) from order_line f join daybook d on d.seq = f.entry
    where f.key = o.key and f.struck is null) as ahead
from order_line o
join partner c on c.code = o.customer and c.struck is null
  and c.entry = (select max(n.entry) from partner n where n.code = c.code and n.struck is null)
where o.day between ?1 and ?2 and o.struck is null and o.state <> 'cancelled'
  and o.version = (select max(v.version) from order_line v where v.key = o.key and v.struck is null)
group by c.grp, c.market, o.item, o.day, ahead order by o.day, o.item, c.grp, c.market, ahead;
-- name: planning_orders
select o.key, c.grp, c.market, o.item, o.day, o.pieces
  - coalesce((select sum(s.pieces) from shipped s where s.order_key = o.key and s.struck is null), 0),
  (select min(d.day) from order_line f join daybook d on d.seq = f.entry where f.key = o.key and f.struck is null)
from order_line o join partner c on c.code = o.customer and c.struck is null
  and c.entry = (select max(n.entry) from partner n where n.code = c.code and n.struck is null)
where o.day between ?1 and ?2 and o.struck is null and o.state <> 'cancelled'
  and o.version = (select max(v.version) from order_line v where v.key = o.key and v.struck is null)
order by o.day, o.key;
-- name: planning_booked
select o.day, sum(case when o.state = 'cancelled' then 0 else o.pieces end),
  sum(case when o.state = 'cancelled' then 1 else 0 end)
from order_line o where o.customer = ?1 and o.item = ?2 and o.day between ?3 and ?4 and o.struck is null
  and o.version = (select max(v.version) from order_line v where v.key = o.key and v.struck is null)
group by o.day order by o.day;
-- name: planning_first_order_day
select min(day) from order_line where struck is null;
-- name: planning_running
select u.lot, l.code, u.place, u.item, u.start_ms, u.seed_mg, u.shares_ppm, l.markets,
  (select count(*) from hold_on o join hold h on h.id = o.hold where o.lot = u.lot and o.struck is null and h.struck is null
    and h.lifted is null and h.kind <> 'laboratory'),
  coalesce((select n.data from noted n where n.kind = 'harvest-day' and n.lot = u.lot and n.struck is null order by n.entry desc limit 1),
  (select coalesce(o.data, '') from plan_taken t join lot g on g.id = u.lot
    left join noted o on o.entry = t.entry and o.n = 10000 + t.n and o.kind = 'off-days'
    where t.place = u.place and t.item = u.item and t.day = g.day and t.struck is null order by t.entry desc limit 1), '')
from chamber_use u join lot l on l.id = u.lot and l.struck is null
where u.struck is null and u.emptied_ms is null order by u.place;
-- name: planning_idle_since
select max(emptied_ms) from chamber_use where place = ?1 and struck is null;
-- name: planning_stock
select l.id, l.code, l.item, l.day, l.best_before, l.markets, b.amount,
  exists (select 1 from release r where r.lot = l.id and r.struck is null and r.revoked is null),
  (select count(*) from hold_on o join hold h on h.id = o.hold where o.lot = l.id and o.struck is null and h.struck is null
    and h.lifted is null and h.kind <> 'laboratory')
from lot l join balance b on b.lot = l.id and b.unit = 'mg' and b.amount > 0
where l.kind = 'packed' and l.struck is null and l.closed is null order by l.id;
-- name: planning_seed
select l.id, l.code, l.item, l.day, l.best_before, b.amount,
  coalesce((select s.state from seed_state s where s.lot = l.id and s.struck is null order by s.at_ms desc, s.entry desc limit 1), ''),
  coalesce((select s.markets from seed_state s where s.lot = l.id and s.struck is null order by s.at_ms desc, s.entry desc limit 1), ''),
  coalesce((select t.value from seed_test t where t.lot = l.id and t.kind = 'purity' and t.struck is null
    order by t.entry desc limit 1), 0),
  coalesce((select t.value from seed_test t where t.lot = l.id and t.kind = 'germination' and t.struck is null
    order by t.entry desc limit 1), 0),
  (select count(*) from hold_on o join hold h on h.id = o.hold where o.lot = l.id and o.struck is null and h.struck is null
    and h.lifted is null)
from lot l join balance b on b.lot = l.id and b.unit = 'mg' and b.amount > 0
where l.kind = 'seed' and l.struck is null and l.closed is null order by l.id;
-- name: planning_ingredients
select l.item, l.best_before, b.amount from lot l join balance b on b.lot = l.id and b.unit = 'mg' and b.amount > 0
where l.kind in ('ingredient', 'packaging') and l.struck is null and l.closed is null and not exists (select 1 from hold_on o
  join hold h on h.id = o.hold where o.lot = l.id and o.struck is null and h.struck is null and h.lifted is null)
order by l.item, l.best_before is null, l.best_before, l.id;
-- Everything that stands, for a house that receives fruit.
-- name: planning_received
select l.code, l.item, l.day, l.best_before, coalesce(l.supplier, ''), b.amount,
  (select count(*) from hold_on o join hold h on h.id = o.hold where o.lot = l.id and o.struck is null and h.struck is null
    and h.lifted is null)
from lot l join balance b on b.lot = l.id and b.unit = 'mg' and b.amount > 0
where l.kind <> 'supplier' and l.struck is null and l.closed is null order by l.id;
-- What entries after one moved, leg by leg. What came of a delivery agreed counts with that delivery.
-- name: planning_received_legs
select m.entry, d.day, coalesce(l.item, ''), coalesce(l.supplier, ''), coalesce(l.day, 0), l.best_before, coalesce(m.account, ''),
  m.amount, m.lot is not null and exists (select 1 from noted n where n.kind = 'delivery-come' and n.lot = m.lot and n.struck is null)
from movement m join daybook d on d.seq = m.entry left join lot l on l.id = m.lot and l.struck is null
where m.entry > ?1 and m.unit = 'mg' and m.struck is null order by m.entry, m.leg;
-- Deliveries agreed: what was agreed, the day of the first receipt that names them, and what all of those brought.
-- name: planning_received_agreed
select g.data, (select min(l.day) from noted n join lot l on l.id = n.lot and l.struck is null
    where n.kind = 'delivery-come' and n.code = g.code and n.struck is null),
  (select coalesce(sum(t.mg), 0) from noted n join step_lot t on t.lot = n.lot and t.side = 'out' and t.struck is null
    where n.kind = 'delivery-come' and n.code = g.code and n.struck is null)
from listed g where g.kind = 'delivery' and g.struck is null and g.active = 1
  and g.entry = (select max(m.entry) from listed m where m.kind = g.kind and m.code = g.code and m.struck is null)
order by g.code;
-- name: planning_received_before
select seq from daybook where recorded_ms < ?1 order by seq desc limit 1;
-- name: planning_history
select u.seed_mg, (select sum(s.mg) from edge e
  join step_lot s on s.lot = e.child and s.side = 'out' and s.struck is null
  join lot c on c.id = e.child and c.kind = 'harvested' and c.struck is null
  where e.parent = u.lot and e.struck is null), u.lot,
  coalesce((select n.data from noted n where n.kind = 'harvest-day' and n.lot = u.lot and n.struck is null order by n.entry desc limit 1),
  (select coalesce(o.data, '') from plan_taken t join lot g on g.id = u.lot
    left join noted o on o.entry = t.entry and o.n = 10000 + t.n and o.kind = 'off-days'
    where t.place = u.place and t.item = u.item and t.day = g.day and t.struck is null order by t.entry desc limit 1), ''),
  u.start_ms, (select min(c.born_ms) from edge e join lot c on c.id = e.child and c.kind = 'harvested' and c.struck is null
    where e.parent = u.lot and e.struck is null)
from (select lot, place, item, seed_mg, start_ms, entry from chamber_use
  where item = ?1 and emptied_ms is not null and struck is null
  order by start_ms desc, entry desc limit ?2) u
order by u.start_ms desc, u.entry desc;
-- The seed lots that a growing lot was filled with.
-- name: planning_grown_from
with recursive back(lot) as (
  select ?1
  union
  select e.parent from back b join edge e on e.child = b.lot where e.struck is null)
select p.id,
  coalesce((select t.value from seed_test t where t.lot = p.id and t.kind = 'purity' and t.struck is null
    order by t.entry desc limit 1), 0),
  coalesce((select t.value from seed_test t where t.lot = p.id and t.kind = 'germination' and t.struck is null
    order by t.entry desc limit 1), 0)
from back b join lot p on p.id = b.lot and p.struck is null where p.kind = 'seed' order by p.id;
-- name: planning_luck
select u.start_ms, u.emptied_ms,
  exists (select 1 from hold_on o join hold h on h.id = o.hold and h.kind <> 'laboratory' and h.lifted is null and h.struck is null
    where o.struck is null and (o.lot = u.lot or o.lot in
      (select e.child from edge e where e.parent = u.lot and e.struck is null)))
  or not exists (select 1 from edge e join lot c on c.id = e.child and c.kind = 'harvested' and c.struck is null
    where e.parent = u.lot and e.struck is null),
  coalesce((select n.data from noted n where n.kind = 'harvest-day' and n.lot = u.lot and n.struck is null order by n.entry desc limit 1),
  (select coalesce(o.data, '') from plan_taken t join lot g on g.id = u.lot
    left join noted o on o.entry = t.entry and o.n = 10000 + t.n and o.kind = 'off-days'
    where t.place = u.place and t.item = u.item and t.day = g.day and t.struck is null order by t.entry desc limit 1), ''),
  exists (select 1 from sample s join finding f on f.sample = s.id and f.struck is null and f.state <> 'pending'
    where s.struck is null and (s.lot = u.lot or s.lot in
      (select e.child from edge e where e.parent = u.lot and e.struck is null))),
  exists (select 1 from sample s cross join finding f on f.sample = s.id and f.struck is null
      and f.state in ('presumptive', 'invalid') and f.second_person is null
    cross join sample w on w.struck is null and (w.id = s.id or w.taken_ms > f.at_ms)
    cross join finding n on n.sample = w.id and n.organism = f.organism and n.entry > f.entry and n.struck is null
      and n.second_person is null and n.state not in ('pending', 'presumptive', 'invalid')
    where s.struck is null and (s.lot = u.lot or s.lot in
      (select e.child from edge e where e.parent = u.lot and e.struck is null))
      and (w.lot = u.lot or w.lot in
      (select e.child from edge e where e.parent = u.lot and e.struck is null))),
  exists (select 1 from hold_on o join hold h on h.id = o.hold and h.kind <> 'laboratory' and h.lifted is null and h.struck is null
    where o.struck is null and (o.lot = u.lot or o.lot in
      (select e.child from edge e where e.parent = u.lot and e.struck is null))
      and (h.kind = 'positive' or h.placed_ms >= (select min(c.born_ms) from edge e
        join lot c on c.id = e.child and c.kind = 'harvested' and c.struck is null where e.parent = u.lot and e.struck is null)))
from chamber_use u where u.item = ?1 and u.emptied_ms is not null and u.struck is null
order by u.start_ms desc, u.entry desc limit 60;
-- Of the samples of a lot and of what it was made from after soaking: is some organism's newest result one that leaves it open?
-- What settles it is a later result of the same sample or of one drawn since; other samples of the same day settle nothing.
-- name: planning_open_result
with recursive back(lot) as (
  select ?1
  union
  select e.parent from back b join edge e on e.child = b.lot and e.struck is null
  join lot l on l.id = e.parent and l.struck is null and l.kind not in ('seed', 'supplier', 'load'))
select exists (select 1 from back b cross join sample s on s.lot = b.lot and s.struck is null
    cross join finding f on f.sample = s.id and f.struck is null and f.state in ('presumptive', 'invalid')
  where not exists (select 1 from back c cross join sample w on w.lot = c.lot and w.struck is null
        and (w.id = s.id or w.taken_ms > f.at_ms)
      cross join finding n on n.sample = w.id and n.organism = f.organism and n.entry > f.entry and n.struck is null
        and n.state not in ('pending', 'presumptive', 'invalid')));
-- The chamber lots that a lot holds, the one soaked last first.
-- name: planning_batches_of
with recursive back(lot) as (
  select ?1
  union
  select e.parent from back b join edge e on e.child = b.lot where e.struck is null)
select l.code, u.start_ms from back b join chamber_use u on u.lot = b.lot and u.struck is null
join lot l on l.id = u.lot and l.struck is null order by u.start_ms desc, u.lot;
-- name: planning_taken
select t.day, t.place, t.item, t.seed_mg, t.grow_days, coalesce(l.code, ''),
  exists (select 1 from chamber_use c join lot g on g.id = c.lot and g.struck is null
    where c.place = t.place and c.item = t.item and g.day = t.day and c.struck is null),
  coalesce(o.data, '')
from plan_taken t
left join lot l on l.id = t.seed_lot and l.struck is null
left join noted o on o.entry = t.entry and o.n = 10000 + t.n and o.kind = 'off-days'
where t.struck is null and t.entry = (select max(entry) from plan_taken where struck is null) and t.day >= ?1 order by t.n;

-- Each order's newest promise.
-- name: planning_promised
select n.code, n.data, n.entry, n.at_ms from noted n
where n.kind = 'promise' and n.struck is null
  and n.entry = (select max(m.entry) from noted m where m.kind = 'promise' and m.code = n.code and m.struck is null)
  and exists (select 1 from order_line o where o.key = n.code and o.day >= ?1 and o.struck is null and o.state <> 'cancelled')
order by n.code;
-- name: promise_of_order
select n.data from noted n where n.kind = 'promise' and n.code = ?1 and n.struck is null
  and n.entry = (select max(m.entry) from noted m where m.kind = 'promise' and m.code = n.code and m.struck is null) order by n.n;
-- What has left for an order as packs of an item.
-- name: shipped_as
select s.pieces from shipped s join lot l on l.id = s.lot and l.struck is null
where s.order_key = ?1 and l.item = ?2 and s.struck is null;
-- Plans against the floor: every start that a plan meant for days ?1 to ?2, the newest plan last.
-- name: floor_planned
select t.entry, t.day, t.place, t.item, t.seed_mg, t.grow_days from plan_taken t
where t.struck is null and t.day between ?1 and ?2 order by t.entry, t.n;
-- The plan in force on a house day: the newest one taken on it or before.
-- name: floor_in_force
select max(t.entry) from plan_taken t join daybook d on d.seq = t.entry where t.struck is null and d.day <= ?1;
-- What was told of starts that went otherwise, from a moment on, the newest last.
-- name: floor_departures
select n.entry, n.code, n.data, d.person from noted n join daybook d on d.seq = n.entry
where n.kind = ?1 and n.at_ms >= ?2 and n.struck is null order by n.at_ms, n.entry;
-- What was started on days ?1 to ?2, with what was harvested of it, on which day last and when first.
-- name: floor_made
select u.entry, l.code, l.day, u.place, u.item, u.seed_mg, u.emptied_ms,
  (select max(c.day) from edge e join lot c on c.id = e.child and c.kind = 'harvested' and c.struck is null
    where e.parent = u.lot and e.struck is null),
  coalesce((select sum(s.mg) from edge e join step_lot s on s.lot = e.child and s.side = 'out' and s.struck is null
    join lot c on c.id = e.child and c.kind = 'harvested' and c.struck is null
    where e.parent = u.lot and e.struck is null), 0),
  u.start_ms, (select min(c.born_ms) from edge e join lot c on c.id = e.child and c.kind = 'harvested' and c.struck is null
    where e.parent = u.lot and e.struck is null)
from chamber_use u join lot l on l.id = u.lot and l.struck is null
where u.struck is null and l.day between ?1 and ?2 order by l.day, u.place;
