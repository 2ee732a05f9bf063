-- Names and contacts that may be erased: never part of an entry.

-- name: person_secret_get
select name, contact, password from person_secret where number = ?1;
-- name: person_secret_put
insert into person_secret (number, name, contact, password) values (?1, ?2, ?3, ?4)
on conflict (number) do update set name = excluded.name, contact = excluded.contact,
  password = coalesce(excluded.password, person_secret.password);
-- name: person_secret_erase
delete from person_secret where number = ?1;
-- name: partner_contact_get
select name, contact from partner_contact where code = ?1;
-- name: partner_contact_put
insert into partner_contact (code, name, contact) values (?1, ?2, ?3)
on conflict (code) do update set name = excluded.name, contact = excluded.contact;
-- name: sample_due
select l.code, u.place, u.start_ms, l.markets from chamber_use u join lot l on l.id = u.lot and l.struck is null
where u.struck is null and u.emptied_ms is null
  and not exists (select 1 from sample s where s.lot = u.lot and s.struck is null and s.what <> 'water')
order by u.start_ms;
-- Samples from ?1 (an id) on, the oldest first.
-- name: sample_recent
select s.id, s.code, s.what, coalesce(l.code, ''), coalesce(l.item, ''), coalesce(s.place, ''), s.location, s.taken_ms,
  coalesce(l.markets, '')
from sample s left join lot l on l.id = s.lot and l.struck is null
where s.id >= ?1 and s.struck is null order by s.taken_ms, s.id;
-- name: mapping_in_force
select data from mapping where source = ?1 and kind = ?2 and struck is null order by entry desc limit 1;
-- name: balance_legs
select m.entry, d.kind, m.unit, m.amount, m.how, m.instrument, m.uncertainty from movement m join daybook d on d.seq = m.entry
where m.lot = ?1 and m.struck is null order by m.entry, m.leg;
-- name: balance_steps
select s.kind, count(distinct s.entry), coalesce(sum(case when l.side = 'in' then l.mg end), 0),
  coalesce(sum(case when l.side = 'out' then l.mg end), 0)
from step s join step_lot l on l.step = s.id and l.struck is null
where s.struck is null and s.act in ('harvest', 'process', 'pack') group by s.kind order by min(s.entry);
-- name: balance_accounts
select name, unit, amount from account order by unit, name;
-- name: owed_list_open
select l.code, o.unit, o.amount, o.entry, d.happened_ms from owed o join lot l on l.id = o.lot and l.struck is null
join daybook d on d.seq = o.entry
where o.closed is null and o.struck is null order by o.entry;
-- Entries of the kinds in ?2 (a comma list) that somebody else than ?1 told: what they are about as lot, place, sample.
-- name: review_waiting
with recursive kinds(kind, rest) as (
  select '', ?2 || ','
  union all
  select substr(rest, 1, instr(rest, ',') - 1), substr(rest, instr(rest, ',') + 1) from kinds where rest <> '')
select d.seq, d.kind, d.person, d.happened_ms,
  coalesce((select l.code from treatment t join lot l on l.id = t.lot and l.struck is null where t.entry = d.seq),
    (select l.code from reading r join lot l on l.id = r.lot and l.struck is null
      where r.id between d.seq * 4096 and d.seq * 4096 + 4095 limit 1), g.code),
  coalesce((select c.place from clean c where c.entry = d.seq),
    (select r.place from reading r where r.id between d.seq * 4096 and d.seq * 4096 + 4095 and r.place is not null limit 1),
    s.place),
  s.code, d.recorded_ms, d.day, p.name
from kinds w cross join daybook d on d.kind = w.kind and d.seq > coalesce((select max(seq) from daybook), 0) - 5000
left join person_secret p on p.number = d.person
left join sample s on s.struck is null
  and s.id = (select min(f.sample) from finding f where f.entry = d.seq and f.struck is null)
left join lot g on g.id = s.lot and g.struck is null
where d.seq not in (select v.of_entry from review v
    where v.of_entry > coalesce((select max(seq) from daybook), 0) - 5000 and v.struck is null)
  and d.person <> ?1 and d.cause is null
  and not exists (select 1 from strike k where k.of_entry = d.seq)
order by d.seq;

-- The entries behind one lot: all of its own, and of what went into it the making, the evidence and the holds.
-- name: dossier_story
with recursive kin(lot) as (
  select ?1
  union
  select e.parent from kin k join edge e on e.child = k.lot where e.struck is null),
touch(entry, lot) as (
  select l.entry, l.id from kin k join lot l on l.id = k.lot
  union select e.entry, e.child from kin k join edge e on e.child = k.lot
  union select m.entry, m.lot from movement m where m.lot = ?1
  union select x.entry, x.lot from kin k join step_lot x on x.lot = k.lot and x.side = 'out'
  union select t.entry, t.lot from kin k join seed_test t on t.lot = k.lot
  union select t.entry, t.lot from kin k join seed_state t on t.lot = k.lot
  union select t.entry, t.lot from kin k join treatment t on t.lot = k.lot
  union select s.entry, s.lot from kin k join sample s on s.lot = k.lot
  union select f.entry, s.lot from kin k join sample s on s.lot = k.lot join finding f on f.sample = s.id
  union select r.entry, r.lot from kin k cross join reading r where r.lot = k.lot and r.lot is not null
  union select p.entry, p.lot from kin k join paper p on p.lot = k.lot
  union select h.entry, h.lot from kin k join hold_on h on h.lot = k.lot
  union select d.entry, d.lot from kin k join deviation d on d.lot = k.lot
  union select r.entry, r.lot from release r where r.lot = ?1)
select t.entry, d.kind, d.happened_ms, d.offset_min, d.person, l.code,
  coalesce((select min(s.place) from step s where s.id between t.entry * 4096 and t.entry * 4096 + 4095),
    (select min(r.place) from reading r where r.id between t.entry * 4096 and t.entry * 4096 + 4095)), k.entry
from touch t join daybook d on d.seq = t.entry join lot l on l.id = t.lot and l.struck is null
left join strike k on k.of_entry = t.entry order by t.entry, l.id;
-- name: dossier_entry
select d.kind, d.happened_ms, d.offset_min, d.person,
  coalesce((select c.place from clean c where c.entry = d.seq),
    (select min(s.place) from step s where s.id between d.seq * 4096 and d.seq * 4096 + 4095),
    (select min(r.place) from reading r where r.id between d.seq * 4096 and d.seq * 4096 + 4095),
    (select min(s.place) from sample s where s.entry = d.seq),
    (select min(s.place) from finding f join sample s on s.id = f.sample and s.struck is null where f.entry = d.seq)),
  (select k.entry from strike k where k.of_entry = d.seq)
from daybook d where d.seq = ?1;
-- name: dossier_deviations
select what from deviation where entry = ?1 and struck is null order by id;
-- name: dossier_reviews
select v.entry, v.person, v.at_ms, d.offset_min from review v join daybook d on d.seq = v.entry
where v.of_entry = ?1 and v.struck is null order by v.entry;
-- name: dossier_releases
select r.entry, d.person, d.happened_ms, d.offset_min, r.markets, r.tree_size, r.revoked from release r
join daybook d on d.seq = r.entry where r.lot = ?1 and r.struck is null order by r.entry;
-- name: daybook_leaves
select leaf from daybook order by seq;
