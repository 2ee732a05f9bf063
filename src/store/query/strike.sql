-- One row a derived table: what a strike does to the rows that an entry made.

-- name: strike_person
update person set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_profile
update profile set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_limit_change
update limit_change set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_place
update place set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_instrument
update instrument set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_item
update item set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_partner
update partner set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_lot
update lot set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_movement
update movement set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_edge
update edge set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_unit
update unit set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_packed
update packed set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_step
update step set struck = ?2 where id between ?1 * 4096 and ?1 * 4096 + 4095 and struck is null;

-- name: strike_step_lot
update step_lot set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_run
update run set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_chamber_use
update chamber_use set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_seed_test
update seed_test set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_seed_state
update seed_state set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_treatment
update treatment set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_heat_constants
update heat_constants set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_clean
update clean set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_sample
update sample set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_finding
update finding set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_reading
update reading set struck = ?2 where id between ?1 * 4096 and ?1 * 4096 + 4095 and struck is null;

-- name: strike_environment
update environment set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_review
update review set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_paper
update paper set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_calibration
update calibration set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_piece
update piece set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_hold
update hold set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_hold_on
update hold_on set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_release
update release set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_deviation
update deviation set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_owed
update owed set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_task
update task set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_scope
update scope set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_shipment
update shipment set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_shipped
update shipped set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_order_line
update order_line set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_plan_taken
update plan_taken set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_mapping
update mapping set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_changed
update changed set struck = ?2 where entry = ?1 and struck is null;

-- The amounts that an entry moved, taken back out of the running balances.
-- name: strike_balances
update balance set amount = amount - (select sum(m.amount) from movement m where m.entry = ?1 and m.struck is null
  and m.lot = balance.lot and m.unit = balance.unit)
where (lot, unit) in (select m.lot, m.unit from movement m where m.entry = ?1 and m.struck is null and m.lot is not null);
-- name: strike_accounts
update account set amount = amount - (select sum(m.amount) from movement m where m.entry = ?1 and m.struck is null
  and m.account = account.name and m.unit = account.unit)
where (name, unit) in (select m.account, m.unit from movement m where m.entry = ?1 and m.struck is null and m.account is not null);

-- name: strike_listed
update listed set struck = ?2 where entry = ?1 and struck is null;

-- name: strike_noted
update noted set struck = ?2 where entry = ?1 and struck is null;
