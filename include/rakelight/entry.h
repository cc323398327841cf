/* entry.h - one line of the logbook.
 *
 * An entry has a head (who wrote it, where, when) and a body of one kind. Once it has been given
 * to a job or a job file it never changes: it is shared by reference and read only.
 *
 * The bodies are plain structs; rake_entry_kind_get_fields() describes every field of every kind
 * (name, type, unit, limits), and that one table drives the canonical form that is hashed, the
 * exchange form, the checks at import and the reading and writing of the job file. To add a field
 * or a kind: the struct here, the table in entry-kinds.c, the table in schema.sql, the page
 * docs/entries.md; a test holds the four together.
 *
 * What was not said is not stored: numbers are NaN, enumerations 0 (UNSAID), texts NULL, ids nil.
 * Texts are valid UTF-8. Lengths are mm, film µm, directions degrees on the face: 0 towards its top
 * edge, clockwise. Shares are 0 to 1. */
#pragma once
#include <rakelight/id.h>
#include <rakelight/shape.h>

#define RAKE_ENTRY_ERROR (rake_entry_error_quark ())
GQuark rake_entry_error_quark (void);

typedef enum
{
  RAKE_ENTRY_ERROR_FIELD, /* a field is missing, out of its limits, or not text */
} RakeEntryError;

typedef enum
{
  RAKE_ENTRY_JOB = 1,     /* the job's facts; a later one replaces an earlier one */
  RAKE_ENTRY_RULES,       /* the rule set the job is judged by from here on */
  RAKE_ENTRY_FACE,        /* a face with its outline; makes one zone "whole face" of the same id */
  RAKE_ENTRY_ZONES,       /* zones divided or joined */
  RAKE_ENTRY_ZONE_FACTS,  /* a zone's name, reserve, edge factor, first stage */
  RAKE_ENTRY_SCHEDULE,    /* the stages of a face; a later one replaces an earlier one */
  RAKE_ENTRY_BEGIN_STAGE, /* a face goes to a stage; what was prepared */
  RAKE_ENTRY_COAT,        /* one sprayed coat on a face */
  RAKE_ENTRY_PASS,        /* one going-over */
  RAKE_ENTRY_LOOK,        /* one inspection of a zone */
  RAKE_ENTRY_MARK,        /* one thing seen at a place, in a look */
  RAKE_ENTRY_REVISIT,     /* a mark from before looked at again: still there, or gone */
  RAKE_ENTRY_STATE,       /* what the whole zone shows in a look */
  RAKE_ENTRY_ACCEPTANCE,  /* a zone accepted against the verdict */
  RAKE_ENTRY_NOTE,
  RAKE_ENTRY_STRIKE,      /* strikes out another entry; undo and redo are strikes too */
  RAKE_ENTRY_READING,     /* an instrument's number */
  RAKE_ENTRY_WHEEL,       /* a buffing wheel, or its renewal */
  RAKE_ENTRY_REPAIR,      /* what was done about a mark */
  RAKE_ENTRY_RATE,        /* what the shop has learned that one pass takes */
  RAKE_ENTRY_PHOTO,        /* a photograph, or where it belongs from now on */
  RAKE_ENTRY_WITHDRAWAL,   /* a photograph's bytes taken away for good */
  RAKE_ENTRY_REGISTRATION, /* where a photograph's pixels lie on its face */
  RAKE_ENTRY_DEFECT,       /* a fault kept for the record, or more of its story */
  RAKE_ENTRY_HAND_OVER,    /* the piece handed over: closed for work from then on */
  RAKE_ENTRY_CLAIM,        /* a complaint after the hand-over, or more of its story */
  RAKE_N_ENTRY_KINDS,
} RakeEntryKind;

typedef enum { RAKE_ANSWER_UNSAID, RAKE_ANSWER_NO, RAKE_ANSWER_YES } RakeAnswer;

typedef enum
{
  RAKE_FINISH_UNSAID,
  RAKE_FINISH_NITROCELLULOSE,
  RAKE_FINISH_ACRYLIC_LACQUER,
  RAKE_FINISH_SHELLAC,
  RAKE_FINISH_WATERBORNE,
  RAKE_FINISH_POLYURETHANE_2K,
  RAKE_FINISH_POLYESTER,
  RAKE_FINISH_OIL_VARNISH,
  RAKE_FINISH_CONVERSION_VARNISH,
  RAKE_FINISH_UV_CURED,
  RAKE_FINISH_OTHER,
  RAKE_N_FINISHES,
} RakeFinish;

typedef enum { RAKE_SHEEN_UNSAID, RAKE_SHEEN_GLOSS, RAKE_SHEEN_SEMI_GLOSS, RAKE_SHEEN_SATIN } RakeSheen;

typedef enum
{
  RAKE_ACTION_UNSAID,
  RAKE_ACTION_LEVEL,
  RAKE_ACTION_REFINE,
  RAKE_ACTION_LAST_LOOK, /* no abrasive: two looks from lamps across each other before the wheel */
  RAKE_ACTION_BUFF,
  RAKE_ACTION_REST,      /* no abrasive: the film rests before hand-over */
} RakeAction;

typedef enum
{
  RAKE_DIVISION_UNSAID,
  RAKE_DIVISION_CUT,
  RAKE_DIVISION_BAND,
  RAKE_DIVISION_GRID,
  RAKE_DIVISION_JOIN,
} RakeDivision;

typedef enum
{
  RAKE_PAPER_UNSAID,
  RAKE_PAPER_FRESH,   /* a new sheet */
  RAKE_PAPER_USED,
  RAKE_PAPER_LOADED,  /* it loaded: the film is soft */
  RAKE_PAPER_WIPED,   /* used, and wiped or brushed clean before the pass */
} RakePaper;

/* How the piece will be brought to gloss, which decides how fine the last grit must be. */
typedef enum
{
  RAKE_BUFFING_UNSAID,
  RAKE_BUFFING_WHEEL,   /* a bench wheel with compound in bars */
  RAKE_BUFFING_MACHINE, /* a foam pad with liquid compound */
  RAKE_BUFFING_HAND,    /* liquid compound by hand */
  RAKE_BUFFING_NONE,    /* satin: it ends in one even scratch */
  RAKE_N_BUFFINGS,
} RakeBuffing;

/* How the clear lay down. */
typedef enum
{
  RAKE_TEXTURE_UNSAID,
  RAKE_TEXTURE_SMOOTH,
  RAKE_TEXTURE_USUAL,
  RAKE_TEXTURE_ROUGH,
} RakeTexture;

typedef enum
{
  RAKE_WHEEL_WORK_UNSAID,
  RAKE_WHEEL_WORK_NEW,
  RAKE_WHEEL_WORK_REPLACED, /* a fresh wheel in the old one's place */
  RAKE_WHEEL_WORK_STRIPPED, /* every trace of compound taken off */
  RAKE_WHEEL_WORK_CHECKED,  /* looked over before a stage: seams, hardened compound, arbor */
} RakeWheelWork;

typedef enum
{
  RAKE_SURFACE_UNSAID,
  RAKE_SURFACE_DRY,
  RAKE_SURFACE_WET,
  RAKE_SURFACE_DUSTY,
  RAKE_SURFACE_WARM,
  RAKE_SURFACE_HAZED, /* by compound */
} RakeSurface;

typedef enum
{
  RAKE_WIPE_UNSAID,
  RAKE_WIPE_NOTHING,
  RAKE_WIPE_DRY_CLOTH,
  RAKE_WIPE_DAMP_CLOTH,
  RAKE_WIPE_SPIRIT, /* a solvent that the finish bears */
} RakeWipe;

typedef enum
{
  RAKE_LIGHT_UNSAID,
  RAKE_LIGHT_LAMP, /* held low */
  RAKE_LIGHT_DAYLIGHT,
  RAKE_LIGHT_ROOM,
  RAKE_LIGHT_POINT, /* a small bright source from above: shows swirl */
} RakeLight;

typedef enum
{
  RAKE_MARK_UNSAID,
  RAKE_MARK_LOW_SPOT,
  RAKE_MARK_SCRATCH,
  RAKE_MARK_WITNESS_LINE,
  RAKE_MARK_BURN,
  RAKE_MARK_SAND_THROUGH,
  /* from here on: the trade's other faults */
  RAKE_MARK_RUN,
  RAKE_MARK_NIB,
  RAKE_MARK_CRATER,
  RAKE_MARK_PINHOLE,
  RAKE_MARK_LIFTING,
  RAKE_MARK_IMPRINT,
  RAKE_MARK_SHRINK_BACK,
  RAKE_MARK_SWIRL,
  RAKE_MARK_DULL_SPOT,
  RAKE_N_MARKS,
} RakeMarkKind;

typedef enum
{
  RAKE_STATE_UNSAID,
  RAKE_STATE_LOW_SPOT,
  RAKE_STATE_UNIFORM, /* matte; after buffing gloss; satin: one even scratch */
  RAKE_STATE_SCRATCH,
  RAKE_STATE_WITNESS_LINE,
  RAKE_STATE_BURN,
  RAKE_STATE_SAND_THROUGH,
  RAKE_N_STATES,
} RakeState;

typedef enum { RAKE_OUTCOME_UNSAID, RAKE_OUTCOME_STILL_THERE, RAKE_OUTCOME_GONE } RakeOutcome;

/* In order of strength, weakest first: the strongest that applies is the zone's. */
typedef enum
{
  RAKE_VERDICT_NONE, /* no verdict asked: the zone has no such stage */
  RAKE_VERDICT_READY,
  RAKE_VERDICT_SAND_AGAIN,
  RAKE_VERDICT_LOOK_AGAIN,
  RAKE_VERDICT_WAIT,
  RAKE_VERDICT_STOP,
  RAKE_VERDICT_REPAIR,
  RAKE_N_VERDICTS,
} RakeVerdict;

typedef enum { RAKE_STRIKE_UNSAID, RAKE_STRIKE_CORRECTION, RAKE_STRIKE_UNDO, RAKE_STRIKE_REDO } RakeStrikeWhy;

typedef enum
{
  RAKE_QUANTITY_UNSAID,
  RAKE_QUANTITY_FILM_UM,
  RAKE_QUANTITY_GLOSS_GU,
  RAKE_QUANTITY_TEMPERATURE_CELSIUS,
} RakeQuantity;

typedef enum
{
  RAKE_REPAIR_UNSAID,
  RAKE_REPAIR_LEVELLED,      /* sanded out, nothing added */
  RAKE_REPAIR_SCRAPED,       /* raised film taken off */
  RAKE_REPAIR_DROP_FILL,
  RAKE_REPAIR_FILL,          /* another filler, as cyanoacrylate */
  RAKE_REPAIR_COLOUR,        /* colour touched up */
  RAKE_REPAIR_RECOAT,        /* the whole face to a natural break */
} RakeRepairMethod;

typedef enum
{
  RAKE_MEDIA_UNSAID,
  RAKE_MEDIA_JPEG,
  RAKE_MEDIA_PNG,
  RAKE_MEDIA_HEIC,
} RakeMediaType;

/* Where the time at which a photograph was taken is known from. */
typedef enum
{
  RAKE_TIME_FROM_UNSAID,
  RAKE_TIME_FROM_EXIF, /* the camera wrote it into the photograph */
  RAKE_TIME_FROM_FILE, /* when the file was last written */
  RAKE_TIME_FROM_SAID, /* a person said so */
} RakeTimeFrom;

/* How it stands with a defect. */
typedef enum
{
  RAKE_STANDING_UNSAID,
  RAKE_STANDING_OPEN,
  RAKE_STANDING_REPAIRED,
  RAKE_STANDING_ACCEPTED,       /* by the finisher, with a reason */
  RAKE_STANDING_LEFT_AS_AGREED, /* agreed with the client */
} RakeStanding;

typedef enum
{
  RAKE_DECISION_UNSAID,
  RAKE_DECISION_OPEN,
  RAKE_DECISION_OURS,     /* a defect of the work */
  RAKE_DECISION_NOT_OURS,
  RAKE_DECISION_SHARED,
  RAKE_DECISION_GOODWILL, /* not ours, seen to all the same */
} RakeDecision;

/* --- bodies -------------------------------------------------------------------------------- */

typedef struct
{
  char *name;   /* required */
  char *piece;  /* "octave mandola" */
  char *shop;
  RakeFinish finish;
  RakeSheen sheen;
  RakeAnswer coats_fuse;             /* unsaid: by the finish family */
  double cure_days, rest_days;       /* NaN: by the finish family */
  double level_low_spot_fraction;    /* the job's own gates; NaN: the rules' */
  double level_island_mm;
  double edge_low_spot_fraction;
  double last_edge_low_spot_fraction;
  double risk_limit_fraction;
  double gloss_target_gu, gloss_tolerance_gu, gloss_spread_gu;
  double cool_minutes;
  RakeBuffing buffing;
  RakeTexture texture;
  double nominal_film_um;            /* what the coats were meant to make; readings are held to it */
} RakeJobFacts;

typedef struct
{
  char *name;   /* required: "shop" or "Rakelight 1" */
  char *text;   /* required: the whole rule file, so an old job is judged by its own rules */
} RakeRulesBody;

typedef struct
{
  char *name;          /* required */
  RakeShape *outline;  /* required: an area */
} RakeFaceBody;

typedef struct
{
  RakeId id;           /* required: the new zone's id */
  char *name;          /* required */
  RakeShape *shape;    /* required: an area */
  RakeAnswer is_edge;  /* unsaid: as it was where all removed zones agree, else no */
  double edge_factor;  /* removal against a flat's; NaN: as it was, else 1 */
  double reserve_um;   /* NaN: the largest of the removed zones' */
  RakeId first_stage;  /* nil: as it was, else the face's first */
  double coat_factor;  /* what of a coat settles here, against a flat; NaN: as it was, else 1 */
  RakeAnswer is_hard_to_reach; /* for the narrow wheel; unsaid: as is_edge */
} RakeZoneSpec;

/* Either one zone becomes several, or several become one. */
typedef struct
{
  RakeId face;             /* required */
  RakeDivision division;   /* required */
  RakeShape *drawn;        /* the line that was drawn, if one was */
  GArray *removed;         /* RakeId, 1 or more */
  GArray *added;           /* RakeZoneSpec, 1 or more */
} RakeZonesBody;

/* What is unsaid stays as it was. */
typedef struct
{
  RakeId zone;  /* required */
  char *name;
  RakeAnswer is_edge;
  double edge_factor, reserve_um;
  RakeId first_stage;
  double coat_factor;
  RakeAnswer is_hard_to_reach;
} RakeZoneFactsBody;

typedef struct
{
  RakeId id;           /* required; a stage kept from an earlier schedule keeps its id */
  RakeAction action;   /* required */
  char *grade;         /* "P800", or the compound: "cut", "fine"; none for looks and rest */
  double d50_um;       /* median grain, where known */
} RakeStageSpec;

typedef struct
{
  RakeId face;     /* required */
  GArray *stages;  /* RakeStageSpec, 1 or more, in order */
} RakeScheduleBody;

typedef struct
{
  RakeId face, stage;    /* required */
  GPtrArray *prepared;   /* texts: what was ticked on the preparation list */
} RakeBeginStageBody;

typedef struct
{
  RakeId face;       /* required */
  char *product;
  double wet_um, dry_um, dry_sd_um;
  double mass_g, density_g_per_ml, area_mm2, transfer_fraction;
  double volume_solids_fraction, thinner_fraction;
  double scuff_um, scuff_sd_um;  /* taken off the coat below before this one */
  double wet_sd_um, volume_solids_sd_fraction, transfer_sd_fraction;
  double weight_solids_fraction, dry_density_g_per_ml;  /* where only solids by weight are known */
} RakeCoatBody;

typedef struct
{
  RakeId stage;         /* required */
  GArray *zones;        /* RakeId, 1 or more */
  double stroke_deg;
  double n_strokes;
  RakePaper paper;
  RakeWipe wiped_with;
  RakeId wheel;
} RakePassBody;

typedef struct
{
  RakeId zone;            /* required */
  RakeSurface surface;    /* required: a look without it would count for nothing */
  RakeWipe wiped_with;
  RakeLight light;        /* required */
  double lamp_deg;        /* where the lamp stood; NaN for light without a place */
} RakeLookBody;

typedef struct
{
  RakeId look;           /* required */
  RakeMarkKind mark;     /* required */
  RakeShape *shape;      /* required: where on the face */
  double depth_um, width_mm;
  char *cause;
} RakeMarkBody;

typedef struct
{
  RakeId look, mark;     /* required */
  RakeOutcome outcome;   /* required */
  RakeShape *shape;      /* how it looks now, when still there and changed */
} RakeRevisitBody;

typedef struct
{
  RakeId look;                 /* required */
  RakeState state;             /* required */
  double low_spot_fraction;    /* share still glossy, by eye, with state low spot */
  double largest_island_mm;
  double n_islands_over_limit;
  double scratch_mm;           /* length of the longest scratch, with state scratch */
} RakeStateBody;

typedef struct
{
  RakeId zone;           /* required */
  RakeVerdict verdict;   /* required: the verdict it was accepted against */
  char *reason;          /* required */
  GPtrArray *rules;      /* texts: the rules that spoke */
  GPtrArray *matters;    /* texts: what they spoke about ("low spots", "film"), see rules.h */
} RakeAcceptanceBody;

typedef struct
{
  RakeId about;   /* a face, zone, mark or entry; nil: the job */
  char *text;     /* required */
} RakeNoteBody;

typedef struct
{
  RakeId entry;        /* required: what is struck out */
  RakeStrikeWhy why;   /* required */
  char *reason;        /* required for a correction */
} RakeStrikeBody;

typedef struct
{
  RakeId zone;            /* required */
  RakeQuantity quantity;  /* required */
  double value;           /* required: in the unit the quantity names */
  double sd;
  double angle_deg;       /* of the gloss meter */
  char *instrument;
  RakeShape *place;       /* where in the zone, if said */
} RakeReadingBody;

typedef struct
{
  RakeId wheel;             /* the wheel this one renews; nil: a new wheel */
  char *name;               /* required */
  char *compound;           /* the one compound it may carry */
  RakeAnswer carried_other; /* has it ever carried another compound? */
  double diameter_mm, motor_rpm, motor_pulley_mm, wheel_pulley_mm, rated_rpm;
  RakeWheelWork work;       /* unsaid: new, or a correction of what was said of it */
  double width_mm;
  char *remark;
} RakeWheelBody;

typedef struct
{
  RakeId zone;               /* required; a recoat is of the zone's whole face */
  RakeRepairMethod method;   /* required */
  GArray *marks;             /* RakeId: the marks it closes */
  /* Of a fill: before it shrinks. What is removed comes off what is there after it: of a recoat, off
   * the new coat (scuffing before it belongs in a coat's scuff_um); scraping and levelling, the film. */
  double added_um, added_sd_um, removed_um, removed_sd_um;
  double shrink_fraction, shrink_sd_fraction; /* of what was added, until cured; NaN: by method */
  double cure_days;          /* its own wait; NaN: by method and family */
  double feather_mm;         /* neighbours within it want another look; NaN: 30 */
  RakeId back_to_stage;      /* where the zone returns to; nil: stays */
  char *outcome;
} RakeRepairBody;

/* Recorded in the job, as its rules are: an old job keeps the rates it was worked by. */
typedef struct
{
  char *grade;          /* required: as stages write it */
  double removal_um;    /* required: one pass on a flat */
  double common_sd_um;  /* doubt of the rate itself; NaN: 0 */
  double scatter_sd_um; /* from one pass to the next; NaN: 0 */
  double n_pairs;       /* gauge pairs behind it; NaN: it was entered by hand */
  char *origin;         /* "shop, 12 pairs from 4 jobs" */
} RakeRateBody;

#define RAKE_PHOTO_MAX_BYTES (64 * 1024 * 1024)
#define RAKE_PHOTO_MAX_SIDE_PX 65535

/* The bytes are not here but in the job file, by their hash. When the photograph was taken is the
 * entry's happened_ms. */
typedef struct
{
  RakeId photo;               /* the photograph that this places anew; nil: a new one */
  char *sha256;               /* required: of the bytes, 64 hexadecimal digits */
  RakeMediaType media_type;   /* required */
  double n_bytes;             /* required */
  double width_px, height_px; /* required: as the picture lies in the file, before it is turned */
  double turn;                /* 1 to 8 as in EXIF's Orientation; NaN: 1, upright as it lies */
  char *name;                 /* of the file that it came in */
  RakeTimeFrom time_from;     /* unsaid: the time is that of writing */
  double offset_minutes;      /* of the camera's clock from UTC */
  RakeAnswer is_offset_assumed; /* yes: the camera did not say, the bench's was taken */
  RakeId face, stage, pass;   /* a stage, a pass, zones and marks are the face's */
  GArray *zones;              /* RakeId */
  GArray *marks;              /* RakeId */
  double lamp_deg;            /* where the lamp stood */
  RakeAnswer is_look;         /* was it taken of what a look saw? */
  char *view;                 /* photographs of one name were taken from the same place */
  char *note;
} RakePhotoBody;

/* The entry and the hash stay; who has the bytes elsewhere can show that they are those. */
typedef struct
{
  RakeId photo;   /* required */
  char *reason;   /* required */
} RakeWithdrawalBody;

/* One place, in the photograph as it lies in the file and on the face. */
typedef struct
{
  double x_px, y_px, x_mm, y_mm; /* required */
} RakePairSpec;

/* A projection from millimetres to pixels, rows first, and how the lens bends it: photo.h tells how
 * they are applied. A later one replaces an earlier one. */
typedef struct
{
  RakeId face, photo;    /* required */
  GArray *pairs;         /* RakePairSpec, 4 or more: what it was found from */
  double m11, m12, m13, m21, m22, m23, m31, m32, m33; /* required */
  double radial;         /* NaN: none */
  double rms_px, rms_mm; /* root of the mean of the squared residuals of the pairs */
} RakeRegistrationBody;

/* A later one about the same defect replaces what is shown of it, whole; the story stays. */
typedef struct
{
  RakeId zone;             /* required */
  RakeId mark;             /* the mark that is kept for the record; nil: as said before, or a fault
                              without a place */
  RakeId defect;           /* the defect that this one tells more of; nil: a new one */
  char *what;              /* in a few words; required of a new one without a mark */
  char *severity;          /* in plain words */
  char *cause, *action;
  char *outcome;           /* required of one that is accepted or left: why */
  RakeStanding standing;   /* required */
  double cost;             /* for the shop's edition alone */
  char *currency;          /* three capitals, as ISO 4217 has them; with cost */
  RakeAnswer is_for_client; /* no: left out of the client's edition; unsaid: yes */
} RakeDefectBody;

typedef struct
{
  char *light;          /* the viewing light that was agreed */
  double distance_mm;   /* and the distance */
  char *condition;      /* how it looked */
  char *not_examined;
  char *care;
  char *terms;          /* the warranty as agreed, blanks filled */
  double months;        /* that it holds */
  char *exclusions;
  char *seal;           /* of all entries before, 64 hexadecimal digits; NULL: not taken */
} RakeHandOverBody;

/* A later one about the same claim replaces what is shown of it, whole; the story stays. */
typedef struct
{
  RakeId claim;           /* the claim that this one tells more of; nil: a new one */
  RakeId about;           /* a face, zone, mark or defect; nil: the piece */
  char *complaint;        /* required */
  char *finding;
  RakeDecision decision;  /* required */
  char *action;
  double cost;
  char *currency;         /* with cost */
} RakeClaimBody;

/* --- the entry ------------------------------------------------------------------------------ */

typedef struct
{
  RakeId id;
  RakeEntryKind kind;
  RakeId bench;             /* the machine that wrote it */
  gint64 number;            /* that bench's running number, from 1 */
  gint64 written_ms;        /* when it was written, UTC; never before what the bench had seen */
  gint64 happened_ms;       /* when it happened; the same as written_ms unless said otherwise */
  int utc_offset_minutes;   /* of the local time at the bench */
  char *who;
  RakeId gesture;           /* the first entry of the same gesture; its own id if alone */
  guint8 previous[32];      /* hash of the bench's entry before; zero for its first */
  guint8 hash[32];          /* SHA-256 of the canonical line, see rake_entry_to_canonical() */
  union
  {
    RakeJobFacts job;
    RakeRulesBody rules;
    RakeFaceBody face;
    RakeZonesBody zones;
    RakeZoneFactsBody zone_facts;
    RakeScheduleBody schedule;
    RakeBeginStageBody begin_stage;
    RakeCoatBody coat;
    RakePassBody pass;
    RakeLookBody look;
    RakeMarkBody mark;
    RakeRevisitBody revisit;
    RakeStateBody state;
    RakeAcceptanceBody acceptance;
    RakeNoteBody note;
    RakeStrikeBody strike;
    RakeReadingBody reading;
    RakeWheelBody wheel;
    RakeRepairBody repair;
    RakeRateBody rate;
    RakePhotoBody photo;
    RakeWithdrawalBody withdrawal;
    RakeRegistrationBody registration;
    RakeDefectBody defect;
    RakeHandOverBody hand_over;
    RakeClaimBody claim;
  };
} RakeEntry;

/* A new entry of @kind with a new id, nothing said, alone in its gesture, written now. Its lists are
 * there and empty; texts and shapes put into the body become the entry's. Fill in the body, then hand
 * it to rake_job_file_append(), which gives it bench, number, time and hashes.
 * Owned by the caller: rake_entry_unref(). */
RakeEntry *rake_entry_new (RakeEntryKind kind);

/* Like it, but the head is empty too: for readers, who fill it in. */
RakeEntry *rake_entry_new_unsaid (RakeEntryKind kind);

RakeEntry *rake_entry_ref (RakeEntry *entry);
void rake_entry_unref (RakeEntry *entry);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeEntry, rake_entry_unref)

/* Checks every field of the body and the head's times and texts against the table, and what one
 * field asks of another (a correction needs its reason). An empty text is the same as none.
 * FALSE with RAKE_ENTRY_ERROR_FIELD and "FIELD is …; …", translated. */
gboolean rake_entry_check (const RakeEntry *entry, GError **error);

/* The line that is hashed: one JSON object without spaces, keys in the order of the tables, what is
 * unsaid left out, "previous" last; docs/entries.md has the form to the letter. The exchange form
 * is the same line with ,"hash":"…" before the closing brace. Caller frees with g_free(). */
char *rake_entry_to_canonical (const RakeEntry *entry);

/* SHA-256 of the canonical line, into @hash; rake_entry_seal() stores it in the entry. */
void rake_entry_compute_hash (const RakeEntry *entry, guint8 hash[32]);
void rake_entry_seal (RakeEntry *entry);

/* --- the table ------------------------------------------------------------------------------ */

typedef enum
{
  RAKE_FIELD_TEXT,    /* char * */
  RAKE_FIELD_ID,      /* RakeId */
  RAKE_FIELD_REAL,    /* double */
  RAKE_FIELD_WORD,    /* an enumeration (int-sized), by its words */
  RAKE_FIELD_SHAPE,   /* RakeShape * */
  RAKE_FIELD_IDS,     /* GArray of RakeId */
  RAKE_FIELD_TEXTS,   /* GPtrArray of char * */
  RAKE_FIELD_RECORDS, /* GArray of a struct with fields of its own */
} RakeFieldType;

typedef struct _RakeField RakeField;
struct _RakeField
{
  const char *name;          /* in JSON and SQL: "stroke_deg" */
  RakeFieldType type;
  gsize offset;              /* in the body (or in the record) */
  gboolean is_required;      /* for lists: at least one */
  double min, max;           /* REAL; a direction is 0 ≤ x < 360, with max_is_open */
  gboolean max_is_open;
  gsize max_length;          /* TEXT: bytes; lists: items (a text in a list: 1000 bytes) */
  const char *const *words;  /* WORD: words[value], words[0] NULL, closed by NULL */
  RakeShapeKind shape_kind;  /* SHAPE: the one kind allowed, or 0 for any */
  const RakeField *fields;   /* RECORDS: closed by a NULL name */
  gsize record_size;         /* RECORDS */
};

/* The word of a kind in JSON, and its table's name: "pass", "zone_facts". */
const char *rake_entry_kind_get_name (RakeEntryKind kind);

/* 0 when there is none of that name. */
RakeEntryKind rake_entry_kind_from_name (const char *name);

/* The fields of a kind's body, closed by a NULL name. Offsets count from &entry->job. */
const RakeField *rake_entry_kind_get_fields (RakeEntryKind kind);

/* NULL when the kind has none of that name. */
const RakeField *rake_entry_kind_find_field (RakeEntryKind kind, const char *name);

/* A new empty list fit for a RECORDS, IDS or TEXTS field, that frees its contents. */
gpointer rake_field_new_list (const RakeField *field);

/* Makes a record of a RECORDS field (or a body) say nothing: NaN, NULL, 0, nil. Frees nothing; a
 * body's lists are made anew and empty. */
void rake_field_init_record (const RakeField *fields, gsize record_size, gpointer record);

/* The word for a value, and the value for a word (0 when there is none). */
const char *rake_field_get_word (const RakeField *field, int value);
int rake_field_find_word (const RakeField *field, const char *word);

/* Words for a person, untranslated: "Low spot", "Sand again"; pass through gettext. */
const char *rake_finish_get_label (RakeFinish finish);
const char *rake_action_get_label (RakeAction action);
const char *rake_mark_kind_get_label (RakeMarkKind mark);
const char *rake_state_get_label (RakeState state);
const char *rake_verdict_get_label (RakeVerdict verdict);
const char *rake_standing_get_label (RakeStanding standing);
const char *rake_decision_get_label (RakeDecision decision);

/* The shortest of 15 and 17 significant digits that reads back to the same double, with a point
 * whatever the locale; -0 is 0. What is not finite is "null", which no reader takes. */
void rake_number_to_text (double value, char text[G_ASCII_DTOSTR_BUF_SIZE]);

#define RAKE_TIME_TEXT_LENGTH 29

/* A time as RFC 3339 writes it, in milliseconds and local time: "2026-03-01T09:12:00.000+01:00".
 * Years 1 to 9999. */
void rake_time_to_text (gint64 unix_ms, int utc_offset_minutes,
                        char text[RAKE_TIME_TEXT_LENGTH + 1]);

/* Reads any RFC 3339 time: with or without a fraction (of which milliseconds are kept), offset or Z.
 * FALSE when @text is none; the outputs are then untouched. */
gboolean rake_time_from_text (const char *text, gint64 *unix_ms, int *utc_offset_minutes);
