-- What needs somebody now. Struck rows are never seen.

-- Product that a confirmed positive still holds here, a row for each lot; the scopes in order.
-- name: today_positives
select distinct d.seq, s.code, f.organism, coalesce(l.code, ''), f.at_ms, x.id, x.code, b.amount
from finding f join sample s on s.id = f.sample and s.struck is null left join lot l on l.id = s.lot and l.struck is null
join daybook d on d.cause = f.entry and d.kind = 'scope'
join hold h on h.entry = d.seq and h.kind = 'positive' and h.lifted is null and h.struck is null
join hold_on o on o.hold = h.id and o.struck is null
join lot x on x.id = o.lot and x.struck is null
join balance b on b.lot = x.id and b.unit = 'mg' and b.amount > 0
where f.state = 'confirmed-positive' and f.struck is null order by d.seq, x.id;
-- name: today_environments
select id, place, product_hold, opened_ms from environment where closed_ms is null and struck is null order by id;
-- Samples from ?1 (an id) on that have no final result: a presumptive one is marked.
-- name: today_samples
select s.code, coalesce(l.code, ''), coalesce(s.place, ''), s.taken_ms,
  exists (select 1 from finding p where p.sample = s.id and p.state = 'presumptive' and p.struck is null)
from sample s left join lot l on l.id = s.lot and l.struck is null
where s.id >= ?1 and s.struck is null and not exists (select 1 from finding f where f.sample = s.id and f.struck is null
  and f.state in ('negative', 'confirmed-negative', 'confirmed-positive', 'invalid'))
order by s.taken_ms, s.id;
-- Open holds that only somebody's decision lifts.
-- name: today_decisions
select h.code, h.kind, h.reason, h.placed_ms,
  (select l.code from hold_on o join lot l on l.id = o.lot and l.struck is null where o.hold = h.id and o.struck is null
   order by o.entry, o.lot limit 1)
from hold h where h.lifted is null and h.struck is null and h.needs in ('decision', 'disposition')
  and h.kind not in ('laboratory', 'positive') order by h.placed_ms, h.id;
-- Packed lots that are here and not released; those held for more than a laboratory are not asked for.
-- name: today_unreleased
select l.id, l.code, l.item, b.amount, coalesce(l.best_before, 0), l.markets
from lot l join balance b on b.lot = l.id and b.unit = 'mg' and b.amount > 0
where l.kind = 'packed' and l.closed is null and l.struck is null
  and not exists (select 1 from release r where r.lot = l.id and r.revoked is null and r.struck is null)
  and not exists (select 1 from hold_on o join hold h on h.id = o.hold where o.lot = l.id and o.struck is null
    and h.struck is null and h.lifted is null and h.kind <> 'laboratory')
order by l.best_before, l.id;
-- name: today_instruments
select i.code, i.kind, coalesce(i.place, ''), case when c.ok = 0 then c.at_ms - 1 else coalesce(c.due_ms, i.due_ms) end
from instrument i left join calibration c on c.entry = (select l.entry from calibration l
  where l.instrument = i.code and l.at_ms <= ?1 and l.struck is null order by l.at_ms desc, l.entry desc limit 1)
where i.struck is null and i.entry = (select max(n.entry) from instrument n where n.code = i.code and n.struck is null)
order by i.code;
-- name: today_tasks
select t.id, t.kind, t.what, coalesce(l.code, ''), coalesce(t.place, ''), t.due_ms, t.entry from task t
left join lot l on l.id = t.lot and l.struck is null where t.done is null and t.struck is null order by t.due_ms, t.id;
-- What was told and not booked, and is not settled.
-- name: today_asides
select entry from task where kind = 'set-aside' and done is null and struck is null order by entry;
-- What broke a rule because of what another device had told of the chamber before, from ?1 (an id) on, and nobody has
-- reviewed: entry, the earlier one, lot, chamber, deviation.
-- name: today_twice
select d.entry, f.seq, coalesce(l.code, ''),
  coalesce(d.place, (select u.place from chamber_use u where u.lot = d.lot and u.struck is null), ''), d.what
from deviation d join daybook b on b.seq = d.entry left join lot l on l.id = d.lot and l.struck is null
join daybook f on f.seq = case d.rule
  when 'chamber-taken' then (select max(u.entry) from chamber_use u where u.place = d.place and u.entry < d.entry and u.struck is null)
  when 'used-before-born' then (select max(u.entry) from chamber_use u where u.lot = d.lot and u.entry < d.entry and u.struck is null)
  else (select max(c.entry) from changed c where c.name = 'chamber_use_state' and c.of_row = d.lot and c.entry < d.entry
    and c.struck is null) end
where d.id >= ?1 and d.closed is null and d.struck is null and f.device <> b.device
  and d.rule in ('lot-closed', 'share-over', 'stock-below-zero', 'chamber-taken', 'used-before-born')
  and not exists (select 1 from review r where r.of_entry = d.entry and r.struck is null)
order by d.entry, d.id;
-- The last note handed over between two moments.
-- name: today_handover
select s.note, d.person, s.start_ms, s.entry from step s join daybook d on d.seq = s.entry
where s.place is null and s.start_ms >= ?1 and s.start_ms < ?2 and s.act = 'handover' and s.struck is null
order by s.start_ms desc, s.id desc limit 1;
-- The newest of each person and code of a kind of note ?1, of people who work here, that ends by ?2.
-- name: today_runs_out
select n.person, n.code, n.until_ms from noted n join person p on p.number = n.person and p.struck is null and p.active = 1
  and p.entry = (select max(x.entry) from person x where x.number = p.number and x.struck is null)
where n.kind = ?1 and n.struck is null and n.ok = 1 and n.person is not null and n.until_ms <= ?2
  and not exists (select 1 from noted m where m.kind = n.kind and m.person = n.person and m.code = n.code and m.struck is null
    and (m.at_ms > n.at_ms or (m.at_ms = n.at_ms and m.entry > n.entry)))
order by n.until_ms, n.person, n.code;
-- Deliveries to be inspected by sample, still here, that nobody has inspected.
-- name: today_deliveries
select l.code, n.at_ms, n.data from noted n join lot l on l.id = n.lot and l.struck is null and l.closed is null
where n.kind = 'delivery' and n.struck is null
  and not exists (select 1 from noted m where m.kind = 'delivery-check' and m.lot = n.lot and m.struck is null)
order by n.at_ms, n.entry;
