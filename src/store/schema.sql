-- schema.sql - a job file, version @VERSION@.
--
-- A job file is one SQLite database, NAME.rakejob. This text is run once, when the file is made;
-- the program compares every file it opens with it to the letter, comments and all, so change it
-- only together with its version and a step in job-file.c. SQLite keeps what stands between the
-- brackets of a CREATE statement, so the comments that matter stand inside: whoever opens a job
-- file with any SQL tool, in however many years, finds its description in the file itself
-- (SELECT sql FROM sqlite_schema).
--
-- What a later version added, and what an earlier one had in its place, stands between marks, which the
-- build takes out (schema.py): from this one text it makes what a file of each version is.
--
-- How to read a job with nothing but SQL:
--
--   SELECT * FROM entry JOIN pass USING (arrival) ORDER BY written_ms, bench, number;
--
-- A new kind of entry joins by a row in the table kind, a table of its name, and the tables of its
-- lists; nothing that is here has to change for it. What may be taken away again (the bytes of a
-- photograph, a client's name) lies in tables of its own, outside the chain of hashes.

PRAGMA application_id = 1380010821; -- the letters "RAKE"
PRAGMA user_version = @VERSION@;

CREATE TABLE kind (
  -- The kinds of entries. A kind's name is the name of the table with its bodies; a list in a body
  -- has a table of its own, KIND_FIELD.
  name     TEXT PRIMARY KEY,
  meaning  TEXT NOT NULL
) STRICT, WITHOUT ROWID;

INSERT INTO kind (name, meaning) VALUES
  ('job',         'the job''s facts; a later one replaces an earlier one'),
  ('rules',       'the rule set the job is judged by from here on'),
  ('face',        'a face with its outline'),
  ('zones',       'zones divided or joined'),
  ('zone_facts',  'a zone''s name, reserve, edge factor, first stage'),
  ('schedule',    'the stages of a face; a later one replaces an earlier one'),
  ('begin_stage', 'a face goes to a stage'),
  ('coat',        'one sprayed coat on a face'),
  ('pass',        'one going-over of one or more zones, followed by a wipe'),
  ('look',        'one inspection of a zone'),
  ('mark',        'one thing seen at a place, in a look'),
  ('revisit',     'a mark from before looked at again'),
  ('state',       'what a whole zone shows in a look'),
  ('acceptance',  'a zone accepted against the verdict'),
  ('note',        'words about a thing'),
  ('strike',      'another entry struck out'),
  ('reading',     'an instrument''s number'),
  ('wheel',       'a buffing wheel, or its renewal'),
  ('repair',      'what was done about a mark');
--@ since 2
INSERT INTO kind (name, meaning) VALUES
  ('rate',        'what one pass takes, as the shop has learned');
--@ end
--@ since 3
INSERT INTO kind (name, meaning) VALUES
  ('photo',       'a photograph, or where it belongs from now on'),
  ('withdrawal',  'a photograph''s bytes taken away for good'),
  ('registration', 'where a photograph''s pixels lie on its face');
--@ end
--@ since 4
INSERT INTO kind (name, meaning) VALUES
  ('defect',      'a fault kept for the record, or more of its story'),
  ('hand_over',   'the piece handed over: closed for work from then on'),
  ('claim',       'a complaint after the hand-over, or more of its story');
--@ end

CREATE TABLE entry (
  -- One line of the logbook: who wrote it, where and when. What it says is the row of the same
  -- arrival in the table that kind names.
  --
  -- Entries are only added. One that is wrong is struck out by a later one (table strike), which
  -- strikes itself if it was struck in error. The order of a job is (written_ms, bench, number);
  -- arrival is only the order in which the entries came into this one file.
  --
  -- Each bench numbers its entries 1, 2, 3 … without a gap and chains them: hash is the SHA-256
  -- of the line that stands for the entry in the exchange form, without ,"hash":"…", and that
  -- line holds the hash of the same bench's entry before as "previous". Ids are UUIDs in lower
  -- case (RFC 9562). In this table and in all bodies, what was not said is NULL.
  arrival             INTEGER PRIMARY KEY CHECK (arrival >= 1), -- 1, 2, 3 … without a gap
  id                  TEXT NOT NULL UNIQUE CHECK (length (id) = 36),
  kind                TEXT NOT NULL REFERENCES kind (name),
  bench               TEXT NOT NULL CHECK (length (bench) = 36), -- the machine it was written at
  number              INTEGER NOT NULL CHECK (number >= 1),
  -- Milliseconds since 1970 UTC, of the years 1900 to 2200. The time of writing rises along a
  -- chain; when the thing happened is mostly the same.
  written_ms          INTEGER NOT NULL CHECK (written_ms BETWEEN -2208988800000 AND 7258118400000),
  happened_ms         INTEGER NOT NULL CHECK (happened_ms BETWEEN -2208988800000 AND 7258204800000),
  utc_offset_minutes  INTEGER NOT NULL CHECK (utc_offset_minutes BETWEEN -1080 AND 1080),
  who                 TEXT,
  -- The first entry of those that one gesture wrote together, or its own id.
  gesture             TEXT NOT NULL CHECK (length (gesture) = 36),
  previous            BLOB NOT NULL CHECK (length (previous) = 32), -- zeros for a bench's first
  hash                BLOB NOT NULL CHECK (length (hash) = 32),
  UNIQUE (bench, number)
) STRICT;

-- The job and its faces ---------------------------------------------------------------------------

CREATE TABLE job (
  -- The job's facts, all of them: the last row in the order of the job holds. Limits left unsaid
  -- are those of the rules; days left unsaid go by the family of the finish.
  arrival                      INTEGER PRIMARY KEY REFERENCES entry (arrival),
  name                         TEXT NOT NULL,
  piece                        TEXT,
  shop                         TEXT,
  finish                       TEXT CHECK (finish IN ('nitrocellulose lacquer', 'acrylic lacquer',
                                 'shellac', 'water-based', 'two-part polyurethane', 'polyester',
                                 'oil varnish', 'conversion varnish', 'uv-cured', 'other')),
  sheen                        TEXT CHECK (sheen IN ('gloss', 'semi-gloss', 'satin')),
  -- Does a new coat melt into the one below.
  coats_fuse                   TEXT CHECK (coats_fuse IN ('no', 'yes')),
  -- Last coat to first sanding.
  cure_days                    REAL CHECK (cure_days BETWEEN 0 AND 3650),
  rest_days                    REAL CHECK (rest_days BETWEEN 0 AND 3650), -- buffing to hand-over
  -- Share still glossy that is level enough, and the largest glossy island.
  level_low_spot_fraction      REAL CHECK (level_low_spot_fraction BETWEEN 0 AND 1),
  level_island_mm              REAL CHECK (level_island_mm BETWEEN 0 AND 100000),
  edge_low_spot_fraction       REAL CHECK (edge_low_spot_fraction BETWEEN 0 AND 1),
  -- At the last sanding grit.
  last_edge_low_spot_fraction  REAL CHECK (last_edge_low_spot_fraction BETWEEN 0 AND 1),
  -- Of cutting into the reserve.
  risk_limit_fraction          REAL CHECK (risk_limit_fraction BETWEEN 0 AND 1),
  gloss_target_gu              REAL CHECK (gloss_target_gu BETWEEN 0 AND 2000),
  gloss_tolerance_gu           REAL CHECK (gloss_tolerance_gu BETWEEN 0 AND 2000),
  -- Allowed from zone to zone.
  gloss_spread_gu              REAL CHECK (gloss_spread_gu BETWEEN 0 AND 2000),
  -- From buffing to the next touch.
--@ until 1
  cool_minutes                 REAL CHECK (cool_minutes BETWEEN 0 AND 10080)
--@ end
--@ since 2
  cool_minutes                 REAL CHECK (cool_minutes BETWEEN 0 AND 10080),
  -- How it will be brought to gloss: a bench wheel, a machine's pad, by hand, or not.
  buffing                      TEXT CHECK (buffing IN ('wheel', 'machine', 'hand', 'none')),
  texture                      TEXT CHECK (texture IN ('smooth', 'usual', 'rough')), -- as sprayed
  -- What the coats were meant to make; readings are held to it.
  nominal_film_um              REAL CHECK (nominal_film_um BETWEEN 0 AND 5000)
--@ end
) STRICT;

CREATE TABLE rules (
  -- The rule set by which the job is judged from here on, whole, so that an old job is judged by
  -- the rules it was worked under.
  arrival  INTEGER PRIMARY KEY REFERENCES entry (arrival),
  name     TEXT NOT NULL,
  text     TEXT NOT NULL
) STRICT;

CREATE TABLE face (
  -- One surface that is worked as a unit. It begins as one zone, which has the id of this entry.
  --
  -- Shapes, here and below, are OGC well-known binary: little-endian, two-dimensional, millimetres
  -- snapped to 1 µm, x to the right and y downward as the face lies on the drawing. Directions are
  -- degrees on the face, 0 towards its top edge, clockwise.
  arrival  INTEGER PRIMARY KEY REFERENCES entry (arrival),
  name     TEXT NOT NULL,
  outline  BLOB NOT NULL CHECK (length (outline) BETWEEN 21 AND 4194304)
) STRICT;

CREATE TABLE zones (
  -- Zones divided or joined: those in zones_removed end here, those in zones_added begin, over the
  -- same ground. A divided zone hands its history down to its parts.
  arrival   INTEGER PRIMARY KEY REFERENCES entry (arrival),
  face      TEXT NOT NULL REFERENCES entry (id),
  division  TEXT NOT NULL CHECK (division IN ('cut', 'band', 'grid', 'join')),
  -- The line that was drawn, if one was.
  drawn     BLOB CHECK (length (drawn) BETWEEN 21 AND 4194304)
) STRICT;

CREATE TABLE zones_removed (
  arrival   INTEGER NOT NULL REFERENCES zones (arrival),
  position  INTEGER NOT NULL CHECK (position >= 0), -- 0, 1, 2 … as in every list
  id        TEXT NOT NULL CHECK (length (id) = 36), -- a zone: of a face entry, or of zones_added
  PRIMARY KEY (arrival, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE zones_added (
  arrival      INTEGER NOT NULL REFERENCES zones (arrival),
  position     INTEGER NOT NULL CHECK (position >= 0),
  id           TEXT NOT NULL CHECK (length (id) = 36), -- the new zone's
  name         TEXT NOT NULL,
  shape        BLOB NOT NULL CHECK (length (shape) BETWEEN 21 AND 4194304),
  is_edge      TEXT CHECK (is_edge IN ('no', 'yes')),
  -- Removal a pass against a flat's; unsaid: 1.
  edge_factor  REAL CHECK (edge_factor BETWEEN 0 AND 10),
  reserve_um   REAL CHECK (reserve_um BETWEEN 0 AND 5000), -- film that must remain
  first_stage  TEXT CHECK (length (first_stage) = 36), -- unsaid: the face's first
--@ since 2
  -- What of a coat settles here, against a flat; unsaid: 1.
  coat_factor  REAL CHECK (coat_factor BETWEEN 0 AND 10),
  -- For the narrow wheel; unsaid: as is_edge.
  is_hard_to_reach TEXT CHECK (is_hard_to_reach IN ('no', 'yes')),
--@ end
  PRIMARY KEY (arrival, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE zone_facts (
  -- New facts of a zone; what is unsaid stays as it was.
  arrival      INTEGER PRIMARY KEY REFERENCES entry (arrival),
  zone         TEXT NOT NULL CHECK (length (zone) = 36),
  name         TEXT,
  is_edge      TEXT CHECK (is_edge IN ('no', 'yes')),
  edge_factor  REAL CHECK (edge_factor BETWEEN 0 AND 10),
  reserve_um   REAL CHECK (reserve_um BETWEEN 0 AND 5000),
--@ until 1
  first_stage  TEXT CHECK (length (first_stage) = 36)
--@ end
--@ since 2
  first_stage  TEXT CHECK (length (first_stage) = 36),
  coat_factor  REAL CHECK (coat_factor BETWEEN 0 AND 10),
  is_hard_to_reach TEXT CHECK (is_hard_to_reach IN ('no', 'yes'))
--@ end
) STRICT;

CREATE TABLE schedule (
  -- The stages planned for a face, in schedule_stages.
  arrival  INTEGER PRIMARY KEY REFERENCES entry (arrival),
  face     TEXT NOT NULL REFERENCES entry (id)
) STRICT;

CREATE TABLE schedule_stages (
  arrival   INTEGER NOT NULL REFERENCES schedule (arrival),
  position  INTEGER NOT NULL CHECK (position >= 0),
  -- A stage kept from an earlier schedule keeps its id.
  id        TEXT NOT NULL CHECK (length (id) = 36),
  action    TEXT NOT NULL CHECK (action IN ('level', 'refine', 'last look', 'buff', 'rest')),
  grade     TEXT, -- 'P800', or the compound; none for a look or a rest
  d50_um    REAL CHECK (d50_um BETWEEN 0 AND 5000), -- median grain, where known
  PRIMARY KEY (arrival, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE begin_stage (
  -- A face goes to a stage; what was ticked on the preparation list is in begin_stage_prepared.
  arrival  INTEGER PRIMARY KEY REFERENCES entry (arrival),
  face     TEXT NOT NULL REFERENCES entry (id),
  stage    TEXT NOT NULL CHECK (length (stage) = 36)
) STRICT;

CREATE TABLE begin_stage_prepared (
  arrival   INTEGER NOT NULL REFERENCES begin_stage (arrival),
  position  INTEGER NOT NULL CHECK (position >= 0),
  text      TEXT NOT NULL,
  PRIMARY KEY (arrival, position)
) STRICT, WITHOUT ROWID;

-- What was done and seen --------------------------------------------------------------------------

CREATE TABLE coat (
  -- One sprayed coat on a face. Its dry thickness is said, or follows from the wet film or from the
  -- mass; the rest is NULL.
  arrival                 INTEGER PRIMARY KEY REFERENCES entry (arrival),
  face                    TEXT NOT NULL REFERENCES entry (id),
  product                 TEXT,
  wet_um                  REAL CHECK (wet_um BETWEEN 0 AND 5000),
  dry_um                  REAL CHECK (dry_um BETWEEN 0 AND 5000),
  dry_sd_um               REAL CHECK (dry_sd_um BETWEEN 0 AND 5000),
  mass_g                  REAL CHECK (mass_g BETWEEN 0 AND 1000000),
  density_g_per_ml        REAL CHECK (density_g_per_ml BETWEEN 0 AND 10),
  area_mm2                REAL CHECK (area_mm2 BETWEEN 0 AND 10000000000),
  -- Of the mass that reached the piece.
  transfer_fraction       REAL CHECK (transfer_fraction BETWEEN 0 AND 1),
  volume_solids_fraction  REAL CHECK (volume_solids_fraction BETWEEN 0 AND 1),
  thinner_fraction        REAL CHECK (thinner_fraction BETWEEN 0 AND 1),
  -- Taken off the coat below before this one.
  scuff_um                REAL CHECK (scuff_um BETWEEN 0 AND 5000),
--@ until 1
  scuff_sd_um             REAL CHECK (scuff_sd_um BETWEEN 0 AND 5000)
--@ end
--@ since 2
  scuff_sd_um             REAL CHECK (scuff_sd_um BETWEEN 0 AND 5000),
  -- Standard deviations of what is said above.
  wet_sd_um                  REAL CHECK (wet_sd_um BETWEEN 0 AND 5000),
  volume_solids_sd_fraction  REAL CHECK (volume_solids_sd_fraction BETWEEN 0 AND 1),
  transfer_sd_fraction       REAL CHECK (transfer_sd_fraction BETWEEN 0 AND 1),
  -- Where only the solids by weight are known, with the density of the dry film.
  weight_solids_fraction     REAL CHECK (weight_solids_fraction BETWEEN 0 AND 1),
  dry_density_g_per_ml       REAL CHECK (dry_density_g_per_ml BETWEEN 0 AND 10)
--@ end
) STRICT;

CREATE TABLE pass (
  -- One going-over of the zones in pass_zones at a stage, followed by a wipe.
  arrival      INTEGER PRIMARY KEY REFERENCES entry (arrival),
  stage        TEXT NOT NULL CHECK (length (stage) = 36),
  stroke_deg   REAL CHECK (stroke_deg >= 0 AND stroke_deg < 360),
  n_strokes    REAL CHECK (n_strokes BETWEEN 0 AND 1000000),
--@ until 1
  paper        TEXT CHECK (paper IN ('fresh', 'used', 'loaded')),
--@ end
--@ since 2
  -- Loaded by soft film; wiped: used, and brushed clean before the pass.
  paper        TEXT CHECK (paper IN ('fresh', 'used', 'loaded', 'wiped')),
--@ end
  wiped_with   TEXT CHECK (wiped_with IN ('nothing', 'dry cloth', 'damp cloth', 'spirit')),
  wheel        TEXT REFERENCES entry (id)
) STRICT;

CREATE TABLE pass_zones (
  arrival   INTEGER NOT NULL REFERENCES pass (arrival),
  position  INTEGER NOT NULL CHECK (position >= 0),
  id        TEXT NOT NULL CHECK (length (id) = 36),
  PRIMARY KEY (arrival, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE look (
  -- One inspection of one zone. A zone without a row here was never looked at.
  arrival     INTEGER PRIMARY KEY REFERENCES entry (arrival),
  zone        TEXT NOT NULL CHECK (length (zone) = 36),
  -- Hazed by compound.
  surface     TEXT NOT NULL CHECK (surface IN ('dry', 'wet', 'dusty', 'warm', 'hazed')),
  wiped_with  TEXT CHECK (wiped_with IN ('nothing', 'dry cloth', 'damp cloth', 'spirit')),
  light       TEXT NOT NULL CHECK (light IN ('lamp', 'daylight', 'room', 'point')),
  -- Where the lamp stood; NULL for light without a place.
  lamp_deg    REAL CHECK (lamp_deg >= 0 AND lamp_deg < 360)
) STRICT;

CREATE TABLE mark (
  -- One thing seen at a place, in a look. The mark's id is the entry's.
  arrival   INTEGER PRIMARY KEY REFERENCES entry (arrival),
  look      TEXT NOT NULL REFERENCES entry (id),
  mark      TEXT NOT NULL CHECK (mark IN ('low spot', 'scratch', 'witness line', 'burn',
              'sand-through', 'run', 'nib', 'crater', 'pinhole', 'lifting', 'imprint',
              'shrink-back', 'swirl', 'dull spot')),
  shape     BLOB NOT NULL CHECK (length (shape) BETWEEN 21 AND 4194304),
  depth_um  REAL CHECK (depth_um BETWEEN 0 AND 5000),
  width_mm  REAL CHECK (width_mm BETWEEN 0 AND 100000),
  cause     TEXT
) STRICT;

CREATE TABLE revisit (
  -- A mark from before looked at again. A mark that has no row here since the last pass was not.
  arrival  INTEGER PRIMARY KEY REFERENCES entry (arrival),
  look     TEXT NOT NULL REFERENCES entry (id),
  mark     TEXT NOT NULL REFERENCES entry (id),
  outcome  TEXT NOT NULL CHECK (outcome IN ('still there', 'gone')),
  shape    BLOB CHECK (length (shape) BETWEEN 21 AND 4194304) -- when still there and changed
) STRICT;

CREATE TABLE state (
  -- What the whole zone shows in a look.
  arrival               INTEGER PRIMARY KEY REFERENCES entry (arrival),
  look                  TEXT NOT NULL REFERENCES entry (id),
  state                 TEXT NOT NULL CHECK (state IN ('low spot', 'uniform', 'scratch',
                          'witness line', 'burn', 'sand-through')),
  -- Share still glossy, by eye.
  low_spot_fraction     REAL CHECK (low_spot_fraction BETWEEN 0 AND 1),
  largest_island_mm     REAL CHECK (largest_island_mm BETWEEN 0 AND 100000),
  n_islands_over_limit  REAL CHECK (n_islands_over_limit BETWEEN 0 AND 1000000),
  scratch_mm            REAL CHECK (scratch_mm BETWEEN 0 AND 100000) -- length of the longest
) STRICT;

CREATE TABLE acceptance (
  -- A zone accepted against the verdict, for ever visible. The rules that spoke are in
  -- acceptance_rules, what they spoke about in acceptance_matters.
  arrival  INTEGER PRIMARY KEY REFERENCES entry (arrival),
  zone     TEXT NOT NULL CHECK (length (zone) = 36),
  verdict  TEXT NOT NULL CHECK (verdict IN ('ready', 'sand again', 'look again', 'wait', 'stop',
             'repair')),
  reason   TEXT NOT NULL
) STRICT;

CREATE TABLE acceptance_rules (
  arrival   INTEGER NOT NULL REFERENCES acceptance (arrival),
  position  INTEGER NOT NULL CHECK (position >= 0),
  text      TEXT NOT NULL,
  PRIMARY KEY (arrival, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE acceptance_matters (
  arrival   INTEGER NOT NULL REFERENCES acceptance (arrival),
  position  INTEGER NOT NULL CHECK (position >= 0),
  text      TEXT NOT NULL,
  PRIMARY KEY (arrival, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE note (
  arrival  INTEGER PRIMARY KEY REFERENCES entry (arrival),
  about    TEXT CHECK (length (about) = 36), -- a face, zone, mark or entry; NULL: the job
  text     TEXT NOT NULL
) STRICT;

CREATE TABLE strike (
  -- Another entry struck out. It stays readable. To strike a strike is to restore.
  arrival  INTEGER PRIMARY KEY REFERENCES entry (arrival),
  entry    TEXT NOT NULL REFERENCES entry (id),
  why      TEXT NOT NULL CHECK (why IN ('correction', 'undo', 'redo')),
  reason   TEXT CHECK (reason IS NOT NULL OR why <> 'correction')
) STRICT;

CREATE TABLE reading (
  -- A number from an instrument, in the unit that its quantity names.
  arrival     INTEGER PRIMARY KEY REFERENCES entry (arrival),
  zone        TEXT NOT NULL CHECK (length (zone) = 36),
  quantity    TEXT NOT NULL CHECK (quantity IN ('film um', 'gloss gu', 'temperature celsius')),
  value       REAL NOT NULL CHECK (value BETWEEN -100 AND 5000),
  sd          REAL CHECK (sd BETWEEN 0 AND 5000),
  angle_deg   REAL CHECK (angle_deg BETWEEN 0 AND 90), -- of the gloss meter
--@ until 1
  instrument  TEXT
--@ end
--@ since 2
  instrument  TEXT,
  place       BLOB CHECK (length (place) BETWEEN 21 AND 4194304) -- where in the zone, if said
--@ end
) STRICT;

CREATE TABLE wheel (
--@ until 1
  -- A buffing wheel: a new one, whose id is the entry's, or the renewal of the one in wheel.
--@ end
--@ since 2
  -- A buffing wheel: a new one, whose id is the entry's, or what was done to the one in wheel, with
  -- all that is known of it.
--@ end
  arrival          INTEGER PRIMARY KEY REFERENCES entry (arrival),
  wheel            TEXT REFERENCES entry (id),
  name             TEXT NOT NULL,
  compound         TEXT, -- the one compound it may carry
  carried_other    TEXT CHECK (carried_other IN ('no', 'yes')), -- has it ever carried another
  diameter_mm      REAL CHECK (diameter_mm BETWEEN 0 AND 5000),
  motor_rpm        REAL CHECK (motor_rpm BETWEEN 0 AND 100000),
  motor_pulley_mm  REAL CHECK (motor_pulley_mm BETWEEN 0 AND 5000),
  wheel_pulley_mm  REAL CHECK (wheel_pulley_mm BETWEEN 0 AND 5000),
--@ until 1
  rated_rpm        REAL CHECK (rated_rpm BETWEEN 0 AND 100000)
--@ end
--@ since 2
  rated_rpm        REAL CHECK (rated_rpm BETWEEN 0 AND 100000),
  -- Stripped of every trace of compound; checked before a stage. Unsaid: new, or a correction.
  work             TEXT CHECK (work IN ('new', 'replaced', 'stripped', 'checked')),
  width_mm         REAL CHECK (width_mm BETWEEN 0 AND 5000),
  remark           TEXT
--@ end
) STRICT;

CREATE TABLE repair (
  -- What was done on a zone about the marks in repair_marks, which it closes. A recoat is of the
  -- zone's whole face.
  arrival        INTEGER PRIMARY KEY REFERENCES entry (arrival),
  zone           TEXT NOT NULL CHECK (length (zone) = 36),
  method         TEXT NOT NULL CHECK (method IN ('levelled', 'scraped', 'drop fill', 'fill',
                   'colour', 'recoat')),
  added_um       REAL CHECK (added_um BETWEEN 0 AND 5000),
  added_sd_um    REAL CHECK (added_sd_um BETWEEN 0 AND 5000),
  removed_um     REAL CHECK (removed_um BETWEEN 0 AND 5000),
  removed_sd_um  REAL CHECK (removed_sd_um BETWEEN 0 AND 5000),
  -- Its own wait; NULL: by method and finish.
  cure_days      REAL CHECK (cure_days BETWEEN 0 AND 3650),
  -- Neighbours within it want another look; NULL: 30.
  feather_mm     REAL CHECK (feather_mm BETWEEN 0 AND 100000),
  back_to_stage  TEXT CHECK (length (back_to_stage) = 36),
--@ until 1
  outcome        TEXT
--@ end
--@ since 2
  outcome        TEXT,
  -- Of what was added, until it is cured; NULL: by method.
  shrink_fraction     REAL CHECK (shrink_fraction BETWEEN 0 AND 1),
  shrink_sd_fraction  REAL CHECK (shrink_sd_fraction BETWEEN 0 AND 1)
--@ end
) STRICT;

CREATE TABLE repair_marks (
  arrival   INTEGER NOT NULL REFERENCES repair (arrival),
  position  INTEGER NOT NULL CHECK (position >= 0),
  id        TEXT NOT NULL REFERENCES entry (id),
  PRIMARY KEY (arrival, position)
) STRICT, WITHOUT ROWID;
--@ since 2

CREATE TABLE rate (
  -- What the shop has learned that one pass on a flat takes, recorded in the job so that it keeps
  -- the rates it was worked by. The last row of a grade holds.
  arrival        INTEGER PRIMARY KEY REFERENCES entry (arrival),
  grade          TEXT NOT NULL, -- as stages write it: 'P800', or the compound
  removal_um     REAL NOT NULL CHECK (removal_um BETWEEN 0 AND 5000),
  -- Doubt of the rate itself, the same for every pass; and from one pass to the next.
  common_sd_um   REAL CHECK (common_sd_um BETWEEN 0 AND 5000),
  scatter_sd_um  REAL CHECK (scatter_sd_um BETWEEN 0 AND 5000),
  n_pairs        REAL CHECK (n_pairs BETWEEN 0 AND 1000000), -- of gauge readings behind it
  origin         TEXT
) STRICT;
--@ end

--@ since 3
CREATE TABLE photo (
  -- A photograph, whose bytes lie in photo_bytes under the hash that sha256 is the digits of, or,
  -- where photo names an earlier one, where that one belongs from now on. When it was taken is the
  -- entry's happened_ms. The lists photo_zones and photo_marks say what it shows.
  arrival            INTEGER PRIMARY KEY REFERENCES entry (arrival),
  photo              TEXT REFERENCES entry (id),
  sha256             TEXT NOT NULL, -- lower (hex (photo_bytes.hash))
  media_type         TEXT NOT NULL CHECK (media_type IN ('image/jpeg', 'image/png', 'image/heic')),
  n_bytes            REAL NOT NULL CHECK (n_bytes BETWEEN 1 AND 67108864),
  -- As the picture lies in the file, before it is turned.
  width_px           REAL NOT NULL CHECK (width_px BETWEEN 1 AND 65535),
  height_px          REAL NOT NULL CHECK (height_px BETWEEN 1 AND 65535),
  -- As EXIF's Orientation counts; NULL: 1, upright as it lies.
  turn               REAL CHECK (turn BETWEEN 1 AND 8),
  name               TEXT, -- of the file that it came in
  -- Where the time is known from; NULL: it is that of writing.
  time_from          TEXT CHECK (time_from IN ('exif', 'file', 'said')),
  -- Of the camera's clock from UTC; assumed where the camera did not say.
  offset_minutes     REAL CHECK (offset_minutes BETWEEN -1080 AND 1080),
  is_offset_assumed  TEXT CHECK (is_offset_assumed IN ('no', 'yes')),
  face               TEXT CHECK (length (face) = 36), -- NULL: the whole piece
  stage              TEXT CHECK (length (stage) = 36),
  pass               TEXT REFERENCES entry (id),
  lamp_deg           REAL CHECK (lamp_deg >= 0 AND lamp_deg < 360),
  is_look            TEXT CHECK (is_look IN ('no', 'yes')), -- was it taken of what a look saw
  view               TEXT, -- photographs of one name were taken from the same place
  note               TEXT
) STRICT;

CREATE TABLE photo_zones (
  arrival   INTEGER NOT NULL REFERENCES photo (arrival),
  position  INTEGER NOT NULL CHECK (position >= 0),
  id        TEXT NOT NULL CHECK (length (id) = 36),
  PRIMARY KEY (arrival, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE photo_marks (
  arrival   INTEGER NOT NULL REFERENCES photo (arrival),
  position  INTEGER NOT NULL CHECK (position >= 0),
  id        TEXT NOT NULL REFERENCES entry (id),
  PRIMARY KEY (arrival, position)
) STRICT, WITHOUT ROWID;

CREATE TABLE withdrawal (
  -- A photograph's bytes taken away for good; its entry and its hash stay. Never struck out.
  arrival  INTEGER PRIMARY KEY REFERENCES entry (arrival),
  photo    TEXT NOT NULL REFERENCES entry (id),
  reason   TEXT NOT NULL
) STRICT;

CREATE TABLE registration (
  -- Where a photograph's pixels lie on its face: (X, Y, W) = m (x mm, y mm, 1), the pixel X / W,
  -- Y / W. A lens that bends shows it at r (1 + radial r^2) instead of at r, counted from the middle
  -- of the picture in halves of its diagonal. What it was found from is in registration_pairs.
  -- Pixels: x right, y down, as the picture lies in the file, 0, 0 the outer corner of the first.
  arrival  INTEGER PRIMARY KEY REFERENCES entry (arrival),
  face     TEXT NOT NULL CHECK (length (face) = 36),
  photo    TEXT NOT NULL REFERENCES entry (id),
  m11      REAL NOT NULL CHECK (m11 BETWEEN -1000000000 AND 1000000000),
  m12      REAL NOT NULL CHECK (m12 BETWEEN -1000000000 AND 1000000000),
  m13      REAL NOT NULL CHECK (m13 BETWEEN -1000000000 AND 1000000000),
  m21      REAL NOT NULL CHECK (m21 BETWEEN -1000000000 AND 1000000000),
  m22      REAL NOT NULL CHECK (m22 BETWEEN -1000000000 AND 1000000000),
  m23      REAL NOT NULL CHECK (m23 BETWEEN -1000000000 AND 1000000000),
  m31      REAL NOT NULL CHECK (m31 BETWEEN -1000000000 AND 1000000000),
  m32      REAL NOT NULL CHECK (m32 BETWEEN -1000000000 AND 1000000000),
  m33      REAL NOT NULL CHECK (m33 BETWEEN -1000000000 AND 1000000000),
  radial   REAL CHECK (radial BETWEEN -10 AND 10),
  -- Root of the mean of the squared residuals of the pairs.
  rms_px   REAL CHECK (rms_px BETWEEN 0 AND 100000),
  rms_mm   REAL CHECK (rms_mm BETWEEN 0 AND 100000)
) STRICT;

CREATE TABLE registration_pairs (
  arrival   INTEGER NOT NULL REFERENCES registration (arrival),
  position  INTEGER NOT NULL CHECK (position >= 0),
  x_px      REAL NOT NULL CHECK (x_px BETWEEN -1000000 AND 1000000),
  y_px      REAL NOT NULL CHECK (y_px BETWEEN -1000000 AND 1000000),
  x_mm      REAL NOT NULL CHECK (x_mm BETWEEN -100000 AND 100000),
  y_mm      REAL NOT NULL CHECK (y_mm BETWEEN -100000 AND 100000),
  PRIMARY KEY (arrival, position)
) STRICT, WITHOUT ROWID;

--@ end
--@ since 4
CREATE TABLE defect (
  -- A fault kept for the record, or, where defect names an earlier one, more of that one's story: the
  -- last says how it stands.
  arrival        INTEGER PRIMARY KEY REFERENCES entry (arrival),
  zone           TEXT NOT NULL CHECK (length (zone) = 36),
  mark           TEXT REFERENCES entry (id), -- NULL: as said before, or a fault without a place
  defect         TEXT REFERENCES entry (id), -- NULL: a new one
  what           TEXT, -- in a few words; NULL: what its mark is
  severity       TEXT, -- in plain words
  cause          TEXT,
  action         TEXT,
  outcome        TEXT,
  standing       TEXT NOT NULL
    CHECK (standing IN ('open', 'repaired', 'accepted', 'left as agreed')),
  cost           REAL CHECK (cost BETWEEN 0 AND 1000000000), -- for the shop alone
  currency       TEXT, -- three capitals, as ISO 4217 has them
  is_for_client  TEXT CHECK (is_for_client IN ('no', 'yes')) -- NULL: yes
) STRICT;

CREATE TABLE hand_over (
  -- The piece given to its owner. From here on the job is closed for work, unless a claim is open.
  arrival       INTEGER PRIMARY KEY REFERENCES entry (arrival),
  light         TEXT, -- the viewing light that was agreed
  distance_mm   REAL CHECK (distance_mm BETWEEN 0 AND 100000), -- and the distance
  condition     TEXT, -- how it looked
  not_examined  TEXT,
  care          TEXT,
  terms         TEXT, -- the warranty as agreed
  months        REAL CHECK (months BETWEEN 0 AND 1200), -- that it holds
  exclusions    TEXT,
  seal          TEXT -- of all entries before it; NULL: not taken
) STRICT;

CREATE TABLE claim (
  -- A complaint after the hand-over, or, where claim names an earlier one, more of that one's story.
  arrival    INTEGER PRIMARY KEY REFERENCES entry (arrival),
  claim      TEXT REFERENCES entry (id), -- NULL: a new one
  about      TEXT CHECK (length (about) = 36), -- a face, zone, mark or defect; NULL: the piece
  complaint  TEXT NOT NULL,
  finding    TEXT,
  decision   TEXT NOT NULL
    CHECK (decision IN ('open', 'ours', 'not ours', 'shared', 'goodwill')),
  action     TEXT,
  cost       REAL CHECK (cost BETWEEN 0 AND 1000000000),
  currency   TEXT -- three capitals, as ISO 4217 has them
) STRICT;

--@ end
-- Outside the chain -------------------------------------------------------------------------------

CREATE TABLE photo_bytes (
  -- The bytes of a photograph, by their SHA-256, which is what an entry names. They may be
  -- withdrawn: then bytes is NULL and withdrawn_ms says since when, while hash and entry stay.
  hash          BLOB NOT NULL PRIMARY KEY CHECK (length (hash) = 32),
  media_type    TEXT NOT NULL,
  n_bytes       INTEGER NOT NULL CHECK (n_bytes > 0),
  bytes         BLOB CHECK (length (bytes) = n_bytes),
  withdrawn_ms  INTEGER,
  CHECK ((bytes IS NULL) = (withdrawn_ms IS NOT NULL))
--@ since 3
) STRICT;

CREATE TABLE photo_working (
  -- A smaller copy of a photograph for the screen: a JPEG, turned upright, with nothing of the camera
  -- in it. It vouches for nothing, may be lacking, and can be made anew from the photograph.
  hash       BLOB NOT NULL PRIMARY KEY REFERENCES photo_bytes (hash),
  width_px   INTEGER NOT NULL CHECK (width_px BETWEEN 1 AND 65535),
  height_px  INTEGER NOT NULL CHECK (height_px BETWEEN 1 AND 65535),
  bytes      BLOB NOT NULL CHECK (length (bytes) BETWEEN 1 AND 16777216)
) STRICT;

CREATE TABLE photo_thumbnail (
  -- The same, small enough for a strip of them.
  hash       BLOB NOT NULL PRIMARY KEY REFERENCES photo_bytes (hash),
  width_px   INTEGER NOT NULL CHECK (width_px BETWEEN 1 AND 65535),
  height_px  INTEGER NOT NULL CHECK (height_px BETWEEN 1 AND 65535),
  bytes      BLOB NOT NULL CHECK (length (bytes) BETWEEN 1 AND 1048576)
--@ end
) STRICT;

CREATE TABLE client (
  -- Whose piece it is. One row or none; may be corrected and erased without touching the record.
  one      INTEGER PRIMARY KEY CHECK (one = 1),
  name     TEXT,
  contact  TEXT
) STRICT;

-- Only added --------------------------------------------------------------------------------------
-- Whoever gets round these triggers breaks a hash, which verification names.

CREATE TRIGGER kind_is_never_changed BEFORE UPDATE ON kind
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER kind_is_never_deleted BEFORE DELETE ON kind
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER entry_is_never_changed BEFORE UPDATE ON entry
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER entry_is_never_deleted BEFORE DELETE ON entry
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER job_is_never_changed BEFORE UPDATE ON job
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER job_is_never_deleted BEFORE DELETE ON job
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER rules_is_never_changed BEFORE UPDATE ON rules
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER rules_is_never_deleted BEFORE DELETE ON rules
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER face_is_never_changed BEFORE UPDATE ON face
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER face_is_never_deleted BEFORE DELETE ON face
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER zones_is_never_changed BEFORE UPDATE ON zones
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER zones_is_never_deleted BEFORE DELETE ON zones
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER zones_removed_is_never_changed BEFORE UPDATE ON zones_removed
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER zones_removed_is_never_deleted BEFORE DELETE ON zones_removed
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER zones_added_is_never_changed BEFORE UPDATE ON zones_added
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER zones_added_is_never_deleted BEFORE DELETE ON zones_added
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER zone_facts_is_never_changed BEFORE UPDATE ON zone_facts
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER zone_facts_is_never_deleted BEFORE DELETE ON zone_facts
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER schedule_is_never_changed BEFORE UPDATE ON schedule
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER schedule_is_never_deleted BEFORE DELETE ON schedule
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER schedule_stages_is_never_changed BEFORE UPDATE ON schedule_stages
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER schedule_stages_is_never_deleted BEFORE DELETE ON schedule_stages
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER begin_stage_is_never_changed BEFORE UPDATE ON begin_stage
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER begin_stage_is_never_deleted BEFORE DELETE ON begin_stage
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER begin_stage_prepared_is_never_changed BEFORE UPDATE ON begin_stage_prepared
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER begin_stage_prepared_is_never_deleted BEFORE DELETE ON begin_stage_prepared
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER coat_is_never_changed BEFORE UPDATE ON coat
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER coat_is_never_deleted BEFORE DELETE ON coat
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER pass_is_never_changed BEFORE UPDATE ON pass
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER pass_is_never_deleted BEFORE DELETE ON pass
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER pass_zones_is_never_changed BEFORE UPDATE ON pass_zones
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER pass_zones_is_never_deleted BEFORE DELETE ON pass_zones
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER look_is_never_changed BEFORE UPDATE ON look
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER look_is_never_deleted BEFORE DELETE ON look
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER mark_is_never_changed BEFORE UPDATE ON mark
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER mark_is_never_deleted BEFORE DELETE ON mark
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER revisit_is_never_changed BEFORE UPDATE ON revisit
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER revisit_is_never_deleted BEFORE DELETE ON revisit
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER state_is_never_changed BEFORE UPDATE ON state
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER state_is_never_deleted BEFORE DELETE ON state
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER acceptance_is_never_changed BEFORE UPDATE ON acceptance
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER acceptance_is_never_deleted BEFORE DELETE ON acceptance
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER acceptance_rules_is_never_changed BEFORE UPDATE ON acceptance_rules
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER acceptance_rules_is_never_deleted BEFORE DELETE ON acceptance_rules
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER acceptance_matters_is_never_changed BEFORE UPDATE ON acceptance_matters
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER acceptance_matters_is_never_deleted BEFORE DELETE ON acceptance_matters
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER note_is_never_changed BEFORE UPDATE ON note
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER note_is_never_deleted BEFORE DELETE ON note
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER strike_is_never_changed BEFORE UPDATE ON strike
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER strike_is_never_deleted BEFORE DELETE ON strike
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER reading_is_never_changed BEFORE UPDATE ON reading
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER reading_is_never_deleted BEFORE DELETE ON reading
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER wheel_is_never_changed BEFORE UPDATE ON wheel
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER wheel_is_never_deleted BEFORE DELETE ON wheel
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER repair_is_never_changed BEFORE UPDATE ON repair
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER repair_is_never_deleted BEFORE DELETE ON repair
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER repair_marks_is_never_changed BEFORE UPDATE ON repair_marks
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER repair_marks_is_never_deleted BEFORE DELETE ON repair_marks
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
--@ since 2
CREATE TRIGGER rate_is_never_changed BEFORE UPDATE ON rate
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER rate_is_never_deleted BEFORE DELETE ON rate
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
--@ end
--@ since 3
CREATE TRIGGER photo_is_never_changed BEFORE UPDATE ON photo
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER photo_is_never_deleted BEFORE DELETE ON photo
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER photo_zones_is_never_changed BEFORE UPDATE ON photo_zones
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER photo_zones_is_never_deleted BEFORE DELETE ON photo_zones
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER photo_marks_is_never_changed BEFORE UPDATE ON photo_marks
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER photo_marks_is_never_deleted BEFORE DELETE ON photo_marks
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER withdrawal_is_never_changed BEFORE UPDATE ON withdrawal
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER withdrawal_is_never_deleted BEFORE DELETE ON withdrawal
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER registration_is_never_changed BEFORE UPDATE ON registration
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER registration_is_never_deleted BEFORE DELETE ON registration
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER registration_pairs_is_never_changed BEFORE UPDATE ON registration_pairs
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER registration_pairs_is_never_deleted BEFORE DELETE ON registration_pairs
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
--@ end
--@ since 4
CREATE TRIGGER defect_is_never_changed BEFORE UPDATE ON defect
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER defect_is_never_deleted BEFORE DELETE ON defect
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER hand_over_is_never_changed BEFORE UPDATE ON hand_over
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER hand_over_is_never_deleted BEFORE DELETE ON hand_over
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER claim_is_never_changed BEFORE UPDATE ON claim
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
CREATE TRIGGER claim_is_never_deleted BEFORE DELETE ON claim
  BEGIN SELECT RAISE (ABORT, 'a logbook is only added to'); END;
--@ end
CREATE TRIGGER photo_bytes_is_never_deleted BEFORE DELETE ON photo_bytes
  BEGIN SELECT RAISE (ABORT, 'a photograph is withdrawn, not deleted'); END;
CREATE TRIGGER photo_bytes_is_only_withdrawn BEFORE UPDATE ON photo_bytes
  WHEN NOT (NEW.hash IS OLD.hash AND NEW.media_type IS OLD.media_type AND
            NEW.n_bytes IS OLD.n_bytes AND OLD.bytes IS NOT NULL AND NEW.bytes IS NULL)
  BEGIN SELECT RAISE (ABORT, 'a photograph is withdrawn, not changed'); END;
