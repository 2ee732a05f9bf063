-- How an effect becomes a row: one insert a derived table, parameters in column
-- order. struck stays null until a strike.

-- name: fold_person
insert into person (number, role, active, entry)
values (?1, ?2, ?3, ?4);

-- name: fold_profile
insert into profile (entry, digest, name, from_ms)
values (?1, ?2, ?3, ?4);

-- name: fold_limit_change
insert into limit_change (entry, name, low, high, from_ms, loosens, reason, source)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8);

-- name: fold_place
insert into place (code, name, kind, class, parent, capacity_mg, in_service, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8);

-- name: fold_instrument
insert into instrument (code, kind, place, division, uncertainty, due_ms, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7);

-- name: fold_item
insert into item (code, name, kind, family, allergens, net_mg, pieces_per_case, gtin, life_days,
  source_item, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11);

-- name: fold_partner
insert into partner (code, role, grp, market, life_days, priority, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7);

-- name: fold_lot
insert into lot (id, code, item, kind, place, born_ms, day, supplier, supplier_code, supplier_lot,
  best_before, markets, closed, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12, ?13, ?14);

-- name: fold_movement
insert into movement (entry, leg, lot, account, unit, amount, how, instrument, gross, tare,
  uncertainty)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11);

-- name: fold_edge
insert into edge (parent, child, entry, mg, basis)
values (?1, ?2, ?3, ?4, ?5);

-- name: fold_unit
insert into unit (id, code, kind, parent, lot, pieces, mg, place, state, shipment, made_ms, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12);

-- name: fold_packed
insert into packed (lot, entry, pieces, declared_mg, mean_net_mg, giveaway_mg)
values (?1, ?2, ?3, ?4, ?5, ?6);

-- name: fold_step
insert into step (id, entry, kind, act, place, run, start_ms, end_ms, lot, note)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10);

-- name: fold_step_lot
insert into step_lot (step, lot, side, mg, from_ms, to_ms, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7);

-- name: fold_run
insert into run (id, code, place, family, allergens, start_ms, end_ms, carry_ms, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9);

-- name: fold_chamber_use
insert into chamber_use (lot, place, item, start_ms, seed_mg, shares_ppm, emptied_ms, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8);

-- name: fold_seed_test
insert into seed_test (entry, lot, kind, value, data, ok, at_ms)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7);

-- name: fold_seed_state
insert into seed_state (entry, lot, state, markets, at_ms)
values (?1, ?2, ?3, ?4, ?5);

-- name: fold_treatment
insert into treatment (entry, lot, way, recipe, met, reason, data, at_ms)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8);

-- name: fold_clean
insert into clean (entry, place, surface, start_ms, end_ms, valid, reason, data)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8);

-- name: fold_sample
insert into sample (id, code, lot, place, location, what, taken_ms, age_ms, volume_ml, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10);

-- name: fold_finding
insert into finding (entry, sample, organism, state, method, report, by_hand, second_person,
  at_ms)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9);

-- name: fold_reading
insert into reading (id, entry, kind, place, lot, run, value, unit, ok, instrument, data, at_ms)
values (?1 * 4096 + ?2, ?1, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12);

-- name: fold_environment
insert into environment (id, place, product_hold, opened_ms, closed_ms, data, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7);

-- name: fold_review
insert into review (entry, of_entry, person, at_ms)
values (?1, ?2, ?3, ?4);

-- name: fold_paper
insert into paper (entry, sha256, kind, lot, partner)
values (?1, ?2, ?3, ?4, ?5);

-- name: fold_calibration
insert into calibration (entry, instrument, ok, as_found_error, uncertainty, due_ms, at_ms)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7);

-- name: fold_piece
insert into piece (entry, series, sha256, from_ms, to_ms, first_n, last_n, count, gaps, replaces,
  dropped)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11);

-- name: fold_hold
insert into hold (id, code, kind, stops, needs, reason, placed_ms, run, from_ms, to_ms, lifted,
  entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11, ?12);

-- name: fold_hold_on
insert into hold_on (hold, lot, unit, via, entry)
values (?1, ?2, ?3, ?4, ?5);

-- name: fold_release
insert into release (entry, lot, markets, tree_size, profile, clauses, revoked)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7);

-- name: fold_deviation
insert into deviation (id, entry, rule, lot, place, what, from_ms, to_ms, closed)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9);

-- name: fold_owed
insert into owed (id, entry, lot, unit, amount, closed)
values (?1, ?2, ?3, ?4, ?5, ?6);

-- name: fold_task
insert into task (id, entry, kind, what, lot, place, due_ms, done)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8);

-- name: fold_scope
insert into scope (entry, lot, why, state, customer, pieces, mg)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7);

-- name: fold_shipment
insert into shipment (id, code, customer, at_ms, entry)
values (?1, ?2, ?3, ?4, ?5);

-- name: fold_shipped
insert into shipped (shipment, lot, unit, order_key, pieces, mg, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7);

-- name: fold_order_line
insert into order_line (key, version, customer, item, day, pieces, state, source, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9);

-- name: fold_plan_taken
insert into plan_taken (entry, n, day, place, item, seed_lot, seed_mg, grow_days)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8);

-- name: fold_mapping
insert into mapping (source, kind, data, entry)
values (?1, ?2, ?3, ?4);

-- name: fold_balance
insert into balance (lot, unit, amount) values (?1, ?2, ?3)
on conflict (lot, unit) do update set amount = balance.amount + excluded.amount;

-- name: fold_account
insert into account (name, unit, amount) values (?1, ?2, ?3)
on conflict (name, unit) do update set amount = account.amount + excluded.amount;

-- name: fold_strike
insert into strike (of_entry, entry) values (?1, ?2);

-- name: fold_changed
insert into changed (name, of_row, entry) values (?1, ?2, ?3)
on conflict (name, of_row, entry) do nothing;

-- name: fold_heat_constants
insert into heat_constants (entry, item, authority, reference_mc, z_mc, d_ms, tested_max_mc, limit_mc, target_milli, report,
  at_ms)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11);

-- name: fold_listed
insert into listed (kind, code, place, about, until_ms, active, at_ms, data, entry)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9);

-- name: fold_noted
insert into noted (entry, n, kind, code, place, lot, person, ok, at_ms, until_ms, data)
values (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11);
