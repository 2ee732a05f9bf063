-- Lots, units, amounts, genealogy.

-- name: lot_by_code
select id, code, item, kind, place, born_ms, day, supplier, supplier_code, supplier_lot, best_before, markets, closed, entry
from lot where code = ?1 and struck is null;
-- name: lot_by_id
select id, code, item, kind, place, born_ms, day, supplier, supplier_code, supplier_lot, best_before, markets, closed, entry
from lot where id = ?1 and struck is null;
-- name: lot_of_supplier
select id, code, item, kind, place, born_ms, day, supplier, supplier_code, supplier_lot, best_before, markets, closed, entry
from lot where kind = 'supplier' and supplier = ?1 and supplier_code = ?2 and struck is null;
-- name: lot_count_item_day
select count(*) from lot where item = ?1 and day = ?2;
-- name: lot_in_chamber
select l.id, l.code, l.item, l.kind, l.place, l.born_ms, l.day, l.supplier, l.supplier_code, l.supplier_lot, l.best_before,
  l.markets, l.closed, l.entry
from chamber_use u join lot l on l.id = u.lot and l.struck is null
where u.place = ?1 and u.emptied_ms is null and u.struck is null order by u.start_ms desc limit 1;
-- name: chamber_use_of
select lot, place, item, start_ms, seed_mg, shares_ppm, emptied_ms from chamber_use where lot = ?1 and struck is null;
-- name: balance_of
select amount from balance where lot = ?1 and unit = ?2;
-- name: unit_by_code
select id, code, kind, state, place, parent, lot, pieces, mg, shipment from unit where code = ?1 and struck is null;
-- name: units_of_lot
select id, code, kind, state, place, parent, lot, pieces, mg, shipment from unit where lot = ?1 and struck is null order by id;
-- name: run_by_code
select id, code, place, family, allergens, start_ms, end_ms, carry_ms from run where code = ?1 and struck is null;
-- name: holds_on
select h.id, h.code, h.kind, h.stops, h.needs, h.reason, h.placed_ms from hold_on o join hold h on h.id = o.hold
where o.lot = ?1 and o.unit in (0, ?2) and o.struck is null and h.struck is null and h.lifted is null
group by h.id order by h.id;
