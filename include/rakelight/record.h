/* record.h - what is kept of a piece for later: its defects, the hand-over, the claims after it.
 *
 * A *defect* is a fault kept for the record, with its story from finding to outcome. A *hand-over*
 * closes the job for work; looks, readings, notes, photographs and claims go on. A *claim* that is open
 * opens the job for work again until it is decided, for what is done about it is work.
 * docs/record.md tells it in words.
 *
 * What the lists hold is worked out when they are asked for. It is read only and stays valid until the
 * next rake_job_apply(). */
#pragma once
#include <rakelight/job.h>
#include <rakelight/rules.h>

/* --- defects ------------------------------------------------------------------------------------ */

typedef struct
{
  RakeId id;                   /* of the entry that began it */
  const RakeEntry *entry;      /* that entry */
  const RakeEntry *told;       /* how it stands: the last that tells of it */
  const GPtrArray *story;      /* const RakeEntry *, from first to last */
  const RakeFace *face;        /* NULL: struck out */
  const RakeZone *zone;        /* where it is now, also after a division; NULL: nowhere any more */
  const RakeMark *mark;        /* NULL: a fault without a place */
  const char *what;            /* as said, else of the mark (translated); never NULL */

  const RakeEntry *look;       /* that found the mark; NULL without one */
  const RakeEntry *pass;       /* the last on the zone before that; NULL: none */
  const RakeStage *stage;      /* where the zone then stood; may be NULL */
  gint64 found_ms;             /* when that happened; without a mark: when it was first told of */
  double lamp_deg;             /* of the look; NaN: not known */

  /* Of the mark as last seen; NaN without one. */
  double x_mm, y_mm;           /* a point on it, as the face lies */
  double from_edge_mm;         /* from the nearest edge of the face, holes too */
  double length_mm;            /* the longest straight distance across */
  double area_mm2;             /* 0 for a point or a line */
} RakeDefect;

/* All that count, in the order of their beginning: an array of RakeDefect *, which the caller frees with
 * g_ptr_array_unref(). */
GPtrArray *rake_job_list_defects (const RakeJob *job);

/* By the id of its first entry or of one that tells more; NULL when there is none. Free with
 * rake_defect_free(). */
RakeDefect *rake_job_find_defect (const RakeJob *job, RakeId id);
void rake_defect_free (RakeDefect *defect);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeDefect, rake_defect_free)

/* The repairs of the mark, or of the zone where there is none, since it was found: const RakeEntry *,
 * in order; caller frees the array with g_ptr_array_unref(). */
GPtrArray *rake_defect_list_repairs (const RakeDefect *defect);

/* --- hand-over ---------------------------------------------------------------------------------- */

/* The hand-over that holds: the last that was not struck out. NULL before there is one.
 *
 * n_before  out, may be NULL: so many entries come before it in the job's order */
const RakeEntry *rake_job_find_hand_over (const RakeJob *job, guint *n_before);

/* Handed over, and no claim is open: rake_job_apply() then refuses what changes the record of the work,
 * and strikes of what was there before the hand-over (of the hand-over itself not). */
gboolean rake_job_is_closed (const RakeJob *job);

/* Whether entries of a kind are refused by a closed job; of a strike it depends on what is struck. */
gboolean rake_entry_kind_is_work (RakeEntryKind kind);

typedef enum
{
  RAKE_OBSTACLE_NO_FACE, /* about nothing: there is no record to hand over */
  RAKE_OBSTACLE_STAGES,  /* a face that has stages to come */
  RAKE_OBSTACLE_ZONE,    /* a zone that is neither ready nor accepted */
  RAKE_OBSTACLE_REST,    /* a zone that is settled and rests */
  RAKE_OBSTACLE_DEFECT,  /* a defect that is open */
} RakeObstacleKind;

typedef struct
{
  RakeObstacleKind kind;
  RakeId about;   /* the face, zone or defect; nil: nothing */
  char *sentence; /* translated */
} RakeObstacle;

/* What still stands in the way of a hand-over at @now_ms: RakeObstacle *, in an array that the caller
 * frees with g_ptr_array_unref(); empty when nothing does. */
GPtrArray *rake_job_list_obstacles (const RakeJob *job, const RakeRules *rules, gint64 now_ms);

/* --- claims ------------------------------------------------------------------------------------- */

typedef struct
{
  RakeId id;                   /* of the entry that began it */
  const RakeEntry *entry;      /* that entry */
  const RakeEntry *told;       /* how it stands: the last that tells of it */
  const GPtrArray *story;      /* const RakeEntry *, from first to last */
  gboolean is_open;
  RakeId about;                /* as last said; nil: the piece */
  const RakeFace *face;        /* what that is, as far as it is any of these */
  const RakeZone *zone;
  const RakeMark *mark;
  RakeId defect;               /* nil: about no defect */
  const RakeEntry *hand_over;  /* the one that held when it was made; NULL: none did */
  guint n_entries_then;        /* what rake_job_new_until() wants for the job as it then was, the hand-over
                                  with it; 0 without one */
} RakeClaim;

/* All that count, in the order of their beginning: RakeClaim *, freed with g_ptr_array_unref(). */
GPtrArray *rake_job_list_claims (const RakeJob *job);

/* By the id of its first entry or of one that tells more; NULL when there is none. Free with
 * rake_claim_free(). */
RakeClaim *rake_job_find_claim (const RakeJob *job, RakeId id);
void rake_claim_free (RakeClaim *claim);
G_DEFINE_AUTOPTR_CLEANUP_FUNC (RakeClaim, rake_claim_free)
