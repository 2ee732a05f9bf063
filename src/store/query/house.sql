-- The house: people, places, instruments, items, partners, profile, limits. The newest unstruck row of a code is in force.

-- name: profile_in_force
select p.entry, b.bytes from profile p left join blob b on b.sha256 = p.digest
where p.struck is null and p.from_ms <= ?1 order by p.from_ms desc, p.entry desc limit 1;
-- name: profile_next
select min(from_ms) from profile where struck is null and from_ms > ?1;
-- name: person_by_number
-- kept: person
select role, active from person where number = ?1 and struck is null order by entry desc limit 1;
-- name: person_all
select p.number, p.role, p.active, p.entry from person p where p.struck is null
  and p.entry = (select max(q.entry) from person q where q.number = p.number and q.struck is null) order by p.number;
-- name: place_by_code
-- kept: place
select code, name, kind, class, parent, capacity_mg, in_service from place where code = ?1 and struck is null
order by entry desc limit 1;
-- name: place_all
select p.code, p.name, p.kind, p.class, p.parent, p.capacity_mg, p.in_service from place p where p.struck is null
  and p.entry = (select max(q.entry) from place q where q.code = p.code and q.struck is null) order by p.code;
-- name: item_by_code
-- kept: item
select code, name, kind, family, allergens, net_mg, pieces_per_case, gtin, life_days, source_item from item
where code = ?1 and struck is null order by entry desc limit 1;
-- name: item_all
select i.code, i.name, i.kind, i.family, i.allergens, i.net_mg, i.pieces_per_case, i.gtin, i.life_days, i.source_item
from item i where i.struck is null
  and i.entry = (select max(q.entry) from item q where q.code = i.code and q.struck is null) order by i.code;
-- name: partner_by_code
-- kept: partner
select code, role, grp, market, life_days, priority from partner where code = ?1 and struck is null
order by entry desc limit 1;
-- name: partner_all
select p.code, p.role, p.grp, p.market, p.life_days, p.priority from partner p where p.struck is null
  and p.entry = (select max(q.entry) from partner q where q.code = p.code and q.struck is null) order by p.code;
-- The newest first.
-- name: limit_changes
-- kept: limit_change
select low, high, from_ms from limit_change where name = ?1 and struck is null order by from_ms desc, entry desc;
