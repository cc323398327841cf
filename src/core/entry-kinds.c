/* entry-kinds.c - the one table of every kind and field, and the labels of their words. */
#include <rakelight/entry.h>

#include <math.h>
#include <string.h>

#include "i18n.h"

/* --- words: what stands in JSON and in the job file ------------------------------------------ */

static const char *const answer_words[] = { NULL, "no", "yes", NULL };
static const char *const finish_words[] = {
  NULL,        "nitrocellulose lacquer", "acrylic lacquer",    "shellac",  "water-based",
  "two-part polyurethane", "polyester",  "oil varnish", "conversion varnish", "uv-cured", "other", NULL,
};
static const char *const sheen_words[] = { NULL, "gloss", "semi-gloss", "satin", NULL };
static const char *const action_words[] = { NULL,   "level", "refine", "last look",
                                            "buff", "rest",  NULL };
static const char *const division_words[] = { NULL, "cut", "band", "grid", "join", NULL };
static const char *const paper_words[] = { NULL, "fresh", "used", "loaded", "wiped", NULL };
static const char *const buffing_words[] = { NULL, "wheel", "machine", "hand", "none", NULL };
static const char *const texture_words[] = { NULL, "smooth", "usual", "rough", NULL };
static const char *const wheel_work_words[] = {
  NULL, "new", "replaced", "stripped", "checked", NULL
};
static const char *const surface_words[] = { NULL, "dry", "wet", "dusty", "warm", "hazed", NULL };
static const char *const wipe_words[] = {
  NULL, "nothing", "dry cloth", "damp cloth", "spirit", NULL
};
static const char *const light_words[] = { NULL, "lamp", "daylight", "room", "point", NULL };
static const char *const mark_words[] = {
  NULL,      "low spot", "scratch", "witness line", "burn",        "sand-through", "run",       "nib",
  "crater",  "pinhole",  "lifting", "imprint",      "shrink-back", "swirl",        "dull spot", NULL,
};
static const char *const state_words[] = {
  NULL, "low spot", "uniform", "scratch", "witness line", "burn", "sand-through", NULL,
};
static const char *const outcome_words[] = { NULL, "still there", "gone", NULL };
static const char *const verdict_words[] = {
  NULL, "ready", "sand again", "look again", "wait", "stop", "repair", NULL,
};
static const char *const strike_words[] = { NULL, "correction", "undo", "redo", NULL };
static const char *const quantity_words[] = { NULL, "film um", "gloss gu", "temperature celsius",
                                              NULL };
static const char *const repair_words[] = {
  NULL, "levelled", "scraped", "drop fill", "fill", "colour", "recoat", NULL,
};

static const char *const media_words[] = { NULL, "image/jpeg", "image/png", "image/heic", NULL };
static const char *const time_from_words[] = { NULL, "exif", "file", "said", NULL };
static const char *const standing_words[] = { NULL,       "open",           "repaired",
                                              "accepted", "left as agreed", NULL };
static const char *const decision_words[] = { NULL,     "open",     "ours", "not ours",
                                              "shared", "goodwill", NULL };

/* A word without a value, or a value without a word, would be written as the wrong one. */
G_STATIC_ASSERT (G_N_ELEMENTS (finish_words) == RAKE_N_FINISHES + 1);
G_STATIC_ASSERT (G_N_ELEMENTS (mark_words) == RAKE_N_MARKS + 1);
G_STATIC_ASSERT (G_N_ELEMENTS (state_words) == RAKE_N_STATES + 1);
G_STATIC_ASSERT (G_N_ELEMENTS (verdict_words) == RAKE_N_VERDICTS + 1);
G_STATIC_ASSERT (G_N_ELEMENTS (action_words) == RAKE_ACTION_REST + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (division_words) == RAKE_DIVISION_JOIN + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (paper_words) == RAKE_PAPER_WIPED + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (buffing_words) == RAKE_N_BUFFINGS + 1);
G_STATIC_ASSERT (G_N_ELEMENTS (texture_words) == RAKE_TEXTURE_ROUGH + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (wheel_work_words) == RAKE_WHEEL_WORK_CHECKED + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (surface_words) == RAKE_SURFACE_HAZED + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (wipe_words) == RAKE_WIPE_SPIRIT + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (light_words) == RAKE_LIGHT_POINT + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (quantity_words) == RAKE_QUANTITY_TEMPERATURE_CELSIUS + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (repair_words) == RAKE_REPAIR_RECOAT + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (media_words) == RAKE_MEDIA_HEIC + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (time_from_words) == RAKE_TIME_FROM_SAID + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (standing_words) == RAKE_STANDING_LEFT_AS_AGREED + 2);
G_STATIC_ASSERT (G_N_ELEMENTS (decision_words) == RAKE_DECISION_GOODWILL + 2);
G_STATIC_ASSERT (sizeof (RakeState) == sizeof (int));

/* --- how a line of the table is written ------------------------------------------------------- */

#define REQUIRED .is_required = TRUE
#define OPTIONAL .is_required = FALSE

#define FIELD(body, member) .name = #member, .offset = G_STRUCT_OFFSET (body, member)
#define TEXT(body, member, need, limit)                                                            \
  { FIELD (body, member), .type = RAKE_FIELD_TEXT, need, .max_length = limit }
#define ID(body, member, need)                                                                     \
  { FIELD (body, member), .type = RAKE_FIELD_ID, need }
#define REAL(body, member, need, least, most)                                                      \
  { FIELD (body, member), .type = RAKE_FIELD_REAL, need, .min = least, .max = most }
#define DIRECTION(body, member)                                                                    \
  { FIELD (body, member), .type = RAKE_FIELD_REAL, .max = 360, .max_is_open = TRUE }
#define WORD(body, member, need, list)                                                             \
  { FIELD (body, member), .type = RAKE_FIELD_WORD, need, .words = list }
#define SHAPE(body, member, need, kind)                                                            \
  { FIELD (body, member), .type = RAKE_FIELD_SHAPE, need, .shape_kind = kind }
#define ANY_SHAPE 0
#define IDS(body, member, need, limit)                                                             \
  { FIELD (body, member), .type = RAKE_FIELD_IDS, need, .max_length = limit }
#define TEXTS(body, member, limit)                                                                 \
  { FIELD (body, member), .type = RAKE_FIELD_TEXTS, .max_length = limit }
#define RECORDS(body, member, record, list, limit)                                                 \
  { FIELD (body, member), .type = RAKE_FIELD_RECORDS, REQUIRED, .max_length = limit,               \
    .fields = list, .record_size = sizeof (record) }
#define END { .name = NULL }

#define NAME_BYTES 200
#define TEXT_BYTES 10000
#define RULES_BYTES (1024 * 1024)
#define MOST_ZONES 10000
#define MOST_PARTS 2000 /* each inherits a history */
#define MOST_STAGES 100
#define MOST_TEXTS 200
#define MOST_MARKS 10000
#define MOST_PAIRS 1000

/* Limits are there to refuse slips of a finger and hostile files, not to judge the work: a film of
 * 5 mm is no clear finish, a year's wait before rubbing out happens. */
#define FILM(body, member) REAL (body, member, OPTIONAL, 0, 5000)
#define FACTOR(body, member) REAL (body, member, OPTIONAL, 0, 10)
#define FRACTION(body, member) REAL (body, member, OPTIONAL, 0, 1)
#define LENGTH(body, member) REAL (body, member, OPTIONAL, 0, 100000)
#define DAYS(body, member) REAL (body, member, OPTIONAL, 0, 3650)
#define GLOSS(body, member) REAL (body, member, OPTIONAL, 0, 2000)

/* --- the fields of every kind ------------------------------------------------------------------ */

static const RakeField job_fields[] = {
  TEXT (RakeJobFacts, name, REQUIRED, NAME_BYTES),
  TEXT (RakeJobFacts, piece, OPTIONAL, NAME_BYTES),
  TEXT (RakeJobFacts, shop, OPTIONAL, NAME_BYTES),
  WORD (RakeJobFacts, finish, OPTIONAL, finish_words),
  WORD (RakeJobFacts, sheen, OPTIONAL, sheen_words),
  WORD (RakeJobFacts, coats_fuse, OPTIONAL, answer_words),
  DAYS (RakeJobFacts, cure_days),
  DAYS (RakeJobFacts, rest_days),
  FRACTION (RakeJobFacts, level_low_spot_fraction),
  LENGTH (RakeJobFacts, level_island_mm),
  FRACTION (RakeJobFacts, edge_low_spot_fraction),
  FRACTION (RakeJobFacts, last_edge_low_spot_fraction),
  FRACTION (RakeJobFacts, risk_limit_fraction),
  GLOSS (RakeJobFacts, gloss_target_gu),
  GLOSS (RakeJobFacts, gloss_tolerance_gu),
  GLOSS (RakeJobFacts, gloss_spread_gu),
  REAL (RakeJobFacts, cool_minutes, OPTIONAL, 0, 10080),
  WORD (RakeJobFacts, buffing, OPTIONAL, buffing_words),
  WORD (RakeJobFacts, texture, OPTIONAL, texture_words),
  FILM (RakeJobFacts, nominal_film_um),
  END,
};

static const RakeField rules_fields[] = {
  TEXT (RakeRulesBody, name, REQUIRED, NAME_BYTES),
  TEXT (RakeRulesBody, text, REQUIRED, RULES_BYTES),
  END,
};

static const RakeField face_fields[] = {
  TEXT (RakeFaceBody, name, REQUIRED, NAME_BYTES),
  SHAPE (RakeFaceBody, outline, REQUIRED, RAKE_SHAPE_AREA),
  END,
};

static const RakeField zone_spec_fields[] = {
  ID (RakeZoneSpec, id, REQUIRED),
  TEXT (RakeZoneSpec, name, REQUIRED, NAME_BYTES),
  SHAPE (RakeZoneSpec, shape, REQUIRED, RAKE_SHAPE_AREA),
  WORD (RakeZoneSpec, is_edge, OPTIONAL, answer_words),
  FACTOR (RakeZoneSpec, edge_factor),
  FILM (RakeZoneSpec, reserve_um),
  ID (RakeZoneSpec, first_stage, OPTIONAL),
  FACTOR (RakeZoneSpec, coat_factor),
  WORD (RakeZoneSpec, is_hard_to_reach, OPTIONAL, answer_words),
  END,
};

static const RakeField zones_fields[] = {
  ID (RakeZonesBody, face, REQUIRED),
  WORD (RakeZonesBody, division, REQUIRED, division_words),
  SHAPE (RakeZonesBody, drawn, OPTIONAL, RAKE_SHAPE_LINE),
  IDS (RakeZonesBody, removed, REQUIRED, MOST_PARTS),
  RECORDS (RakeZonesBody, added, RakeZoneSpec, zone_spec_fields, MOST_PARTS),
  END,
};

static const RakeField zone_facts_fields[] = {
  ID (RakeZoneFactsBody, zone, REQUIRED),
  TEXT (RakeZoneFactsBody, name, OPTIONAL, NAME_BYTES),
  WORD (RakeZoneFactsBody, is_edge, OPTIONAL, answer_words),
  FACTOR (RakeZoneFactsBody, edge_factor),
  FILM (RakeZoneFactsBody, reserve_um),
  ID (RakeZoneFactsBody, first_stage, OPTIONAL),
  FACTOR (RakeZoneFactsBody, coat_factor),
  WORD (RakeZoneFactsBody, is_hard_to_reach, OPTIONAL, answer_words),
  END,
};

static const RakeField stage_spec_fields[] = {
  ID (RakeStageSpec, id, REQUIRED),
  WORD (RakeStageSpec, action, REQUIRED, action_words),
  TEXT (RakeStageSpec, grade, OPTIONAL, NAME_BYTES),
  FILM (RakeStageSpec, d50_um),
  END,
};

static const RakeField schedule_fields[] = {
  ID (RakeScheduleBody, face, REQUIRED),
  RECORDS (RakeScheduleBody, stages, RakeStageSpec, stage_spec_fields, MOST_STAGES),
  END,
};

static const RakeField begin_stage_fields[] = {
  ID (RakeBeginStageBody, face, REQUIRED),
  ID (RakeBeginStageBody, stage, REQUIRED),
  TEXTS (RakeBeginStageBody, prepared, MOST_TEXTS),
  END,
};

static const RakeField coat_fields[] = {
  ID (RakeCoatBody, face, REQUIRED),
  TEXT (RakeCoatBody, product, OPTIONAL, NAME_BYTES),
  FILM (RakeCoatBody, wet_um),
  FILM (RakeCoatBody, dry_um),
  FILM (RakeCoatBody, dry_sd_um),
  REAL (RakeCoatBody, mass_g, OPTIONAL, 0, 1e6),
  REAL (RakeCoatBody, density_g_per_ml, OPTIONAL, 0, 10),
  REAL (RakeCoatBody, area_mm2, OPTIONAL, 0, 1e10),
  FRACTION (RakeCoatBody, transfer_fraction),
  FRACTION (RakeCoatBody, volume_solids_fraction),
  FRACTION (RakeCoatBody, thinner_fraction),
  FILM (RakeCoatBody, scuff_um),
  FILM (RakeCoatBody, scuff_sd_um),
  FILM (RakeCoatBody, wet_sd_um),
  FRACTION (RakeCoatBody, volume_solids_sd_fraction),
  FRACTION (RakeCoatBody, transfer_sd_fraction),
  FRACTION (RakeCoatBody, weight_solids_fraction),
  REAL (RakeCoatBody, dry_density_g_per_ml, OPTIONAL, 0, 10),
  END,
};

static const RakeField pass_fields[] = {
  ID (RakePassBody, stage, REQUIRED),
  IDS (RakePassBody, zones, REQUIRED, MOST_ZONES),
  DIRECTION (RakePassBody, stroke_deg),
  REAL (RakePassBody, n_strokes, OPTIONAL, 0, 1e6),
  WORD (RakePassBody, paper, OPTIONAL, paper_words),
  WORD (RakePassBody, wiped_with, OPTIONAL, wipe_words),
  ID (RakePassBody, wheel, OPTIONAL),
  END,
};

static const RakeField look_fields[] = {
  ID (RakeLookBody, zone, REQUIRED),
  WORD (RakeLookBody, surface, REQUIRED, surface_words),
  WORD (RakeLookBody, wiped_with, OPTIONAL, wipe_words),
  WORD (RakeLookBody, light, REQUIRED, light_words),
  DIRECTION (RakeLookBody, lamp_deg),
  END,
};

static const RakeField mark_fields[] = {
  ID (RakeMarkBody, look, REQUIRED),
  WORD (RakeMarkBody, mark, REQUIRED, mark_words),
  SHAPE (RakeMarkBody, shape, REQUIRED, ANY_SHAPE),
  FILM (RakeMarkBody, depth_um),
  LENGTH (RakeMarkBody, width_mm),
  TEXT (RakeMarkBody, cause, OPTIONAL, TEXT_BYTES),
  END,
};

static const RakeField revisit_fields[] = {
  ID (RakeRevisitBody, look, REQUIRED),
  ID (RakeRevisitBody, mark, REQUIRED),
  WORD (RakeRevisitBody, outcome, REQUIRED, outcome_words),
  SHAPE (RakeRevisitBody, shape, OPTIONAL, ANY_SHAPE),
  END,
};

static const RakeField state_fields[] = {
  ID (RakeStateBody, look, REQUIRED),
  WORD (RakeStateBody, state, REQUIRED, state_words),
  FRACTION (RakeStateBody, low_spot_fraction),
  LENGTH (RakeStateBody, largest_island_mm),
  REAL (RakeStateBody, n_islands_over_limit, OPTIONAL, 0, 1e6),
  LENGTH (RakeStateBody, scratch_mm),
  END,
};

static const RakeField acceptance_fields[] = {
  ID (RakeAcceptanceBody, zone, REQUIRED),
  WORD (RakeAcceptanceBody, verdict, REQUIRED, verdict_words),
  TEXT (RakeAcceptanceBody, reason, REQUIRED, TEXT_BYTES),
  TEXTS (RakeAcceptanceBody, rules, MOST_TEXTS),
  TEXTS (RakeAcceptanceBody, matters, MOST_TEXTS),
  END,
};

static const RakeField note_fields[] = {
  ID (RakeNoteBody, about, OPTIONAL),
  TEXT (RakeNoteBody, text, REQUIRED, TEXT_BYTES),
  END,
};

static const RakeField strike_fields[] = {
  ID (RakeStrikeBody, entry, REQUIRED),
  WORD (RakeStrikeBody, why, REQUIRED, strike_words),
  TEXT (RakeStrikeBody, reason, OPTIONAL, TEXT_BYTES),
  END,
};

static const RakeField reading_fields[] = {
  ID (RakeReadingBody, zone, REQUIRED),
  WORD (RakeReadingBody, quantity, REQUIRED, quantity_words),
  REAL (RakeReadingBody, value, REQUIRED, -100, 5000),
  REAL (RakeReadingBody, sd, OPTIONAL, 0, 5000),
  REAL (RakeReadingBody, angle_deg, OPTIONAL, 0, 90),
  TEXT (RakeReadingBody, instrument, OPTIONAL, NAME_BYTES),
  SHAPE (RakeReadingBody, place, OPTIONAL, ANY_SHAPE),
  END,
};

static const RakeField wheel_fields[] = {
  ID (RakeWheelBody, wheel, OPTIONAL),
  TEXT (RakeWheelBody, name, REQUIRED, NAME_BYTES),
  TEXT (RakeWheelBody, compound, OPTIONAL, NAME_BYTES),
  WORD (RakeWheelBody, carried_other, OPTIONAL, answer_words),
  REAL (RakeWheelBody, diameter_mm, OPTIONAL, 0, 5000),
  REAL (RakeWheelBody, motor_rpm, OPTIONAL, 0, 100000),
  REAL (RakeWheelBody, motor_pulley_mm, OPTIONAL, 0, 5000),
  REAL (RakeWheelBody, wheel_pulley_mm, OPTIONAL, 0, 5000),
  REAL (RakeWheelBody, rated_rpm, OPTIONAL, 0, 100000),
  WORD (RakeWheelBody, work, OPTIONAL, wheel_work_words),
  REAL (RakeWheelBody, width_mm, OPTIONAL, 0, 5000),
  TEXT (RakeWheelBody, remark, OPTIONAL, TEXT_BYTES),
  END,
};

static const RakeField repair_fields[] = {
  ID (RakeRepairBody, zone, REQUIRED),
  WORD (RakeRepairBody, method, REQUIRED, repair_words),
  IDS (RakeRepairBody, marks, OPTIONAL, MOST_MARKS),
  FILM (RakeRepairBody, added_um),
  FILM (RakeRepairBody, added_sd_um),
  FILM (RakeRepairBody, removed_um),
  FILM (RakeRepairBody, removed_sd_um),
  DAYS (RakeRepairBody, cure_days),
  LENGTH (RakeRepairBody, feather_mm),
  ID (RakeRepairBody, back_to_stage, OPTIONAL),
  TEXT (RakeRepairBody, outcome, OPTIONAL, TEXT_BYTES),
  FRACTION (RakeRepairBody, shrink_fraction),
  FRACTION (RakeRepairBody, shrink_sd_fraction),
  END,
};

static const RakeField rate_fields[] = {
  TEXT (RakeRateBody, grade, REQUIRED, NAME_BYTES),
  REAL (RakeRateBody, removal_um, REQUIRED, 0, 5000),
  FILM (RakeRateBody, common_sd_um),
  FILM (RakeRateBody, scatter_sd_um),
  REAL (RakeRateBody, n_pairs, OPTIONAL, 0, 1e6),
  TEXT (RakeRateBody, origin, OPTIONAL, NAME_BYTES),
  END,
};

#define COUNT(body, member, most) REAL (body, member, REQUIRED, 1, most)

static const RakeField photo_fields[] = {
  ID (RakePhotoBody, photo, OPTIONAL),
  TEXT (RakePhotoBody, sha256, REQUIRED, 64),
  WORD (RakePhotoBody, media_type, REQUIRED, media_words),
  COUNT (RakePhotoBody, n_bytes, RAKE_PHOTO_MAX_BYTES),
  COUNT (RakePhotoBody, width_px, RAKE_PHOTO_MAX_SIDE_PX),
  COUNT (RakePhotoBody, height_px, RAKE_PHOTO_MAX_SIDE_PX),
  REAL (RakePhotoBody, turn, OPTIONAL, 1, 8),
  TEXT (RakePhotoBody, name, OPTIONAL, NAME_BYTES),
  WORD (RakePhotoBody, time_from, OPTIONAL, time_from_words),
  REAL (RakePhotoBody, offset_minutes, OPTIONAL, -1080, 1080),
  WORD (RakePhotoBody, is_offset_assumed, OPTIONAL, answer_words),
  ID (RakePhotoBody, face, OPTIONAL),
  ID (RakePhotoBody, stage, OPTIONAL),
  ID (RakePhotoBody, pass, OPTIONAL),
  IDS (RakePhotoBody, zones, OPTIONAL, MOST_ZONES),
  IDS (RakePhotoBody, marks, OPTIONAL, MOST_MARKS),
  DIRECTION (RakePhotoBody, lamp_deg),
  WORD (RakePhotoBody, is_look, OPTIONAL, answer_words),
  TEXT (RakePhotoBody, view, OPTIONAL, NAME_BYTES),
  TEXT (RakePhotoBody, note, OPTIONAL, TEXT_BYTES),
  END,
};

static const RakeField withdrawal_fields[] = {
  ID (RakeWithdrawalBody, photo, REQUIRED),
  TEXT (RakeWithdrawalBody, reason, REQUIRED, TEXT_BYTES),
  END,
};

/* A lens sees no further than this; a slip of the finger does. */
#define PIXEL(body, member) REAL (body, member, REQUIRED, -1e6, 1e6)
#define PLACE(body, member) REAL (body, member, REQUIRED, -100000, 100000)
#define COEFFICIENT(body, member, need) REAL (body, member, need, -1e9, 1e9)

static const RakeField pair_fields[] = {
  PIXEL (RakePairSpec, x_px),
  PIXEL (RakePairSpec, y_px),
  PLACE (RakePairSpec, x_mm),
  PLACE (RakePairSpec, y_mm),
  END,
};

static const RakeField registration_fields[] = {
  ID (RakeRegistrationBody, face, REQUIRED),
  ID (RakeRegistrationBody, photo, REQUIRED),
  RECORDS (RakeRegistrationBody, pairs, RakePairSpec, pair_fields, MOST_PAIRS),
  COEFFICIENT (RakeRegistrationBody, m11, REQUIRED),
  COEFFICIENT (RakeRegistrationBody, m12, REQUIRED),
  COEFFICIENT (RakeRegistrationBody, m13, REQUIRED),
  COEFFICIENT (RakeRegistrationBody, m21, REQUIRED),
  COEFFICIENT (RakeRegistrationBody, m22, REQUIRED),
  COEFFICIENT (RakeRegistrationBody, m23, REQUIRED),
  COEFFICIENT (RakeRegistrationBody, m31, REQUIRED),
  COEFFICIENT (RakeRegistrationBody, m32, REQUIRED),
  COEFFICIENT (RakeRegistrationBody, m33, REQUIRED),
  REAL (RakeRegistrationBody, radial, OPTIONAL, -10, 10),
  LENGTH (RakeRegistrationBody, rms_px),
  LENGTH (RakeRegistrationBody, rms_mm),
  END,
};

#define COST(body, member) REAL (body, member, OPTIONAL, 0, 1e9)
#define CURRENCY_BYTES 3

static const RakeField defect_fields[] = {
  ID (RakeDefectBody, zone, REQUIRED),
  ID (RakeDefectBody, mark, OPTIONAL),
  ID (RakeDefectBody, defect, OPTIONAL),
  TEXT (RakeDefectBody, what, OPTIONAL, NAME_BYTES),
  TEXT (RakeDefectBody, severity, OPTIONAL, NAME_BYTES),
  TEXT (RakeDefectBody, cause, OPTIONAL, TEXT_BYTES),
  TEXT (RakeDefectBody, action, OPTIONAL, TEXT_BYTES),
  TEXT (RakeDefectBody, outcome, OPTIONAL, TEXT_BYTES),
  WORD (RakeDefectBody, standing, REQUIRED, standing_words),
  COST (RakeDefectBody, cost),
  TEXT (RakeDefectBody, currency, OPTIONAL, CURRENCY_BYTES),
  WORD (RakeDefectBody, is_for_client, OPTIONAL, answer_words),
  END,
};

static const RakeField hand_over_fields[] = {
  TEXT (RakeHandOverBody, light, OPTIONAL, NAME_BYTES),
  LENGTH (RakeHandOverBody, distance_mm),
  TEXT (RakeHandOverBody, condition, OPTIONAL, TEXT_BYTES),
  TEXT (RakeHandOverBody, not_examined, OPTIONAL, TEXT_BYTES),
  TEXT (RakeHandOverBody, care, OPTIONAL, TEXT_BYTES),
  TEXT (RakeHandOverBody, terms, OPTIONAL, TEXT_BYTES),
  REAL (RakeHandOverBody, months, OPTIONAL, 0, 1200),
  TEXT (RakeHandOverBody, exclusions, OPTIONAL, TEXT_BYTES),
  TEXT (RakeHandOverBody, seal, OPTIONAL, 64),
  END,
};

static const RakeField claim_fields[] = {
  ID (RakeClaimBody, claim, OPTIONAL),
  ID (RakeClaimBody, about, OPTIONAL),
  TEXT (RakeClaimBody, complaint, REQUIRED, TEXT_BYTES),
  TEXT (RakeClaimBody, finding, OPTIONAL, TEXT_BYTES),
  WORD (RakeClaimBody, decision, REQUIRED, decision_words),
  TEXT (RakeClaimBody, action, OPTIONAL, TEXT_BYTES),
  COST (RakeClaimBody, cost),
  TEXT (RakeClaimBody, currency, OPTIONAL, CURRENCY_BYTES),
  END,
};

static const struct
{
  const char *name;
  const RakeField *fields;
} kinds[RAKE_N_ENTRY_KINDS] = {
  [RAKE_ENTRY_JOB] = { "job", job_fields },
  [RAKE_ENTRY_RULES] = { "rules", rules_fields },
  [RAKE_ENTRY_FACE] = { "face", face_fields },
  [RAKE_ENTRY_ZONES] = { "zones", zones_fields },
  [RAKE_ENTRY_ZONE_FACTS] = { "zone_facts", zone_facts_fields },
  [RAKE_ENTRY_SCHEDULE] = { "schedule", schedule_fields },
  [RAKE_ENTRY_BEGIN_STAGE] = { "begin_stage", begin_stage_fields },
  [RAKE_ENTRY_COAT] = { "coat", coat_fields },
  [RAKE_ENTRY_PASS] = { "pass", pass_fields },
  [RAKE_ENTRY_LOOK] = { "look", look_fields },
  [RAKE_ENTRY_MARK] = { "mark", mark_fields },
  [RAKE_ENTRY_REVISIT] = { "revisit", revisit_fields },
  [RAKE_ENTRY_STATE] = { "state", state_fields },
  [RAKE_ENTRY_ACCEPTANCE] = { "acceptance", acceptance_fields },
  [RAKE_ENTRY_NOTE] = { "note", note_fields },
  [RAKE_ENTRY_STRIKE] = { "strike", strike_fields },
  [RAKE_ENTRY_READING] = { "reading", reading_fields },
  [RAKE_ENTRY_WHEEL] = { "wheel", wheel_fields },
  [RAKE_ENTRY_REPAIR] = { "repair", repair_fields },
  [RAKE_ENTRY_PHOTO] = { "photo", photo_fields },
  [RAKE_ENTRY_WITHDRAWAL] = { "withdrawal", withdrawal_fields },
  [RAKE_ENTRY_REGISTRATION] = { "registration", registration_fields },
  [RAKE_ENTRY_DEFECT] = { "defect", defect_fields },
  [RAKE_ENTRY_HAND_OVER] = { "hand_over", hand_over_fields },
  [RAKE_ENTRY_CLAIM] = { "claim", claim_fields },
  [RAKE_ENTRY_RATE] = { "rate", rate_fields },
};

const char *
rake_entry_kind_get_name (RakeEntryKind kind)
{
  g_return_val_if_fail (kind > 0 && kind < RAKE_N_ENTRY_KINDS, NULL);
  return kinds[kind].name;
}

RakeEntryKind
rake_entry_kind_from_name (const char *name)
{
  for (guint kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    if (strcmp (name, kinds[kind].name) == 0)
      return (RakeEntryKind) kind;
  return (RakeEntryKind) 0;
}

const RakeField *
rake_entry_kind_get_fields (RakeEntryKind kind)
{
  g_return_val_if_fail (kind > 0 && kind < RAKE_N_ENTRY_KINDS, NULL);
  return kinds[kind].fields;
}

const RakeField *
rake_entry_kind_find_field (RakeEntryKind kind, const char *name)
{
  const RakeField *field = rake_entry_kind_get_fields (kind);

  while (field->name != NULL && !g_str_equal (field->name, name))
    field++;
  return field->name != NULL ? field : NULL;
}

const char *
rake_field_get_word (const RakeField *field, int value)
{
  for (int i = 1; field->words[i] != NULL; i++)
    if (i == value)
      return field->words[i];
  return NULL;
}

int
rake_field_find_word (const RakeField *field, const char *word)
{
  for (int i = 1; field->words[i] != NULL; i++)
    if (strcmp (word, field->words[i]) == 0)
      return i;
  return 0;
}

/* --- lists and records -------------------------------------------------------------------------- */

static void
clear_zone_spec (gpointer data)
{
  RakeZoneSpec *spec = data;

  g_clear_pointer (&spec->name, g_free);
  g_clear_pointer (&spec->shape, rake_shape_unref);
}

static void
clear_stage_spec (gpointer data)
{
  g_clear_pointer (&((RakeStageSpec *) data)->grade, g_free);
}

gpointer
rake_field_new_list (const RakeField *field)
{
  GArray *list;

  switch (field->type)
    {
    case RAKE_FIELD_TEXTS:
      return g_ptr_array_new_with_free_func (g_free);
    case RAKE_FIELD_IDS:
      return g_array_new (FALSE, FALSE, sizeof (RakeId));
    case RAKE_FIELD_RECORDS:
      list = g_array_new (FALSE, FALSE, (guint) field->record_size);
      if (field->fields == zone_spec_fields)
        g_array_set_clear_func (list, clear_zone_spec);
      else if (field->fields == stage_spec_fields)
        g_array_set_clear_func (list, clear_stage_spec);
      return list;
    case RAKE_FIELD_TEXT:
    case RAKE_FIELD_ID:
    case RAKE_FIELD_REAL:
    case RAKE_FIELD_WORD:
    case RAKE_FIELD_SHAPE:
      break;
    }
  g_return_val_if_reached (NULL);
}

void
rake_field_init_record (const RakeField *fields, gsize record_size, gpointer record)
{
  memset (record, 0, record_size);
  for (const RakeField *field = fields; field->name != NULL; field++)
    {
      gpointer place = (guint8 *) record + field->offset;

      if (field->type == RAKE_FIELD_REAL)
        *(double *) place = NAN;
      else if (field->type >= RAKE_FIELD_IDS)
        *(gpointer *) place = rake_field_new_list (field);
    }
}

/* --- labels: what a person reads ------------------------------------------------------------------ */

static const char *
label_of (const char *const *labels, guint n_labels, guint value)
{
  return value < n_labels ? labels[value] : labels[0];
}

const char *
rake_finish_get_label (RakeFinish finish)
{
  static const char *const labels[] = {
    N_ ("Not said"),    N_ ("Nitrocellulose lacquer"), N_ ("Acrylic lacquer"), N_ ("Shellac"),
    N_ ("Water-based"), N_ ("Two-part polyurethane"),  N_ ("Polyester"),       N_ ("Oil varnish"),
    N_ ("Conversion varnish"), N_ ("UV-cured"),        N_ ("Other"),
  };
  G_STATIC_ASSERT (G_N_ELEMENTS (labels) == RAKE_N_FINISHES);
  return label_of (labels, G_N_ELEMENTS (labels), finish);
}

const char *
rake_action_get_label (RakeAction action)
{
  static const char *const labels[] = {
    N_ ("Not said"), N_ ("Level"), N_ ("Refine"), N_ ("Last look"), N_ ("Buff"), N_ ("Rest"),
  };
  return label_of (labels, G_N_ELEMENTS (labels), action);
}

const char *
rake_mark_kind_get_label (RakeMarkKind mark)
{
  static const char *const labels[] = {
    N_ ("Not said"),     N_ ("Low spot"), N_ ("Scratch"), N_ ("Witness line"), N_ ("Burn (heat)"),
    N_ ("Sand-through"), N_ ("Run"),      N_ ("Nib"),     N_ ("Crater"),       N_ ("Pinhole"),
    N_ ("Lifting"),      N_ ("Imprint"),  N_ ("Shrink-back"), N_ ("Swirl"),    N_ ("Dull spot"),
  };
  G_STATIC_ASSERT (G_N_ELEMENTS (labels) == RAKE_N_MARKS);
  return label_of (labels, G_N_ELEMENTS (labels), mark);
}

const char *
rake_state_get_label (RakeState state)
{
  static const char *const labels[] = {
    N_ ("Not looked at"), N_ ("Low spot"),    N_ ("Uniform"),      N_ ("Scratch"),
    N_ ("Witness line"),  N_ ("Burn (heat)"), N_ ("Sand-through"),
  };
  G_STATIC_ASSERT (G_N_ELEMENTS (labels) == RAKE_N_STATES);
  return label_of (labels, G_N_ELEMENTS (labels), state);
}

const char *
rake_verdict_get_label (RakeVerdict verdict)
{
  static const char *const labels[] = {
    N_ ("No verdict"), N_ ("Ready"), N_ ("Sand again"), N_ ("Look again"),
    N_ ("Wait"),       N_ ("Stop"),  N_ ("Repair"),
  };
  G_STATIC_ASSERT (G_N_ELEMENTS (labels) == RAKE_N_VERDICTS);
  return label_of (labels, G_N_ELEMENTS (labels), verdict);
}

const char *
rake_standing_get_label (RakeStanding standing)
{
  static const char *const labels[] = {
    N_ ("Not said"), N_ ("Still open"), N_ ("Repaired"), N_ ("Accepted"), N_ ("Left as agreed"),
  };
  G_STATIC_ASSERT (G_N_ELEMENTS (labels) == RAKE_STANDING_LEFT_AS_AGREED + 1);
  return label_of (labels, G_N_ELEMENTS (labels), standing);
}

const char *
rake_decision_get_label (RakeDecision decision)
{
  static const char *const labels[] = {
    N_ ("Not said"), N_ ("Still open"), N_ ("Ours"), N_ ("Not ours"), N_ ("Shared"),
    N_ ("Goodwill"),
  };
  G_STATIC_ASSERT (G_N_ELEMENTS (labels) == RAKE_DECISION_GOODWILL + 1);
  return label_of (labels, G_N_ELEMENTS (labels), decision);
}
