-- What pages ask: the daybook backwards in time, one entry with what belongs to it, the lots of a trace.

-- All that ever went into each lot of a range.
-- name: page_lot_in
select lot, sum(amount) from movement where lot between ?1 and ?2 and unit = 'mg' and amount > 0 and struck is null
group by lot order by lot;
