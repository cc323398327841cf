/* job-private.h - what the files of the job share.
 *
 * Building a job goes in three steps, each in a file of its own:
 *
 *   job-things.c    what each id stands for, and what each entry speaks of; never changes
 *   job-standing.c  which entries are struck out or void; a few bits for each id
 *   job-build.c     what the job shows: faces, stages, zones (job-zones.c), marks (job-marks.c)
 *
 * The first is done once for an entry. The other two are done for one entry at the end, or for all
 * of them anew; both ways go through the same functions, so they cannot differ. */
#pragma once
#include <rakelight/photo.h>
#include <rakelight/record.h>
#include <rakelight/rates.h>

typedef struct _RakeThing RakeThing;
typedef struct _RakeShownFace RakeShownFace;
typedef struct _RakeShownZone RakeShownZone;
typedef struct _RakeShownStage RakeShownStage;
typedef struct _RakeShownMark RakeShownMark;
typedef struct _RakeShownPhoto RakeShownPhoto;
typedef struct _RakeStoryTold RakeStoryTold;

/* What one id stands for. An id may be several things: a face's is its entry's and its first zone's. */
struct _RakeThing
{
  RakeId id;
  guint serial;                      /* its place in job->things, and in the flags */
  RakeThing *face;                   /* the face that it is, or is on; NULL for none */

  RakeEntry *entry;                  /* the entry of that id, or NULL */
  RakeThing **refs;                  /* what the entry speaks of; the order is in job-things.c */
  guint n_refs;
  GHashTable *places;                /* of a zones entry: see job-marks.c */

  RakeThing *zone_maker;             /* the face or zones entry that made the zone, or NULL */
  const RakeShape *zone_shape;
  const char *zone_name;
  const RakeStageSpec *stage_spec;   /* as first scheduled, or NULL */

  /* what it shows as now, as far as it does */
  guint sequence;                    /* of the entry, from 1 */
  RakeShownFace *shown_face;
  RakeShownZone *shown_zone;
  RakeShownStage *shown_stage;
  RakeShownMark *shown_marks;        /* one for each zone that has the mark */
  const RakeEntry *shown_wheel;
  RakeShownPhoto *shown_photo;
  RakeStoryTold *told;               /* of a defect's or a claim's first entry */
};

struct _RakeShownStage
{
  RakeStage stage;
  RakeThing *thing;
  gboolean is_scheduled;
};

struct _RakeShownFace
{
  RakeFace face;
  RakeJob *job;
  RakeThing *thing;
  GPtrArray *steps;      /* RakeShownStage *: where the face stood since the last coat, in order */
  guint last_coat;       /* sequence, 0: none */
};

struct _RakeShownZone
{
  RakeZone zone;
  RakeThing *thing;
  RakeShownFace *shown_face;
  gboolean is_here;
  GPtrArray *heirs;                  /* RakeShownZone *: what it was divided or joined into */
  gboolean is_joined_away;
  guint walked;                      /* the number of the last walk that came by */
  const RakeShownStage *own_stage;   /* where it was sent back to; NULL: where the face stands */
  RakeAnswer hard_to_reach;          /* as said */
  const RakeShownStage *own_first;   /* its own first stage; NULL: the face's */
  guint last_pass, last_repair;      /* sequences, 0: none */
  gint64 last_pass_happened_ms;
  gboolean has_pass_since_coat;
  guint n_film_readings;             /* in the history */
  GPtrArray *open_low_spots;         /* RakeShownMark *, all that are open and maybe some that are not */
  const RakeStage *said_again_stage; /* at this stage and pass no low spot is left to be closed by a */
  guint said_again_pass;             /* statement; 0: look */
};

struct _RakeShownMark
{
  RakeMark mark;
  RakeThing *thing;
  RakeShownZone *shown_zone;
  RakeShownMark *next;               /* the same mark in another zone */
  guint found, last_seen;            /* sequences of the mark's entry and of the look */
  gboolean is_listed;                /* among its zone's open low spots */
};

struct _RakeShownPhoto
{
  RakePhoto photo;
  guint placed; /* sequence of the entry that says where it belongs */
};

/* A defect or a claim: its first entry, then all that tell more of it. */
struct _RakeStoryTold
{
  RakeThing *thing;
  GPtrArray *entries; /* const RakeEntry *, in order */
};

enum
{
  RAKE_FLAG_STRUCK = 1 << 0,
  RAKE_FLAG_VOID = 1 << 1,
  RAKE_FLAG_LOOSE = 1 << 2,      /* stands, but something it speaks of is gone: a wheel, a mark */
  RAKE_FLAG_ZONE_MADE = 1 << 3,
  RAKE_FLAG_ZONE_HERE = 1 << 4,
  RAKE_FLAG_STAGE_MADE = 1 << 5,
};

struct _RakeJob
{
  GHashTable *by_id;     /* RakeId * → RakeThing * */
  GPtrArray *things;     /* RakeThing *, owned, in order of becoming known */
  GPtrArray *order;      /* RakeThing * that are entries, in job order */
  GByteArray *flags;     /* one byte for each thing */
  guint n_void;
  guint64 revision;

  const RakeEntry *facts, *rules;
  GPtrArray *faces;      /* RakeShownFace * that are shown, owned */
  GPtrArray *zones;      /* RakeShownZone *, also those no longer here, owned */
  GPtrArray *stages;     /* RakeShownStage *, also those no longer scheduled, owned */
  GPtrArray *marks;      /* RakeShownMark *, owned */
  GPtrArray *rates;      /* RakeEntry *: the rates recorded */

  GPtrArray *photos;     /* RakeShownPhoto *, owned, in order */
  GPtrArray *defects;    /* RakeStoryTold *, owned, in order; likewise */
  GPtrArray *claims;
  GPtrArray *hand_overs; /* RakeThing *, in order; the last one holds */

  guint n_walks;         /* through heirs; see job-zones.c */

  guint64 film_revision; /* changes with whatever film and rates are made of; looks do not */

  /* Reckoned when asked for, and kept until then. */
  struct
  {
    RakeRates *rates;
    guint64 revision;
  } *kept;
  guint64 n_zone_changes; /* never set back: the last revision that a zone was given */
  guint64 n_shop_changes;
};

/* --- job-things.c --------------------------------------------------------------------------------- */

/* The order of the logbook: below, at or above 0. */
int rake_job_compare_entries (const RakeEntry *a, const RakeEntry *b);

/* Sets @error and returns FALSE. */
gboolean rake_job_refuse (GError **error, RakeJobError code, const char *format, ...)
    G_GNUC_PRINTF (3, 4);

RakeThing *rake_job_find_thing (const RakeJob *job, RakeId id);

/* What @entry speaks of, into @refs; FALSE with RAKE_JOB_ERROR when that is not known or does not
 * go together. @is_known_good leaves out what was checked when the entry first came in. */
gboolean rake_job_resolve (const RakeJob *job, const RakeEntry *entry, gboolean is_known_good,
                           GPtrArray *refs, GError **error);

/* Makes known the entry and what it makes. @refs as resolved. Does not put it into the order. */
RakeThing *rake_job_register (RakeJob *job, RakeEntry *entry, GPtrArray *refs);

/* Forgets what became known after the first @n_things. */
void rake_job_truncate_things (RakeJob *job, guint n_things);

/* --- job-standing.c ------------------------------------------------------------------------------- */

/* 0, LOOSE or VOID: how well @entry stands on what it speaks of. */
guint rake_standing_of (const guint8 *flags, const RakeEntry *entry, RakeThing *const *refs,
                        guint n_refs);

/* Sets the flags of @thing's entry and of what it makes. @flags may hold STRUCK for it. */
void rake_standing_enter (guint8 *flags, const RakeThing *thing);

/* Flags for the whole job, as if @struck (may be NULL) were struck out by entries at its end. Caller
 * frees with g_byte_array_unref(). */
GByteArray *rake_standing_compute (const RakeJob *job, GPtrArray *struck);

/* The first entry that would lose its footing, going from the job's flags to @flags; NULL when none
 * does. The job's own facts count as lost when no job entry would be left. */
const RakeEntry *rake_standing_find_loser (const RakeJob *job, const GByteArray *flags);

/* --- job-build.c ---------------------------------------------------------------------------------- */

void rake_build_clear (RakeJob *job);

/* Everything anew by job->flags. */
void rake_build_all (RakeJob *job);

/* Shows one more entry, the last in order, that is neither struck nor void. */
void rake_build_enter (RakeJob *job, RakeThing *thing);

/* --- job-photos.c --------------------------------------------------------------------------------- */

void rake_photo_enter (RakeJob *job, RakeThing *thing);
void rake_photo_enter_withdrawal (RakeThing *thing);
void rake_photo_enter_registration (RakeThing *thing);

/* What a new entry about a photograph asks of the job as it stands. */
gboolean rake_photo_check_withdrawal (const RakeThing *photo, GError **error);
gboolean rake_photo_check_registration (const RakeEntry *entry, const RakeThing *photo,
                                        GError **error);

/* --- job-record.c --------------------------------------------------------------------------------- */

void rake_story_told_free (gpointer told);
void rake_record_enter_defect (RakeJob *job, RakeThing *thing);
void rake_record_enter_claim (RakeJob *job, RakeThing *thing);

/* Whether a job that was handed over takes @entry, which speaks of @refs. */
gboolean rake_record_check_closed (const RakeJob *job, const RakeEntry *entry, GPtrArray *refs,
                                   GError **error);
gboolean rake_record_check_hand_over (const RakeJob *job, const RakeEntry *entry, GError **error);

/* Whether that could be said of striking out all of @things at once. */
gboolean rake_record_can_strike (const RakeJob *job, GPtrArray *things);

/* --- job-zones.c ---------------------------------------------------------------------------------- */

/* Calls @enter for the zone, or when it is no longer here for what became of it: an entry that comes
 * late does to the heirs what it would have done had they inherited it. */
typedef void (*RakeEnterZone) (RakeJob *job, RakeShownZone *zone, RakeThing *thing);
void rake_zone_enter (RakeJob *job, RakeShownZone *zone, RakeThing *thing, RakeEnterZone enter);

/* The same with the choice in the caller's hand: @choose adds to @waiting which heirs of a zone to go
 * to. */
typedef void (*RakeChooseHeirs) (RakeShownZone *zone, RakeThing *thing, GPtrArray *waiting);
void rake_zone_for_each_heir (RakeJob *job, RakeShownZone *zone, RakeChooseHeirs choose,
                              RakeEnterZone enter, RakeThing *thing);

/* Adds @thing's entry to the zone's history. FALSE when it is there already: when two of the zones that
 * it is about have become one. */
gboolean rake_zone_write_down (RakeShownZone *zone, RakeThing *thing);

RakeShownZone *rake_zone_show (RakeJob *job, RakeShownFace *face, RakeThing *thing);
void rake_zone_free (RakeShownZone *zone);
void rake_zones_divide (RakeJob *job, RakeThing *thing);
void rake_zone_set_facts (RakeJob *job, RakeThing *thing);

/* Brings stage and first stage up to date with the face's. */
void rake_zone_update_stage (RakeShownZone *zone);

/* Gives @zone its next revision. Whoever changes what a zone shows calls it; what writes down,
 * moves to a stage or makes a zone does so already. */
void rake_zone_touch (RakeShownZone *zone);

/* --- job-marks.c ---------------------------------------------------------------------------------- */

/* Whether the look counts for good news in @zone as things stand: docs/judging.md, "Looks". */
gboolean rake_look_is_proper (const RakeShownZone *zone, const RakeThing *look);

void rake_mark_enter (RakeJob *job, RakeThing *thing);
void rake_mark_enter_state (RakeJob *job, RakeThing *thing);
void rake_mark_enter_revisit (RakeJob *job, RakeThing *thing);
void rake_mark_close_by_repair (RakeJob *job, RakeThing *mark, const RakeEntry *repair);

/* A copy of what is known of places on the zones that a division added; NULL when nothing is. */
GHashTable *rake_marks_copy_places (const RakeThing *thing);

/* Marks of the zones that @division removed go where they belong among those that it added. */
void rake_marks_inherit (RakeJob *job, RakeThing *division, GPtrArray *removed, GPtrArray *added);
