-- The day by the minute: what has begun on the lines, what stood on them last, what trucks take.

-- what a line may have carried over is not followed: each step is of what was put on it
-- name: dayline_steps
with recursive up(step, lot) as (
  select s.id, l.lot from step s join step_lot l on l.step = s.id and l.side = 'in' and l.struck is null
  where s.id >= ?3 and s.act in ('harvest', 'process', 'pack') and s.struck is null
    and s.start_ms >= ?1 and s.start_ms < ?2
  union
  select u.step, e.parent from up u
  join lot c on c.id = u.lot and c.struck is null and c.kind <> 'growing'
  join edge e on e.child = u.lot and e.basis = 'measured' and e.struck is null
)
select s.kind, coalesce(s.place, ''), s.start_ms, s.end_ms, g.lot, l.code, g.place, g.item,
  (select coalesce(sum(o.mg), 0) from step_lot o where o.step = s.id and o.side = 'out' and o.struck is null)
from up u join chamber_use g on g.lot = u.lot and g.struck is null
join lot l on l.id = g.lot and l.struck is null
join step s on s.id = u.step
order by s.start_ms, s.id, g.lot;
-- name: dayline_stood
select i.family, i.allergens, s.end_ms from step s
join step_lot l on l.step = s.id and l.side = 'in' and l.struck is null
join lot t on t.id = l.lot and t.struck is null
join item i on i.code = t.item and i.struck is null
  and i.entry = (select max(n.entry) from item n where n.code = i.code and n.struck is null)
where s.place = ?1 and s.act in ('harvest', 'process', 'pack') and s.struck is null and s.start_ms <= ?2
order by s.start_ms desc, s.id desc limit 1;
-- name: dayline_cleaned
select coalesce(max(end_ms), 0) from clean where place = ?1 and valid = 1 and struck is null and end_ms <= ?2;
-- name: dayline_orders
select o.key, o.customer, c.grp, c.priority, o.item, o.day, o.pieces
  - coalesce((select sum(s.pieces) from shipped s where s.order_key = o.key and s.struck is null), 0)
from order_line o join partner c on c.code = o.customer and c.struck is null
  and c.entry = (select max(n.entry) from partner n where n.code = c.code and n.struck is null)
where o.day between ?1 and ?2 and o.struck is null and o.state <> 'cancelled'
  and o.version = (select max(v.version) from order_line v where v.key = o.key and v.struck is null)
order by o.day, c.priority, o.key;
