-- The genealogy: read whole into memory, looked up by ranges of lots, and asked recursively where an
-- answer from the memory is to be compared. Struck rows are never seen.

-- The bases as numbers: 0 measured, 1 possible, 2 unknown, 3 anything else.
-- name: trace_edges
select parent, child, entry, mg, case basis when 'measured' then 0 when 'possible' then 1 when 'unknown' then 2 else 3 end
from edge where struck is null;

-- name: trace_shipments
select id, code, customer from shipment where struck is null order by id;

-- name: trace_shipped
select shipment, lot, pieces, mg, entry from shipped where struck is null order by shipment, lot, unit;

-- name: trace_start_lot
select id, kind from lot where code = ?1 and struck is null;

-- A unit with all units in it.
-- name: trace_start_unit
with recursive inside(id) as (
  select id from unit where code = ?1 and struck is null
  union
  select u.id from unit u join inside i on u.parent = i.id where u.struck is null)
select u.lot, sum(u.mg) from unit u join inside i on i.id = u.id where u.lot <> 0 group by u.lot order by u.lot;

-- name: trace_start_shipment
select sp.lot, sum(sp.mg) from shipment sh join shipped sp on sp.shipment = sh.id
where sh.code = ?1 and sh.struck is null and sp.struck is null group by sp.lot order by sp.lot;

-- name: trace_start_supplier_lot
select id from lot where supplier_lot = ?1 and struck is null order by id;

-- name: trace_lots
select id, code, item, kind, place, born_ms, supplier, supplier_code, supplier_lot, best_before, closed, day
from lot where id between ?1 and ?2 and struck is null order by id;

-- name: trace_balances
select lot, unit, amount from balance where lot between ?1 and ?2 order by lot;

-- name: trace_lot_entries
select lot, entry from movement where lot between ?1 and ?2 and unit = 'mg' and struck is null order by lot;

-- name: trace_legs
select entry, lot, account, amount from movement
where entry between ?1 and ?2 and unit = 'mg' and struck is null order by entry, leg;

-- name: trace_units
select lot, code, kind, state, place, pieces, mg from unit
where lot between ?1 and ?2 and state in ('here', 'returned') and struck is null order by lot, id;

-- name: trace_left
select sp.lot, sh.code, sh.customer, sh.at_ms, u.code, sp.pieces, sp.mg
from shipped sp join shipment sh on sh.id = sp.shipment and sh.struck is null left join unit u on u.id = sp.unit
where sp.lot between ?1 and ?2 and sp.struck is null order by sp.lot, sp.shipment, sp.unit;

-- name: trace_holds
select o.lot, u.code, h.code, h.kind, h.reason, h.placed_ms, o.via
from hold_on o join hold h on h.id = o.hold and h.struck is null and h.lifted is null left join unit u on u.id = o.unit
where o.lot between ?1 and ?2 and o.struck is null order by o.lot, h.id, o.unit;

-- name: trace_steps
select s.entry, s.kind, s.act, s.place, r.code, s.start_ms, s.end_ms from step s left join run r on r.id = s.run and r.struck is null
where s.id between ?1 * 4096 and ?2 * 4096 + 4095 and s.struck is null order by s.id;

-- The slow way, straight from the record.
-- name: trace_reach_forward
with recursive reached(lot) as (
  select ?1
  union
  select e.child from reached r join edge e on e.parent = r.lot where e.struck is null)
select lot from reached order by lot;

-- name: trace_reach_back
with recursive reached(lot) as (
  select ?1
  union
  select e.parent from reached r join edge e on e.child = r.lot where e.struck is null)
select lot from reached order by lot;
