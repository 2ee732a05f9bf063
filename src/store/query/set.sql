-- Changes of one row, each undone by the same query with the old values.

-- name: set_lot_place
update lot set place = ?2 where id = ?1 and struck is null;
-- name: set_lot_closed
update lot set closed = ?2 where id = ?1 and struck is null;
-- name: set_lot_markets
update lot set markets = ?2 where id = ?1 and struck is null;
-- name: set_unit_state
update unit set state = ?2, place = ?3, shipment = ?4, parent = ?5 where id = ?1 and struck is null;
-- name: set_unit_content
update unit set lot = ?2, pieces = ?3, mg = ?4 where id = ?1 and struck is null;
-- name: set_run_end
update run set end_ms = ?2 where id = ?1 and struck is null;
-- name: set_chamber_use_state
update chamber_use set shares_ppm = ?2, emptied_ms = ?3 where lot = ?1 and struck is null;
-- name: set_hold_lifted
update hold set lifted = ?2 where id = ?1 and struck is null;
-- name: set_deviation_closed
update deviation set closed = ?2 where id = ?1 and struck is null;
-- name: set_owed_closed
update owed set closed = ?2 where id = ?1 and struck is null;
-- name: set_task_done
update task set done = ?2 where id = ?1 and struck is null;
-- name: set_environment_closed
update environment set closed_ms = ?2 where id = ?1 and struck is null;
-- name: set_release_revoked
update release set revoked = ?2 where entry = ?1 and struck is null;
-- name: set_piece_dropped
update piece set dropped = ?2 where entry = ?1 and struck is null;
