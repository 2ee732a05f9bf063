-- Schema 3. What the house keeps lists of, and what was noted about them: duties, swab sites, suppliers' approvals, chemicals,
-- counted things, work orders; duties done, training, complaints, corrective actions, counts. The particulars stand in data as
-- canonical JSON; columns are what queries ask for.

-- one row a version; the last one told stands
create table listed (
  kind @text not null, code @text not null, place @text, about @text, until_ms @int64, active @int64 not null,
  at_ms @int64 not null, data @text not null, entry @int64 not null, struck @int64,
  primary key (kind, code, entry)
) @strict;
create table noted (
  entry @int64 not null, n @int64 not null, kind @text not null, code @text not null, place @text, lot @int64, person @int64,
  ok @int64 not null, at_ms @int64 not null, until_ms @int64, data @text not null, struck @int64,
  primary key (entry, n)
) @strict, without rowid;
create index noted_code on noted (kind, code, at_ms);
create index noted_person on noted (kind, person, at_ms) where person is not null;
create index noted_lot on noted (lot, kind) where lot is not null;

-- what every page asks anew after an entry: what grows now, among all that ever grew
create index chamber_use_growing on chamber_use (place) where emptied_ms is null;
