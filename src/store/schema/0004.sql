-- Schema 4. What each check writes takes fewer pages. A table that grows at its end fills each page before it begins the next;
-- an index (and a table without row numbers is one) is balanced over three pages there again and again.

-- id is the entry * 4096 + which of its readings, as in step
create table reading_by_id (
  id @int64 primary key, entry @int64 not null, kind @text not null, place @text, lot @int64, run @int64, value @int64,
  unit @text not null, ok @int64 not null, instrument @text, data @text not null, at_ms @int64 not null, struck @int64
) @strict;
insert into reading_by_id (id, entry, kind, place, lot, run, value, unit, ok, instrument, data, at_ms, struck)
  select entry * 4096 + n, entry, kind, place, lot, run, value, unit, ok, instrument, data, at_ms, struck
  from reading order by entry, n;
drop table reading;
alter table reading_by_id rename to reading;
create index reading_kind_place on reading (kind, place, at_ms);
create index reading_lot on reading (lot, kind, at_ms) where lot is not null;
