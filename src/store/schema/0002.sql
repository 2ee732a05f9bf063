-- Schema 2. Shared tablets, and how people step up at them: none of it is of the daybook, these are secrets that may be erased, and
-- nothing of it is folded from an entry. And indexes for the pages.

-- a browser on a tablet that stays where it is, known by a random token of which only the digest is kept
create table station (
  code @text primary key,
  token_sha256 @bytes not null unique,
  place @text,
  enrolled_ms @int64 not null,
  enrolled_by @int64 not null,
  last_ms @int64,
  revoked_ms @int64
) @strict;
-- who has stepped up where: what a tablet tells later for them is taken from it
create table station_person (
  station @text not null,
  person @int64 not null,
  last_ms @int64 not null,
  primary key (station, person)
) @strict;
alter table person_secret add column pin @text;
alter table person_secret add column badge_sha256 @bytes;
alter table person_secret add column password_failed @int64 not null default 0;
alter table person_secret add column pin_failed @int64 not null default 0;
alter table person_secret add column locked_until_ms @int64;
alter table person_secret add column language @text;
create unique index person_secret_badge on person_secret (badge_sha256) where badge_sha256 is not null;

-- what the pages look up for each lot, paper and series
create index daybook_kind on daybook (kind);
create index sample_place on sample (place, taken_ms) where place is not null;
create index sample_entry on sample (entry);
create index finding_entry on finding (entry);
create index paper_lot on paper (lot) where lot is not null;
create index paper_sha256 on paper (sha256);
create index deviation_lot on deviation (lot) where lot is not null;
create index deviation_entry on deviation (entry);
create index piece_sha256 on piece (sha256);
create index piece_replaces on piece (replaces) where replaces is not null;
create index shipment_code on shipment (code);
