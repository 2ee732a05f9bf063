-- Packing lines with their runs, and what is kept in the cold. Struck rows are never seen.

-- name: packing_lines
select p.code, p.name, p.in_service, (select max(s.end_ms) from step s where s.place = p.code and s.act = 'pack' and s.struck is null)
from place p where p.kind = 'pack-line' and p.struck is null
  and p.entry = (select max(n.entry) from place n where n.code = p.code and n.struck is null) order by p.code;
-- The last reading of a check at a place or in what stands in it: when, its entry, good or not.
-- name: packing_check_last
with recursive inside(code) as (
  select ?1
  union
  select p.code from inside i join place p on p.parent = i.code and p.struck is null
  where p.entry = (select max(n.entry) from place n where n.code = p.code and n.struck is null))
select r.at_ms, r.entry, r.ok from reading r
where r.kind = ?2 and r.place in (select code from inside) and r.struck is null order by r.at_ms desc, r.entry desc limit 1;
-- The last runs of packing lines and what they gave: pieces, cases, declared mass, packed mass, giveaway.
-- name: packing_runs
select u.code, u.place, u.family, u.start_ms, coalesce(u.end_ms, 0), u.entry, count(p.lot), coalesce(sum(p.pieces), 0),
  coalesce(sum((select count(*) from unit c where c.lot = p.lot and c.entry = p.entry and c.kind = 'case' and c.struck is null)), 0),
  coalesce(sum(p.pieces * p.declared_mg), 0), coalesce(sum(p.pieces * p.mean_net_mg), 0), coalesce(sum(p.giveaway_mg), 0)
from run u left join step s on s.run = u.id and s.act = 'pack' and s.struck is null
left join packed p on p.entry = s.entry and p.struck is null
where u.struck is null and u.place in (select code from place where kind = 'pack-line' and struck is null)
group by u.id order by u.start_ms desc, u.id desc limit ?1;
-- The last lots that were packed, with the last label check of each.
-- name: packing_lots
select p.entry, s.end_ms, s.place, coalesce(u.code, ''), l.code, l.item, p.pieces, p.declared_mg, p.mean_net_mg, p.giveaway_mg,
  (select count(*) from unit c where c.lot = l.id and c.entry = p.entry and c.kind = 'case' and c.struck is null),
  (select count(*) from hold_on o join hold h on h.id = o.hold where o.lot = l.id and o.struck is null and h.struck is null
    and h.lifted is null),
  exists (select 1 from release r where r.lot = l.id and r.revoked is null and r.struck is null), coalesce(l.closed, 0),
  (select r.entry * 2 + r.ok from reading r where r.kind = 'label-check' and r.lot = l.id and r.struck is null
    order by r.at_ms desc, r.entry desc limit 1)
from packed p join lot l on l.id = p.lot and l.struck is null
join step s on s.entry = p.entry and s.act = 'pack' and s.struck is null left join run u on u.id = s.run and u.struck is null
where p.struck is null order by p.entry desc limit ?1;

-- name: keeping_rooms
select p.code, p.name, (select count(*) from lot l join balance b on b.lot = l.id and b.unit = 'mg' and b.amount > 0
    where l.place = p.code and l.closed is null and l.struck is null),
  (select coalesce(sum(b.amount), 0) from lot l join balance b on b.lot = l.id and b.unit = 'mg' and b.amount > 0
    where l.place = p.code and l.closed is null and l.struck is null)
from place p where p.kind = 'cold-room' and p.struck is null
  and p.entry = (select max(n.entry) from place n where n.code = p.code and n.struck is null) order by p.code;
-- name: keeping_read_last
select r.at_ms, r.value, r.entry from reading r where r.kind = 'cold-check' and r.place = ?1 and r.struck is null
order by r.at_ms desc, r.entry desc limit 1;
-- name: keeping_excursions
select d.entry, d.what, coalesce(d.from_ms, 0), coalesce(d.to_ms, 0), coalesce(d.closed, 0) from deviation d
where d.place = ?1 and d.struck is null order by d.id desc limit 5;
-- What is kept: packed lots, and all that stands in a cold room. The first to expire comes first.
-- name: keeping_stock
select l.code, l.item, l.kind, l.place, b.amount, coalesce(p.amount, 0), l.born_ms, l.day, coalesce(l.best_before, 0), l.markets,
  (select count(*) from hold_on o join hold h on h.id = o.hold where o.lot = l.id and o.struck is null and h.struck is null
    and h.lifted is null),
  exists (select 1 from release r where r.lot = l.id and r.revoked is null and r.struck is null)
from lot l join balance b on b.lot = l.id and b.unit = 'mg' and b.amount > 0
left join balance p on p.lot = l.id and p.unit = 'pc'
where l.closed is null and l.struck is null and l.kind <> 'supplier'
  and (l.kind = 'packed' or l.place in (select code from place where kind = 'cold-room' and struck is null))
order by l.best_before is null, l.best_before, l.id;
-- The customers with the days of life that they want left.
-- name: keeping_customers
select p.code, p.life_days, p.market, p.entry, p.grp from partner p where p.role = 'customer' and p.struck is null
  and p.entry = (select max(n.entry) from partner n where n.code = p.code and n.struck is null) order by p.life_days desc, p.code;
