-- What verify looks at. Each derived table whole, key columns first, in order of the key: read once from the record and once from
-- a replay of its entries.

-- name: verify_strike
select of_entry, entry from strike order by of_entry;
-- name: verify_changed
select name, of_row, entry, struck from changed order by name, of_row, entry;
-- name: verify_person
select number, entry, role, active, struck from person order by number, entry;
-- name: verify_profile
select entry, digest, name, from_ms, struck from profile order by entry;
-- name: verify_limit_change
select entry, name, low, high, from_ms, loosens, reason, source, struck from limit_change order by entry;
-- name: verify_place
select code, entry, name, kind, class, parent, capacity_mg, in_service, struck from place order by code,
  entry;
-- name: verify_instrument
select code, entry, kind, place, division, uncertainty, due_ms, struck from instrument order by code, entry;
-- name: verify_item
select code, entry, name, kind, family, allergens, net_mg, pieces_per_case, gtin, life_days, source_item,
  struck from item order by code, entry;
-- name: verify_partner
select code, entry, role, grp, market, life_days, priority, struck from partner order by code, entry;
-- name: verify_lot
select id, entry, code, item, kind, place, born_ms, day, supplier, supplier_code, supplier_lot, best_before,
  markets, closed, struck from lot order by id, entry;
-- name: verify_balance
select lot, unit, amount from balance order by lot, unit;
-- name: verify_account
select name, unit, amount from account order by name, unit;
-- name: verify_movement
select entry, leg, lot, account, unit, amount, how, instrument, gross, tare, uncertainty, struck from movement
  order by entry, leg;
-- name: verify_edge
select parent, child, entry, mg, basis, struck from edge order by parent, child, entry;
-- name: verify_unit
select id, entry, code, kind, parent, lot, pieces, mg, place, state, shipment, made_ms, struck from unit order
  by id, entry;
-- name: verify_packed
select lot, entry, pieces, declared_mg, mean_net_mg, giveaway_mg, struck from packed order by lot, entry;
-- name: verify_step
select id, entry, kind, act, place, run, start_ms, end_ms, lot, note, struck from step order by id;
-- name: verify_step_lot
select step, lot, side, from_ms, mg, to_ms, entry, struck from step_lot order by step, lot, side, from_ms;
-- name: verify_run
select id, entry, code, place, family, allergens, start_ms, end_ms, carry_ms, struck from run order by id,
  entry;
-- name: verify_chamber_use
select lot, entry, place, item, start_ms, seed_mg, shares_ppm, emptied_ms, struck from chamber_use order by
  lot, entry;
-- name: verify_seed_test
select entry, lot, kind, value, data, ok, at_ms, struck from seed_test order by entry;
-- name: verify_seed_state
select entry, lot, state, markets, at_ms, struck from seed_state order by entry, lot;
-- name: verify_treatment
select entry, lot, way, recipe, met, reason, data, at_ms, struck from treatment order by entry;
-- name: verify_heat_constants
select entry, item, authority, reference_mc, z_mc, d_ms, tested_max_mc, limit_mc, target_milli, report, at_ms,
  struck from heat_constants order by entry;
-- name: verify_clean
select entry, place, surface, start_ms, end_ms, valid, reason, data, struck from clean order by entry;
-- name: verify_sample
select id, entry, code, lot, place, location, what, taken_ms, age_ms, volume_ml, struck from sample order by
  id, entry;
-- name: verify_finding
select sample, organism, entry, state, method, report, by_hand, second_person, at_ms, struck from finding
  order by sample, organism, entry;
-- name: verify_reading
select id, entry, kind, place, lot, run, value, unit, ok, instrument, data, at_ms, struck from reading order by id;
-- name: verify_environment
select id, place, product_hold, opened_ms, closed_ms, data, entry, struck from environment order by id;
-- name: verify_review
select of_entry, entry, person, at_ms, struck from review order by of_entry, entry;
-- name: verify_paper
select entry, sha256, kind, lot, partner, struck from paper order by entry, sha256;
-- name: verify_calibration
select entry, instrument, ok, as_found_error, uncertainty, due_ms, at_ms, struck from calibration order by
  entry;
-- name: verify_piece
select series, from_ms, entry, sha256, to_ms, first_n, last_n, count, gaps, replaces, dropped, struck from
  piece order by series, from_ms, entry;
-- name: verify_hold
select id, code, kind, stops, needs, reason, placed_ms, run, from_ms, to_ms, lifted, entry, struck from hold
  order by id;
-- name: verify_hold_on
select hold, lot, unit, entry, via, struck from hold_on order by hold, lot, unit, entry;
-- name: verify_release
select entry, lot, markets, tree_size, profile, clauses, revoked, struck from release order by entry;
-- name: verify_deviation
select id, entry, rule, lot, place, what, from_ms, to_ms, closed, struck from deviation order by id;
-- name: verify_owed
select id, entry, lot, unit, amount, closed, struck from owed order by id;
-- name: verify_task
select id, entry, kind, what, lot, place, due_ms, done, struck from task order by id;
-- name: verify_scope
select entry, lot, customer, why, state, pieces, mg, struck from scope order by entry, lot, customer;
-- name: verify_shipment
select id, code, customer, at_ms, entry, struck from shipment order by id;
-- name: verify_shipped
select shipment, lot, unit, order_key, pieces, mg, entry, struck from shipped order by shipment, lot, unit;
-- name: verify_order_line
select key, version, customer, item, day, pieces, state, source, entry, struck from order_line order by key,
  version;
-- name: verify_plan_taken
select entry, n, day, place, item, seed_lot, seed_mg, grow_days, struck from plan_taken order by entry, n;
-- name: verify_mapping
select source, kind, entry, data, struck from mapping order by source, kind, entry;
-- name: verify_listed
select kind, code, entry, place, about, until_ms, active, at_ms, data, struck from listed order by kind, code, entry;
-- name: verify_noted
select entry, n, kind, code, place, lot, person, ok, at_ms, until_ms, data, struck from noted order by entry, n;

-- name: verify_entry_count
select count(*) from daybook;
-- The engine's own check of its pages and indexes; another engine has its own words for this one.
-- name: verify_engine
pragma integrity_check;

-- What must hold: a row for each breach, as table, key, what stands, what should.
-- name: verify_balance_sums
select 'balance', 'lot=' || lot || ' unit=' || unit, 'amount=' || sum(stands), 'amount=' || sum(moved) from (
  select lot, unit, amount as stands, 0 as moved from balance
  union all select lot, unit, 0, amount from movement where lot is not null and struck is null)
group by lot, unit having sum(stands) <> sum(moved) order by lot, unit;
-- name: verify_account_sums
select 'account', 'name=' || name || ' unit=' || unit, 'amount=' || sum(stands), 'amount=' || sum(moved) from (
  select name, unit, amount as stands, 0 as moved from account
  union all select account, unit, 0, amount from movement where account is not null and struck is null)
group by name, unit having sum(stands) <> sum(moved) order by name, unit;
-- name: verify_below_zero
select 'balance', 'lot=' || b.lot || ' unit=' || b.unit, 'amount=' || b.amount, 'shown as owed' from balance b
where b.amount < 0 and -b.amount > coalesce((select sum(o.amount) from owed o where o.lot = b.lot and o.unit = b.unit
  and o.closed is null and o.struck is null), 0) order by b.lot, b.unit;
-- A lot or case that left while a hold placed before and not lifted by then stopped it, without the deviation that says so.
-- name: verify_held_left
select distinct 'shipped', 'shipment=' || s.shipment || ' lot=' || s.lot || ' unit=' || s.unit, 'left while held by ' || h.code,
  'a deviation' from shipped s
join hold_on o on o.lot = s.lot and o.unit in (0, s.unit) and o.entry < s.entry and o.struck is null
join hold h on h.id = o.hold and h.struck is null and h.entry < s.entry and ',' || h.stops || ',' like '%,load,%'
where s.struck is null
  and not exists (select 1 from changed c where c.name = 'hold_lifted' and c.of_row = h.id and c.entry < s.entry and c.struck is null)
  and not exists (select 1 from deviation d where d.entry = s.entry and d.rule = 'held-loaded' and d.struck is null
    and (d.lot = s.lot or d.lot is null)) order by 2;
-- name: verify_edge_lots
select 'edge', 'parent=' || e.parent || ' child=' || e.child || ' entry=' || e.entry, 'a lot that is not there', 'two lots'
from edge e where e.struck is null and (not exists (select 1 from lot l where l.id = e.parent and l.struck is null)
  or not exists (select 1 from lot l where l.id = e.child and l.struck is null)) order by e.entry, e.parent, e.child;
-- name: verify_edge_ends
select distinct parent, child from edge where struck is null;
-- name: verify_owed_open
select o.entry, coalesce(l.code, ''), o.unit, o.amount from owed o left join lot l on l.id = o.lot and l.struck is null
where o.closed is null and o.struck is null order by o.entry, o.id;

-- Files: whether an entry says that it was dropped.
-- name: verify_files
select b.sha256, b.kind, b.name, b.size, b.bytes,
  (select count(*) from piece p where p.sha256 = b.sha256 and p.dropped is not null and p.struck is null)
from blob b order by b.sha256;
-- name: verify_files_missing
select p.entry, p.sha256 from piece p where not exists (select 1 from blob b where b.sha256 = p.sha256)
union select p.entry, p.sha256 from paper p where not exists (select 1 from blob b where b.sha256 = p.sha256)
union select p.entry, p.digest from profile p where not exists (select 1 from blob b where b.sha256 = p.digest)
order by 1;

-- As known on a tree size.
-- name: known_entries
select seq, uuid, cause, happened_ms, recorded_ms, offset_min, day, device, clock_ms, person, kind,
  version, digest, body, leaf
from daybook where seq <= ?1 order by seq;
-- name: known_blobs
select sha256, kind, name, size, case when kind = 'profile' then bytes end from blob;
