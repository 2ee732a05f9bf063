-- What the pages of food safety show. Struck rows are never seen.

-- Open deviations, newest first, each with the corrective action that stands: one that a later verification did not take
-- away. No action: 0 and ''.
-- name: safety_deviations
select d.id, d.entry, d.rule, coalesce(d.lot, 0), coalesce(l.code, ''), coalesce(d.place, ''), d.what, coalesce(d.from_ms, 0),
  coalesce(d.to_ms, 0), b.happened_ms, b.person, coalesce(c.entry, 0), coalesce(c.person, 0), coalesce(c.at_ms, 0),
  coalesce(c.data, '')
from deviation d join daybook b on b.seq = d.entry left join lot l on l.id = d.lot and l.struck is null
left join noted c on c.kind = 'corrective' and c.code = cast(d.id as text) and c.struck is null
  and c.entry = (select max(n.entry) from noted n where n.kind in ('corrective', 'verification') and n.code = cast(d.id as text)
    and n.struck is null)
where d.closed is null and d.struck is null order by d.id desc;
