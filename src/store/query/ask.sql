-- What a number rests on: entry, unit, amount, how it is known, the instrument. The unit "" names a line without an amount of its
-- own; how is '' where nobody told it. Readings are
-- kept in thousandths: "milli C". ?1 is what is asked about, ?2 what else tells it. Struck rows are never seen.

-- name: ask_entry
select d.seq, '', 0, '', null from daybook d where d.seq = ?1 and ?2 = '';
-- name: ask_record
select d.seq, '', 0, '', null from daybook d where ?1 = '' and ?2 = '' order by d.seq desc limit 1;

-- name: ask_amount
select m.entry, m.unit, m.amount, m.how, m.instrument from lot l join movement m on m.lot = l.id and m.struck is null
where l.code = ?1 and l.struck is null and (?2 = '' or m.unit = ?2);
-- What ever went into it.
-- name: ask_made
select m.entry, m.unit, m.amount, m.how, m.instrument from lot l join movement m on m.lot = l.id and m.struck is null
where l.code = ?1 and l.struck is null and m.amount > 0 and (?2 = '' or m.unit = ?2);
-- name: ask_life
select l.entry, 'd', l.best_before - l.day, '', null from lot l
where l.code = ?1 and ?2 = '' and l.best_before is not null and l.struck is null;
-- name: ask_cases
select u.entry, 'case', count(*), 'counted', null from lot l join unit u on u.lot = l.id and u.kind = 'case' and u.struck is null
where l.code = ?1 and ?2 = '' and l.struck is null group by u.entry
union all
select s.entry, 'case', -count(*), 'counted', null from lot l join shipped s on s.lot = l.id and s.unit <> 0 and s.struck is null
where l.code = ?1 and l.struck is null group by s.entry;
-- Dry matter: the seed that went in, what was harvested, the moistures.
-- name: ask_dry
select c.entry, 'mg', c.seed_mg, '', null from lot l join chamber_use c on c.lot = l.id and c.struck is null
where l.code = ?1 and ?2 = '' and l.struck is null
union all
select r.entry, r.unit, coalesce(r.value, 0), '', r.instrument from lot l
join reading r on r.kind = 'sprout-moisture' and r.lot = l.id and r.struck is null where l.code = ?1 and l.struck is null
union all
select e.entry, 'mg', e.mg, '', null from lot l join edge e on e.parent = l.id and e.struck is null
join lot c on c.id = e.child and c.kind = 'harvested' and c.struck is null where l.code = ?1 and l.struck is null;
-- name: ask_packed
select p.entry, case when ?2 = 'pc' then 'pc' else 'mg' end, case ?2 when 'pc' then p.pieces when 'declared' then p.declared_mg
  when 'giveaway' then p.giveaway_mg else p.mean_net_mg end, '', null
from lot l join packed p on p.lot = l.id and p.struck is null where l.code = ?1 and l.struck is null;
-- name: ask_unit
select u.entry, 'pc', u.pieces, 'counted', null from unit u where u.code = ?1 and ?2 = '' and u.struck is null
union all
select s.entry, '', 0, '', null from unit u join shipped s on s.unit = u.id and s.lot = u.lot and s.struck is null
where u.code = ?1 and u.struck is null;
-- name: ask_hold
select o.entry, case when o.unit <> 0 then 'unit' else 'lot' end, count(*), '', null
from hold h join hold_on o on o.hold = h.id and o.struck is null
where h.code = ?1 and ?2 = '' and h.struck is null group by o.entry, o.unit <> 0;
-- name: ask_shipment
select p.entry, 'pc', sum(p.pieces), '', null from shipment s join shipped p on p.shipment = s.id and p.struck is null
left join lot l on l.id = p.lot and l.struck is null
where s.code = ?1 and (?2 = '' or ',' || ?2 || ',' like '%,' || l.code || ',%') and s.struck is null group by p.entry
union all
select p.entry, 'mg', sum(p.mg), '', null from shipment s join shipped p on p.shipment = s.id and p.struck is null
left join lot l on l.id = p.lot and l.struck is null
where s.code = ?1 and (?2 = '' or ',' || ?2 || ',' like '%,' || l.code || ',%') and s.struck is null group by p.entry;

-- What grows in a chamber now, and what was harvested of it.
-- name: ask_chamber
select c.entry, 'mg', c.seed_mg, '', null from chamber_use c
where c.place = ?1 and ?2 = '' and c.emptied_ms is null and c.struck is null
union all
select e.entry, 'mg', -e.mg, '', null from chamber_use c join edge e on e.parent = c.lot and e.struck is null
join lot h on h.id = e.child and h.kind = 'harvested' and h.struck is null
where c.place = ?1 and c.emptied_ms is null and c.struck is null;
-- The seed in it, and what the last sixty batches of the crop gave.
-- name: ask_expected
select c.entry, 'mg', c.seed_mg, '', null from chamber_use c
where c.place = ?1 and ?2 = '' and c.emptied_ms is null and c.struck is null
union all
select e.entry, 'mg', e.mg, '', null from edge e join lot h on h.id = e.child and h.kind = 'harvested' and h.struck is null
where e.struck is null and e.parent in (select b.lot from chamber_use b where b.emptied_ms is not null and b.struck is null
  and b.item = (select c.item from chamber_use c where c.place = ?1 and c.emptied_ms is null and c.struck is null)
  order by b.start_ms desc limit 60);
-- The last pieces of a logger: by the name of the place, the same in small letters, or kind and number.
-- name: ask_logged
select p.entry, 'reading', p.count, '', null from piece p
where p.series in (?1, lower(?1), ?2) and p.dropped is null and p.struck is null order by p.from_ms desc limit 50;
-- name: ask_checks
select r.entry, case when r.value is null then '' when r.unit = 'ppm' then r.unit else 'milli ' || r.unit end,
  coalesce(r.value, 0), '', r.instrument from reading r
where r.kind = ?2 and r.place = ?1 and r.struck is null order by r.at_ms desc limit 50;
-- name: ask_watering
select r.entry, 'milli ' || r.unit, coalesce(r.value, 0), '', r.instrument from chamber_use c
join reading r on r.kind = 'watering' and r.lot = c.lot and r.struck is null
where c.place = ?1 and ?2 = '' and c.emptied_ms is null and c.struck is null;
-- name: ask_run
select m.entry, m.unit, m.amount, m.how, m.instrument from run u join step s on s.run = u.id and s.struck is null
join step_lot o on o.step = s.id and o.struck is null and (?2 = '' or o.side = ?2)
join movement m on m.entry = s.entry and m.lot = o.lot and m.struck is null
where u.code = ?1 and u.struck is null group by m.entry, m.leg;

-- A kind of step: what went in, what came out, or what is between.
-- name: ask_step
select s.entry, 'mg', sum(case o.side when 'in' then case when ?2 = 'out' then 0 else o.mg end
  when 'out' then case ?2 when 'in' then 0 when 'out' then o.mg else -o.mg end else 0 end), '', null
from step s join step_lot o on o.step = s.id and o.struck is null
where s.kind = ?1 and s.act in ('harvest', 'process', 'pack') and s.struck is null group by s.entry;
-- name: ask_account
select m.entry, m.unit, m.amount, m.how, m.instrument from movement m
where m.account = ?1 and m.unit = ?2 and m.struck is null;
-- name: ask_owed
select o.entry, o.unit, o.amount, '', null from owed o join lot l on l.id = o.lot and l.struck is null
where l.code = ?1 and (?2 = '' or o.unit = ?2) and o.closed is null and o.struck is null;

-- A house day: what was harvested, soaked, shipped (its moments from ?2 to ?3) and stopped; from ?4, today, on also what is
-- taken into the plan and ordered.
-- name: ask_day
select l.entry, case l.kind when 'harvested' then 'harvest' else 'soak' end, 1, '', null
from lot l where l.kind in ('harvested', 'growing') and l.day = ?1 and l.struck is null
union all
select t.entry, 'soak', 1, '', null from plan_taken t
where t.day = ?1 and ?1 >= ?4 and t.struck is null and t.entry = (select max(n.entry) from plan_taken n where n.struck is null)
  and not exists (select 1 from chamber_use c join lot g on g.id = c.lot and g.struck is null
    where c.place = t.place and g.day = t.day and c.struck is null)
union all
select p.entry, 'mg', sum(p.mg), '', null from shipment s join shipped p on p.shipment = s.id and p.struck is null
where s.at_ms >= ?2 and s.at_ms < ?3 and s.struck is null group by p.entry
union all
select o.entry, 'pc', o.pieces - coalesce((select sum(s.pieces) from shipped s where s.order_key = o.key and s.struck is null), 0),
  '', null
from order_line o where o.day = ?1 and ?1 >= ?4 and o.struck is null and o.state <> 'cancelled'
  and o.version = (select max(n.version) from order_line n where n.key = o.key and n.struck is null)
  and o.pieces > coalesce((select sum(s.pieces) from shipped s where s.order_key = o.key and s.struck is null), 0)
union all
select h.entry, 'stopped', 1, '', null from hold h
where h.kind <> 'laboratory' and ?1 <= ?4 and h.struck is null and h.placed_ms < ?3 and (h.lifted is null or h.lifted >= ?2);
-- name: ask_orders
select o.entry, 'pc', o.pieces - coalesce((select sum(s.pieces) from shipped s where s.order_key = o.key and s.struck is null), 0),
  '', null
from order_line o where o.day = ?1 and (?2 = '' or o.item = ?2) and o.struck is null and o.state <> 'cancelled'
  and o.version = (select max(n.version) from order_line n where n.key = o.key and n.struck is null);
-- What a plan can send on a day: the packs that are here, and what grows.
-- name: ask_supply
select l.entry, 'pc', b.amount, '', null from lot l join balance b on b.lot = l.id and b.unit = 'pc' and b.amount > 0
where l.kind = 'packed' and (?2 = '' or l.item = ?2) and l.day <= ?1 and l.closed is null and l.struck is null
union all
select c.entry, 'mg', c.seed_mg, '', null from chamber_use c where c.emptied_ms is null and c.struck is null
  and (?2 = '' or c.item in (select i.source_item from item i where i.code = ?2 and i.struck is null));
-- name: ask_start
select t.entry, 'mg', t.seed_mg, '', null from plan_taken t where t.day = ?1 and t.place = ?2 and t.struck is null
  and t.entry = (select max(n.entry) from plan_taken n where n.struck is null);
-- A limit: its changes, and the profile that gave it first.
-- name: ask_limit
select c.entry, '', 0, '', null from limit_change c where c.name = ?1 and ?2 = '' and c.struck is null
union all
select max(p.entry), '', 0, '', null from profile p where p.struck is null having max(p.entry) is not null;
-- name: ask_partner
select p.entry, 'd', p.life_days, '', null from partner p where p.code = ?1 and ?2 = '' and p.struck is null
order by p.entry desc limit 1;
