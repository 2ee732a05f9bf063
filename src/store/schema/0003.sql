-- Schema 3. Indexes only, for what every page asks anew after an entry: what grows now, among all that ever grew.
create index chamber_use_growing on chamber_use (place) where emptied_ms is null;
