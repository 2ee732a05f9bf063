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
