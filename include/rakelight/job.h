/* job.h - the job as its logbook tells it: faces, zones, stages, marks, and what happened to each.
 *
 * A job is a projection of entries: the same set of entries is the same job, in whatever order they
 * came. Entries have one order, (written_ms, bench, number); an entry that belongs at the end is
 * applied at once, one that belongs earlier (from another bench) or that strikes something makes
 * the job be built again from its entries. Nothing here reads a clock, a file or a screen.
 *
 * Two benches that did not know of each other may write what does not go together: both cut the same
 * zone, one strikes out a face that the other works on. Entries that so lost what they speak of are
 * *void*: kept, listed, not shown. Which these are follows from the set of entries alone.
 *
 * The structs are read only for callers and stay valid until the next rake_job_apply(). */
#pragma once
#include <rakelight/entry.h>

#define RAKE_JOB_ERROR (rake_job_error_quark ())
GQuark rake_job_error_quark (void);

typedef enum
{
  RAKE_JOB_ERROR_REFERENCE, /* the entry speaks of something the job does not have (yet) */
  RAKE_JOB_ERROR_TWICE,     /* an entry of that id is there already */
  RAKE_JOB_ERROR_RULE,      /* against a rule of the logbook: zones that do not tile, an empty job */
} RakeJobError;

typedef struct _RakeJob RakeJob;
typedef struct _RakeFace RakeFace;

typedef struct
{
  RakeId id;
  RakeAction action;
  const char *grade;   /* "" for looks and rest */
  double d50_um;
  guint position;      /* in the face's schedule, from 0; G_MAXUINT when a later one dropped it */
  gboolean is_last_sanding; /* level or refine, and neither comes after it */
} RakeStage;

typedef struct
{
  const RakeEntry *entry;        /* the mark's own entry; its id is the mark's */
  RakeMarkKind kind;
  const RakeShape *shape;        /* as last seen */
  const RakeStage *stage;        /* where the zone stood when it was found; may be NULL */
  const RakeEntry *last_seen;    /* the look that saw it last */
  const RakeEntry *closed_by;    /* the revisit "gone", the repair, or (a low spot) the statement
                                    that said it all again; NULL while open */
  gboolean was_repaired;         /* closed by a repair: its place shows for ever */
} RakeMark;

typedef struct
{
  RakeId id;
  const RakeFace *face;
  const char *name;
  const RakeShape *shape;
  gboolean is_edge;
  double edge_factor;
  double coat_factor;            /* what of a coat settles here; 1 when not said */
  gboolean is_hard_to_reach;     /* for the narrow wheel; as is_edge when not said */
  double reserve_um;             /* NaN: not said */
  const RakeStage *first_stage;  /* never NULL when the face has a schedule */
  const RakeStage *stage;        /* where the zone stands; NULL without a schedule */
  GPtrArray *history;            /* const RakeEntry *: passes, looks, marks, revisits, states,
                                    acceptances, readings, repairs, coats and begun stages that
                                    concern this zone, in order, struck ones left out. A zone cut
                                    from another has all of the other's: what a look said of the
                                    whole, it said of the part */
  GPtrArray *marks;              /* RakeMark *, open and closed, in order of finding: only those
                                    whose place is in this zone. A mark across a later cut is in
                                    both parts, open or closed in each by itself */
  guint64 revision;              /* another number whenever any of this may be different, its stages
                                    and marks included; in one job no number comes twice */
} RakeZone;

struct _RakeFace
{
  const RakeEntry *entry;        /* its id is the face's */
  RakeId id;
  const char *name;
  const RakeShape *outline;
  GPtrArray *zones;              /* RakeZone * that exist now, in order of making */
  GPtrArray *stages;             /* RakeStage *, in order; empty without a schedule */
  const RakeStage *stage;        /* where the face stands; NULL without a schedule */
  GPtrArray *coats;              /* const RakeEntry *, in order */
};

RakeJob *rake_job_new (void);
void rake_job_free (RakeJob *job);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeJob, rake_job_free)

/* Applies @entry, newly written, of which the job keeps a reference. It must make sense as the job
 * stands: REFERENCE when it speaks of a zone that was divided, RULE when it strikes out what others
 * build on. On FALSE the job is as before. */
gboolean rake_job_apply (RakeJob *job, RakeEntry *entry, GError **error);

/* Takes in entries that are on record already (read from a file, merged, imported), in any order,
 * all or none, and builds the job once. They must speak of things that some entry made; where these
 * are gone meanwhile, the entries are void.
 *
 * which    out, may be NULL: on FALSE the index of the entry that was refused
 * returns  FALSE with RAKE_JOB_ERROR; the job is then as before */
gboolean rake_job_adopt (RakeJob *job, RakeEntry *const *entries, guint n_entries, guint *which,
                         GError **error);

/* Whether rake_job_apply() would take it, without taking it. */
gboolean rake_job_check (const RakeJob *job, const RakeEntry *entry, GError **error);

/* Takes back entries just applied that could not be written. Builds the job anew without them. */
void rake_job_forget (RakeJob *job, RakeEntry *const *entries, guint n_entries);

/* The job as it was after its first @n_entries (in order); strikes made later do not count. */
RakeJob *rake_job_new_until (const RakeJob *job, guint n_entries);

/* Every entry ever applied, struck out or not, in order. */
guint rake_job_get_n_entries (const RakeJob *job);
RakeEntry *rake_job_get_entry (const RakeJob *job, guint index);
RakeEntry *rake_job_find_entry (const RakeJob *job, RakeId id);
gboolean rake_job_is_struck (const RakeJob *job, RakeId entry_id);
gboolean rake_job_is_void (const RakeJob *job, RakeId entry_id);
guint rake_job_get_n_void (const RakeJob *job);

/* A number that changes whenever what the job shows may have changed. */
guint64 rake_job_get_revision (const RakeJob *job);

/* A number that changes whenever a wheel or a rate may be another. */
guint64 rake_job_get_shop_revision (const RakeJob *job);

/* NULL before the first RAKE_ENTRY_JOB or RAKE_ENTRY_RULES. */
const RakeJobFacts *rake_job_find_facts (const RakeJob *job);
const RakeRulesBody *rake_job_find_rules (const RakeJob *job);

guint rake_job_get_n_faces (const RakeJob *job);
const RakeFace *rake_job_get_face (const RakeJob *job, guint index);
const RakeFace *rake_job_find_face (const RakeJob *job, RakeId id);
const RakeZone *rake_job_find_zone (const RakeJob *job, RakeId id);
const RakeMark *rake_job_find_mark (const RakeJob *job, RakeId id);
const RakeStage *rake_job_find_stage (const RakeJob *job, RakeId id);

/* The wheel's latest entry, NULL when there is none. */
const RakeEntry *rake_job_find_wheel (const RakeJob *job, RakeId id);

/* The zone of @face that holds the place; NULL outside. */
const RakeZone *rake_face_find_zone_at (const RakeFace *face, double x_mm, double y_mm);

/* What undo, or redo, would have to append: new strike entries in one gesture, newest first, for
 * the last gesture of @bench that can be undone (redone). NULL when there is none.
 * Returns an array of RakeEntry, caller frees with g_ptr_array_unref(). */
GPtrArray *rake_job_plan_undo (const RakeJob *job, RakeId bench);
GPtrArray *rake_job_plan_redo (const RakeJob *job, RakeId bench);

/* One short translated line for a person: "Pass at P800 on Lower bass", "Struck out: …". Caller
 * frees. Used by the timeline, undo's tooltip and lists. */
char *rake_job_describe_entry (const RakeJob *job, const RakeEntry *entry);

/* Whether coats fuse and how long cure and rest are for this job: as said, else by the family.
 * Sources: docs/judging.md, "Finish families". */
RakeAnswer rake_job_get_coats_fuse (const RakeJob *job);
double rake_job_get_cure_days (const RakeJob *job);
double rake_job_get_rest_days (const RakeJob *job);
RakeAnswer rake_finish_get_coats_fuse (RakeFinish finish);
double rake_finish_get_cure_days (RakeFinish finish);
double rake_finish_get_rest_days (RakeFinish finish);

/* Everything the job shows, as text with a fixed order, to compare two jobs in tests. After the line
 * "record of N" come the entries that are struck out or void. Caller frees. */
char *rake_job_dump (const RakeJob *job);

/* The part of it that tells of @zone. Caller frees. */
char *rake_job_dump_zone (const RakeZone *zone);
