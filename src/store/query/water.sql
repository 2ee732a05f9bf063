-- What is known of a water: how it goes round, its tanks, when it was let run again, changed and read.

-- Every version, by code and as they were told.
-- name: water_versions
select code, active, at_ms, data, entry from listed where kind = ?1 and place = ?2 and struck is null order by code, entry;
-- Places with a loop of their own.
-- name: water_loop_places
select distinct place from listed where kind = 'water-loop' and struck is null and place is not null order by place;
-- name: water_book_readings
select unit, value, ok, at_ms, entry from reading
where kind = 'water-reading' and place = ?1 and at_ms between ?2 and ?3 and value is not null and struck is null
order by at_ms, id;
-- The water was changed, or its place validly cleaned.
-- name: water_changed
select max(at_ms) from (
  select at_ms from noted where kind = 'water-change' and code = ?1 and at_ms <= ?2 and struck is null
  union all select end_ms from clean where place = ?1 and valid = 1 and end_ms <= ?2 and struck is null)
having max(at_ms) is not null;
-- The newest reading of a place, with whether all of it was good.
-- name: water_read_last
select at_ms, entry, min(ok) from reading
where kind = 'water-reading' and place = ?1 and at_ms >= ?2 and at_ms <= ?3 and entry > ?4 and struck is null
group by at_ms, entry order by at_ms desc, entry desc limit 1;
-- Lots watered from a source in a stretch of time.
-- name: watered_between
select distinct lot from reading where kind = 'watering' and lot is not null and at_ms between ?2 and ?3 and struck is null
  and data like '%"source":"' || ?1 || '"%' order by lot;
-- The newest finding of generic E. coli in water drawn there after a moment.
-- name: water_finding_since
select f.state from finding f join sample s on s.id = f.sample and s.struck is null
where s.place = ?1 and s.what = 'water' and s.taken_ms > ?2 and f.struck is null
order by s.taken_ms desc, f.entry desc limit 1;
-- Lines where a detector found one metal twice and nobody has said yet that it was looked into.
-- name: lines_stopped
select place, min(due_ms) from task where kind = 'rejects-stop' and done is null and struck is null and place is not null
group by place order by place;
-- What was asked for when the water of a place was stopped.
-- name: water_tasks_open
select id from task where place = ?1 and kind in ('water-stop', 'wash-water-out') and done is null and struck is null order by id;
