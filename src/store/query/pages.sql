-- What the pages show of lots, holds, chambers and days. Struck rows are never seen.

-- name: page_holds_open
select h.id, h.code, h.kind, h.stops, h.needs, h.reason, h.placed_ms, coalesce(h.lifted, 0), d.person
from hold h join daybook d on d.seq = h.entry where h.lifted is null and h.struck is null order by h.placed_ms, h.id;
-- The newest first, lifted ones with them.
-- name: page_holds_all
select h.id, h.code, h.kind, h.stops, h.needs, h.reason, h.placed_ms, coalesce(h.lifted, 0), d.person
from hold h join daybook d on d.seq = h.entry where h.struck is null order by h.id desc limit 500;
-- name: page_holds_on
select h.id, h.code, h.kind, h.stops, h.needs, h.reason, h.placed_ms, coalesce(h.lifted, 0), d.person
from hold_on o join hold h on h.id = o.hold join daybook d on d.seq = h.entry
where o.lot = ?1 and o.unit in (0, ?2) and o.struck is null and h.struck is null and h.lifted is null
group by h.id order by h.id;
-- name: page_hold_lots
select l.code, sum(case when o.unit <> 0 then 1 else 0 end), count(*) from hold_on o join lot l on l.id = o.lot and l.struck is null
where o.hold = ?1 and o.struck is null group by l.id order by min(o.entry), l.id;

-- Lots, newest first, below an id. ?2 kind, ?3 item: all when empty. ?4: all, held or released.
-- Here: open, and something is left of them.
-- name: page_lots_here
select l.id, l.code, l.kind, l.item, l.place, l.day, coalesce(b.amount, 0), coalesce(p.amount, 0), l.best_before,
  coalesce(l.closed, 0),
  (select count(*) from hold_on o join hold h on h.id = o.hold where o.lot = l.id and o.struck is null and h.struck is null
    and h.lifted is null),
  exists (select 1 from release r where r.lot = l.id and r.revoked is null and r.struck is null)
from lot l left join balance b on b.lot = l.id and b.unit = 'mg' left join balance p on p.lot = l.id and p.unit = 'pc'
where l.closed is null and l.struck is null and l.kind <> 'supplier' and (b.amount > 0 or p.amount > 0)
  and l.id + 0 < ?1 and (?2 = '' or l.kind = ?2) and (?3 = '' or l.item = ?3)
  and (?4 = 'all'
    or (?4 = 'held' and exists (select 1 from hold_on o join hold h on h.id = o.hold where o.lot = l.id and o.struck is null
      and h.struck is null and h.lifted is null))
    or (?4 = 'released' and exists (select 1 from release r where r.lot = l.id and r.revoked is null and r.struck is null)))
order by l.id desc limit ?5;
-- All of them, also what is used up.
-- name: page_lots_all
select l.id, l.code, l.kind, l.item, l.place, l.day, coalesce(b.amount, 0), coalesce(p.amount, 0), l.best_before,
  coalesce(l.closed, 0),
  (select count(*) from hold_on o join hold h on h.id = o.hold where o.lot = l.id and o.struck is null and h.struck is null
    and h.lifted is null),
  exists (select 1 from release r where r.lot = l.id and r.revoked is null and r.struck is null)
from lot l left join balance b on b.lot = l.id and b.unit = 'mg' left join balance p on p.lot = l.id and p.unit = 'pc'
where l.id < ?1 and l.struck is null and l.kind <> 'supplier' and (?2 = '' or l.kind = ?2) and (?3 = '' or l.item = ?3)
order by l.id desc limit ?4;
-- All whose code begins with ?2, which ends below ?3, behind the code ?1.
-- name: page_lots_named
select l.id, l.code, l.kind, l.item, l.place, l.day, coalesce(b.amount, 0), coalesce(p.amount, 0), l.best_before,
  coalesce(l.closed, 0),
  (select count(*) from hold_on o join hold h on h.id = o.hold where o.lot = l.id and o.struck is null and h.struck is null
    and h.lifted is null),
  exists (select 1 from release r where r.lot = l.id and r.revoked is null and r.struck is null)
from lot l left join balance b on b.lot = l.id and b.unit = 'mg' left join balance p on p.lot = l.id and p.unit = 'pc'
where l.code > ?1 and l.code >= ?2 and l.code < ?3 and l.struck is null and l.kind <> 'supplier'
  and (?4 = '' or l.kind = ?4) and (?5 = '' or l.item = ?5)
order by l.code limit ?6;
-- name: page_lot_kinds
select distinct kind from lot where struck is null and kind <> 'supplier' order by kind;

-- name: page_unit_counts
select count(*), coalesce(sum(case when state in ('here', 'returned') then 1 else 0 end), 0),
  coalesce(sum(case when state = 'shipped' then 1 else 0 end), 0)
from unit where lot = ?1 and kind = 'case' and struck is null;
-- name: page_shipment
select code, customer from shipment where id = ?1 and struck is null;
-- name: page_shipment_by_code
select id from shipment where code = ?1 and struck is null;
-- Moisture of the sprouts in ppm as last measured, and what was harvested.
-- name: page_moisture
select value from reading where kind = 'sprout-moisture' and lot = ?1 and struck is null order by at_ms desc, entry desc limit 1;
-- name: page_harvested
select coalesce(sum(s.mg), 0) from edge e join step_lot s on s.lot = e.child and s.side = 'out' and s.struck is null
join lot c on c.id = e.child and c.kind = 'harvested' and c.struck is null where e.parent = ?1 and e.struck is null;

-- The last moment a chamber was emptied, and the last valid clean that ended since: ms, 0 where none.
-- name: page_chamber_idle
select coalesce(max(c.emptied_ms), 0), coalesce((select max(k.end_ms) from clean k where k.place = ?1 and k.valid = 1
  and k.struck is null and k.end_ms <= ?2), 0)
from chamber_use c where c.place = ?1 and c.struck is null and c.emptied_ms <= ?2;
-- name: page_chamber_uses
select l.code, c.item, c.start_ms, coalesce(c.emptied_ms, 0) from chamber_use c join lot l on l.id = c.lot and l.struck is null
where c.place = ?1 and c.struck is null order by c.start_ms desc limit 12;
-- name: page_waterings
select at_ms, value, unit from reading where kind = 'watering' and lot = ?1 and struck is null order by at_ms, id;
-- name: page_watered_last
select max(at_ms) from reading where kind = 'watering' and lot = ?1 and struck is null having max(at_ms) is not null;
-- The last piece of a series that is in force.
-- name: page_piece_last
select b.bytes from piece p join blob b on b.sha256 = p.sha256
where p.series = ?1 and p.struck is null and p.dropped is null and b.bytes is not null
order by p.from_ms desc, p.entry desc limit 1;
-- The pieces of a series in force that touch a stretch of time.
-- name: page_pieces
select b.bytes from piece p join blob b on b.sha256 = p.sha256
where p.series = ?1 and p.from_ms >= ?2 - 3600000 and p.from_ms <= ?3 and p.to_ms >= ?2 and p.dropped is null and p.struck is null
  and b.bytes is not null and p.sha256 not in (select r.replaces from piece r
    where r.series = ?1 and r.replaces is not null and r.struck is null)
order by p.from_ms, p.entry;
-- The same without their bytes.
-- name: page_pieces_listed
select p.entry, p.sha256 from piece p
where p.series = ?1 and p.from_ms >= ?2 - 3600000 and p.from_ms <= ?3 and p.to_ms >= ?2 and p.dropped is null and p.struck is null
  and p.sha256 not in (select r.replaces from piece r
    where r.series = ?1 and r.replaces is not null and r.struck is null)
order by p.from_ms, p.entry;
-- How many of them there ever were, in force or not, and the newest: of up to three names.
-- name: page_pieces_stamp
select count(*), coalesce(max(entry), 0) from piece
where series in (?1, ?2, ?3) and from_ms >= ?4 - 3600000 and from_ms <= ?5;
-- name: page_struck_last
select coalesce((select max(seq) from daybook where kind = 'strike'), 0),
  coalesce((select max(seq) from daybook where kind = 'drop-piece'), 0);

-- The ribbon of days: house days from ?1 to ?2, both included, or the same in ms.
-- name: page_days_made
select l.day, sum(case when l.kind = 'harvested' then 1 else 0 end), sum(case when l.kind = 'growing' then 1 else 0 end)
from lot l where l.kind in ('harvested', 'growing') and l.day between ?1 and ?2 and l.struck is null group by l.day;
-- name: page_days_shipped
select s.at_ms, coalesce(sum(p.pieces), 0), coalesce(sum(p.mg), 0) from shipment s
join shipped p on p.shipment = s.id and p.struck is null
where s.at_ms >= ?1 and s.at_ms < ?2 and s.struck is null group by s.id;
-- name: page_days_ordered
select o.day, o.pieces - coalesce((select sum(s.pieces) from shipped s where s.order_key = o.key and s.struck is null), 0),
  coalesce((select i.net_mg from item i where i.code = o.item and i.struck is null order by i.entry desc limit 1), 0)
from order_line o where o.day between ?1 and ?2 and o.struck is null and o.state <> 'cancelled'
  and o.version = (select max(n.version) from order_line n where n.key = o.key and n.struck is null);
-- name: page_days_held
select placed_ms, coalesce(lifted, 0) from hold
where kind <> 'laboratory' and struck is null and placed_ms < ?2 and (lifted is null or lifted >= ?1);
-- The newest entry that was booked before a moment has a number below: a step of a search.
-- name: page_recorded
select recorded_ms from daybook where seq = ?1;
-- name: page_last_seq
select coalesce(max(seq), 0) from daybook;
