-- Schema 1. The daybook (daybook, piece and attachment bytes, heads) is the truth; every table below "derived" is folded from
-- entries by ledger/fold.c and can be dropped and rebuilt. In derived tables entry is the daybook line that made the row and
-- struck the line that struck it. @int64, @bytes, @text and @strict are replaced per engine.

-- truth
create table daybook (
  seq @int64 primary key,
  uuid @bytes not null unique,
  cause @int64,
  happened_ms @int64 not null,
  recorded_ms @int64 not null,
  offset_min @int64 not null,
  day @int64 not null,
  device @text not null,
  clock_ms @int64 not null,
  person @int64 not null,
  kind @text not null,
  version @int64 not null,
  digest @bytes not null,
  body @text not null,
  leaf @bytes not null
) @strict;
create index daybook_cause on daybook (cause) where cause is not null;
create table tree (
  one @int64 primary key check (one = 1),
  size @int64 not null,
  peaks @bytes not null
) @strict;
create table head (
  size @int64 primary key,
  root @bytes not null,
  signed_ms @int64 not null,
  why @text not null,
  public_key @bytes not null,
  signature @bytes not null
) @strict;
create table blob (
  sha256 @bytes primary key,
  kind @text not null,
  name @text not null,
  size @int64 not null,
  bytes @bytes
) @strict;
-- names and contacts: may be erased, never part of an entry
create table person_secret (
  number @int64 primary key,
  name @text not null,
  contact @text not null,
  password @text
) @strict;
create table partner_contact (
  code @text primary key,
  name @text not null,
  contact @text not null
) @strict;

-- derived: corrections
-- which entry struck which
create table strike (
  of_entry @int64 primary key, entry @int64 not null
) @strict;
-- which entry changed which row by a SET effect of that name
create table changed (
  name @text not null, of_row @int64 not null, entry @int64 not null, struck @int64,
  primary key (name, of_row, entry)
) @strict, without rowid;

-- derived: the house
create table person (
  number @int64 not null, role @text not null, active @int64 not null,
  entry @int64 not null, struck @int64,
  primary key (number, entry)
) @strict;
create table profile (
  entry @int64 primary key, digest @bytes not null, name @text not null, from_ms @int64 not null, struck @int64
) @strict;
create table limit_change (
  entry @int64 primary key, name @text not null, low @int64, high @int64, from_ms @int64 not null,
  loosens @int64 not null, reason @text not null, source @text not null, struck @int64
) @strict;
create index limit_change_name on limit_change (name, from_ms);
create table place (
  code @text not null, name @text not null, kind @text not null, class @text not null, parent @text,
  capacity_mg @int64 not null, in_service @int64 not null, entry @int64 not null, struck @int64,
  primary key (code, entry)
) @strict;
create table instrument (
  code @text not null, kind @text not null, place @text, division @int64 not null, uncertainty @int64 not null,
  due_ms @int64 not null, entry @int64 not null, struck @int64,
  primary key (code, entry)
) @strict;
create table item (
  code @text not null, name @text not null, kind @text not null, family @text not null, allergens @text not null,
  net_mg @int64 not null, pieces_per_case @int64 not null, gtin @text, life_days @int64 not null, source_item @text,
  entry @int64 not null, struck @int64,
  primary key (code, entry)
) @strict;
create table partner (
  code @text not null, role @text not null, grp @text not null, market @text not null, life_days @int64 not null,
  priority @int64 not null, entry @int64 not null, struck @int64,
  primary key (code, entry)
) @strict;

-- derived: lots, units, amounts
create table lot (
  id @int64 not null, code @text not null, item @text not null, kind @text not null, place @text,
  born_ms @int64 not null, day @int64 not null, supplier @text, supplier_code @text, supplier_lot @int64,
  best_before @int64, markets @text not null, closed @int64, entry @int64 not null, struck @int64,
  primary key (id, entry)
) @strict;
create unique index lot_id on lot (id) where struck is null;
create unique index lot_code on lot (code) where struck is null;
create index lot_item_day on lot (item, day);
create index lot_kind on lot (kind, closed);
create index lot_supplier_lot on lot (supplier_lot) where supplier_lot is not null;
create index lot_place on lot (place) where closed is null;
create table balance (
  lot @int64 not null, unit @text not null, amount @int64 not null,
  primary key (lot, unit)
) @strict, without rowid;
create table account (
  name @text not null, unit @text not null, amount @int64 not null,
  primary key (name, unit)
) @strict, without rowid;
create table movement (
  entry @int64 not null, leg @int64 not null, lot @int64, account @text, unit @text not null, amount @int64 not null,
  how @text not null, instrument @text, gross @int64, tare @int64, uncertainty @int64 not null, struck @int64,
  primary key (entry, leg)
) @strict, without rowid;
create index movement_lot on movement (lot) where lot is not null;
create table edge (
  parent @int64 not null, child @int64 not null, entry @int64 not null, mg @int64 not null, basis @text not null, struck @int64,
  primary key (parent, child, entry)
) @strict, without rowid;
create index edge_child on edge (child, parent);
create table unit (
  id @int64 not null, code @text not null, kind @text not null, parent @int64, lot @int64 not null,
  pieces @int64 not null, mg @int64 not null, place @text, state @text not null, shipment @int64,
  made_ms @int64 not null, entry @int64 not null, struck @int64,
  primary key (id, entry)
) @strict;
create unique index unit_id on unit (id) where struck is null;
create unique index unit_code on unit (code) where struck is null;
create index unit_lot on unit (lot, state);
create table packed (
  lot @int64 not null, entry @int64 not null, pieces @int64 not null, declared_mg @int64 not null,
  mean_net_mg @int64 not null, giveaway_mg @int64 not null, struck @int64,
  primary key (lot, entry)
) @strict;

-- derived: steps and runs
-- a step is found by its entry through its id, which begins at entry * 4096
create table step (
  id @int64 primary key, entry @int64 not null, kind @text not null, act @text not null, place @text, run @int64,
  start_ms @int64 not null, end_ms @int64 not null, lot @int64, note @text not null, struck @int64
) @strict;
create index step_place on step (place, start_ms);
create table step_lot (
  step @int64 not null, lot @int64 not null, side @text not null, mg @int64 not null, from_ms @int64 not null, to_ms @int64 not null,
  entry @int64 not null, struck @int64,
  primary key (step, lot, side, from_ms)
) @strict, without rowid;
create index step_lot_lot on step_lot (lot, side);
create table run (
  id @int64 not null, code @text not null, place @text not null, family @text not null, allergens @text not null,
  start_ms @int64 not null, end_ms @int64, carry_ms @int64, entry @int64 not null, struck @int64,
  primary key (id, entry)
) @strict;
create unique index run_id on run (id) where struck is null;
create unique index run_code on run (code) where struck is null;
create index run_place on run (place, start_ms);
create table chamber_use (
  lot @int64 not null, place @text not null, item @text not null, start_ms @int64 not null, seed_mg @int64 not null,
  shares_ppm @int64 not null, emptied_ms @int64, entry @int64 not null, struck @int64,
  primary key (lot, entry)
) @strict;
create index chamber_use_place on chamber_use (place, start_ms);

-- derived: evidence
create table seed_test (
  entry @int64 primary key, lot @int64 not null, kind @text not null, value @int64 not null, data @text not null,
  ok @int64 not null, at_ms @int64 not null, struck @int64
) @strict;
create index seed_test_lot on seed_test (lot, kind);
create table seed_state (
  entry @int64 not null, lot @int64 not null, state @text not null, markets @text not null, at_ms @int64 not null, struck @int64,
  primary key (entry, lot)
) @strict;
create index seed_state_lot on seed_state (lot);
create table treatment (
  entry @int64 primary key, lot @int64 not null, way @text not null, recipe @text not null, met @int64 not null,
  reason @text not null, data @text not null, at_ms @int64 not null, struck @int64
) @strict;
create index treatment_lot on treatment (lot);
create table heat_constants (
  entry @int64 primary key, item @text not null, authority @text not null, reference_mc @int64 not null, z_mc @int64 not null,
  d_ms @int64 not null, tested_max_mc @int64 not null, limit_mc @int64 not null, target_milli @int64 not null,
  report @bytes not null, at_ms @int64 not null, struck @int64
) @strict;
create table clean (
  entry @int64 primary key, place @text not null, surface @text not null, start_ms @int64 not null, end_ms @int64 not null,
  valid @int64 not null, reason @text not null, data @text not null, struck @int64
) @strict;
create index clean_place on clean (place, end_ms);
create table sample (
  id @int64 not null, code @text not null, lot @int64, place @text, location @text not null, what @text not null,
  taken_ms @int64 not null, age_ms @int64, volume_ml @int64 not null, entry @int64 not null, struck @int64,
  primary key (id, entry)
) @strict;
create unique index sample_id on sample (id) where struck is null;
create unique index sample_code on sample (code) where struck is null;
create index sample_lot on sample (lot) where lot is not null;
create table finding (
  entry @int64 not null, sample @int64 not null, organism @text not null, state @text not null, method @text not null,
  report @bytes, by_hand @int64 not null, second_person @int64, at_ms @int64 not null, struck @int64,
  primary key (sample, organism, entry)
) @strict;
create index finding_positive on finding (sample) where state = 'confirmed-positive';
create table reading (
  entry @int64 not null, n @int64 not null, kind @text not null, place @text, lot @int64, run @int64, value @int64, unit @text not null,
  ok @int64 not null, instrument @text, data @text not null, at_ms @int64 not null, struck @int64,
  primary key (entry, n)
) @strict, without rowid;
create index reading_kind_place on reading (kind, place, at_ms);
create index reading_lot on reading (lot, kind, at_ms) where lot is not null;
create table environment (
  id @int64 primary key, place @text not null, product_hold @int64 not null, opened_ms @int64 not null, closed_ms @int64,
  data @text not null, entry @int64 not null, struck @int64
) @strict;
create table review (
  entry @int64 not null, of_entry @int64 not null, person @int64 not null, at_ms @int64 not null, struck @int64,
  primary key (of_entry, entry)
) @strict;
create table paper (
  entry @int64 not null, sha256 @bytes not null, kind @text not null, lot @int64, partner @text, struck @int64,
  primary key (entry, sha256)
) @strict;
create table calibration (
  entry @int64 primary key, instrument @text not null, ok @int64 not null, as_found_error @int64 not null,
  uncertainty @int64 not null, due_ms @int64 not null, at_ms @int64 not null, struck @int64
) @strict;
create index calibration_instrument on calibration (instrument, at_ms);
create table piece (
  entry @int64 not null, series @text not null, sha256 @bytes not null, from_ms @int64 not null, to_ms @int64 not null,
  first_n @int64 not null, last_n @int64 not null, count @int64 not null, gaps @text not null, replaces @bytes, dropped @int64, struck @int64,
  primary key (series, from_ms, entry)
) @strict;

-- derived: decisions
create table hold (
  id @int64 primary key, code @text not null, kind @text not null, stops @text not null, needs @text not null,
  reason @text not null, placed_ms @int64 not null, run @int64, from_ms @int64, to_ms @int64,
  lifted @int64, entry @int64 not null, struck @int64
) @strict;
create unique index hold_code on hold (code) where struck is null;
create index hold_open on hold (kind) where lifted is null;
create table hold_on (
  hold @int64 not null, lot @int64 not null, unit @int64 not null, via @text not null, entry @int64 not null, struck @int64,
  primary key (hold, lot, unit, entry)
) @strict, without rowid;
create index hold_on_lot on hold_on (lot);
create index hold_on_unit on hold_on (unit) where unit <> 0;
create table release (
  entry @int64 primary key, lot @int64 not null, markets @text not null, tree_size @int64 not null, profile @bytes not null,
  clauses @text not null, revoked @int64, struck @int64
) @strict;
create index release_lot on release (lot);
create table deviation (
  id @int64 primary key, entry @int64 not null, rule @text not null, lot @int64, place @text, what @text not null,
  from_ms @int64, to_ms @int64, closed @int64, struck @int64
) @strict;
create index deviation_open on deviation (lot) where closed is null;
create table owed (
  id @int64 primary key, entry @int64 not null, lot @int64 not null, unit @text not null, amount @int64 not null, closed @int64, struck @int64
) @strict;
create table task (
  id @int64 primary key, entry @int64 not null, kind @text not null, what @text not null, lot @int64, place @text,
  due_ms @int64 not null, done @int64, struck @int64
) @strict;
create table scope (
  entry @int64 not null, lot @int64 not null, why @text not null, state @text not null, customer @text not null,
  pieces @int64 not null, mg @int64 not null, struck @int64,
  primary key (entry, lot, customer)
) @strict, without rowid;
create table shipment (
  id @int64 primary key, code @text not null, customer @text not null, at_ms @int64 not null, entry @int64 not null, struck @int64
) @strict;
create table shipped (
  shipment @int64 not null, lot @int64 not null, unit @int64 not null, order_key @text not null, pieces @int64 not null, mg @int64 not null,
  entry @int64 not null, struck @int64,
  primary key (shipment, lot, unit)
) @strict, without rowid;
create index shipped_lot on shipped (lot);
create index shipped_order on shipped (order_key);

-- derived: orders, plans
create table order_line (
  key @text not null, version @int64 not null, customer @text not null, item @text not null, day @int64 not null,
  pieces @int64 not null, state @text not null, source @text not null, entry @int64 not null, struck @int64,
  primary key (key, version)
) @strict;
create index order_line_day on order_line (day, item);
create table plan_taken (
  entry @int64 not null, n @int64 not null, day @int64 not null, place @text not null, item @text not null, seed_lot @int64,
  seed_mg @int64 not null, grow_days @int64 not null, struck @int64,
  primary key (entry, n)
) @strict;
create table mapping (
  source @text not null, kind @text not null, data @text not null, entry @int64 not null, struck @int64,
  primary key (source, kind, entry)
) @strict;
