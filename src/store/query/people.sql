-- Secrets of people, and the tablets they step up at. Erasable; never part of an entry.

-- name: access_get
select password, pin, password_failed, pin_failed, locked_until_ms, language, badge_sha256 is not null, name
from person_secret where number = ?1;
-- name: access_count
update person_secret set password_failed = ?2, pin_failed = ?3, locked_until_ms = ?4 where number = ?1;
-- name: access_pin
update person_secret set pin = ?2, pin_failed = 0 where number = ?1;
-- name: access_badge
update person_secret set badge_sha256 = ?2 where number = ?1;
-- name: access_language
update person_secret set language = ?2 where number = ?1;
-- name: access_by_badge
select number from person_secret where badge_sha256 = ?1;
-- name: access_list
select p.number, p.role, p.active, s.name, s.contact, s.pin is not null, s.badge_sha256 is not null,
  coalesce(s.pin_failed, 0), coalesce(s.locked_until_ms, 0), s.language
from person p left join person_secret s on s.number = p.number where p.struck is null
  and p.entry = (select max(q.entry) from person q where q.number = p.number and q.struck is null) order by p.number;
-- name: station_put
insert into station (code, token_sha256, place, enrolled_ms, enrolled_by) values (?1, ?2, ?3, ?4, ?5)
on conflict (code) do update set token_sha256 = excluded.token_sha256, place = excluded.place,
  enrolled_ms = excluded.enrolled_ms, enrolled_by = excluded.enrolled_by, last_ms = null, revoked_ms = null;
-- name: station_get
select revoked_ms from station where code = ?1;
-- name: station_revoke
update station set revoked_ms = ?2 where code = ?1 and revoked_ms is null;
-- name: station_by_token
select code, place from station where token_sha256 = ?1 and revoked_ms is null;
-- name: station_list
select code, place, enrolled_ms, enrolled_by, last_ms from station where revoked_ms is null order by code;
-- name: station_used
update station set last_ms = ?2 where code = ?1;
-- name: station_person_put
insert into station_person (station, person, last_ms) values (?1, ?2, ?3)
on conflict (station, person) do update set last_ms = excluded.last_ms;
-- name: station_person_get
select 1 from station_person where station = ?1 and person = ?2;
-- name: station_person_drop
delete from station_person where station = ?1;
-- name: station_person_erase
delete from station_person where person = ?1;
