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
-- name: person_list
select p.number, p.role, p.active, s.name from person p left join person_secret s on s.number = p.number where p.struck is null
  and p.entry = (select max(q.entry) from person q where q.number = p.number and q.struck is null) order by p.number;
-- name: hold_list_open
select h.code, h.kind, h.stops, h.needs, h.reason, h.placed_ms,
  (select l.code from hold_on o join lot l on l.id = o.lot and l.struck is null where o.hold = h.id and o.struck is null
   order by o.entry, o.lot limit 1),
  (select count(*) from hold_on o where o.hold = h.id and o.struck is null)
from hold h where h.lifted is null and h.struck is null order by h.placed_ms, h.id;
-- name: sample_due
select l.code, u.place, u.start_ms from chamber_use u join lot l on l.id = u.lot and l.struck is null
where u.struck is null and u.emptied_ms is null
  and not exists (select 1 from sample s where s.lot = u.lot and s.struck is null and s.what <> 'water')
order by u.start_ms;
-- name: mapping_in_force
select data from mapping where source = ?1 and kind = ?2 and struck is null order by entry desc limit 1;
-- name: balance_legs
select m.entry, d.kind, m.unit, m.amount, m.how, m.instrument from movement m join daybook d on d.seq = m.entry
where m.lot = ?1 and m.struck is null order by m.entry, m.leg;
-- name: balance_steps
select s.kind, count(distinct s.entry), coalesce(sum(case when l.side = 'in' then l.mg end), 0),
  coalesce(sum(case when l.side = 'out' then l.mg end), 0)
from step s join step_lot l on l.step = s.id and l.struck is null
where s.struck is null and s.act in ('harvest', 'process', 'pack') group by s.kind order by min(s.entry);
-- name: balance_accounts
select name, unit, amount from account order by unit, name;
-- name: owed_list_open
select l.code, o.unit, o.amount, o.entry from owed o join lot l on l.id = o.lot and l.struck is null
where o.closed is null and o.struck is null order by o.entry;
