/* facts-private.h - a zone's history read once, for the files that take facts from it.
 *
 * The story begins with the last coat on the face. Between two passes lies a *window*: window 0 is
 * before the first pass, the last one is now. What a look told, it told of the window it was made in. */
#pragma once
#include <rakelight/facts.h>

typedef struct
{
  const RakeEntry *entry;
  const RakeStage *stage;  /* NULL when no schedule has it any more */
} RakePassTold;

typedef struct
{
  const RakeEntry *entry;
  guint window;
  guint n_repairs;               /* made before it, since the coat */
  gboolean is_proper;            /* dry, and wiped if there was a pass before it */
  gboolean is_current;           /* nothing was done to the zone after it */
  gboolean is_statement;         /* it holds a state or a mark of the six states */
  guint states;                  /* a bit 1 << RakeState each, as told by states */
  const RakeStateBody *low_spot; /* its last state that tells of low spots: low spot or uniform */
  double scratch_mm;             /* as told by a state, else NaN */
} RakeLookTold;

/* A mark seen in a look: found, or still there. */
typedef struct
{
  const RakeEntry *mark;
  guint look;              /* index of the look */
  const RakeShape *shape;
} RakeSighting;

typedef struct
{
  const RakeJob *job;
  const RakeZone *zone;
  const RakeStage *stage;       /* where the zone stands */
  const RakeLimits *limits;
  const RakeJobFacts *job_facts; /* may be NULL */
  gint64 now_ms;

  const RakeEntry *last_coat;   /* a coat or a recoat; NULL for none */
  gint64 last_coat_ms;          /* the latest that any happened */
  guint first;                  /* index in the history of what follows it */
  guint n_repairs;              /* since the coat */
  guint passes_here;            /* the run of passes at this stage at the end */
  GArray *passes;               /* RakePassTold */
  GArray *looks;                /* RakeLookTold */
  GArray *sightings;            /* RakeSighting, in order */
} RakeStory;

#define rake_story_pass(story, index) (&g_array_index ((story)->passes, RakePassTold, (index)))
#define rake_story_look(story, index) (&g_array_index ((story)->looks, RakeLookTold, (index)))

void rake_story_init (RakeStory *story, const RakeJob *job, const RakeZone *zone,
                      const RakeLimits *limits, gint64 now_ms);
void rake_story_clear (RakeStory *story);
G_DEFINE_AUTO_CLEANUP_CLEAR_FUNC (RakeStory, rake_story_clear)

/* NULL when there was none since the coat. */
const RakePassTold *rake_story_get_last_pass (const RakeStory *story);
const RakePassTold *rake_story_get_last_buff (const RakeStory *story);

/* Index of a look by its entry, or -1 when it is not of this story. */
int rake_story_find_look (const RakeStory *story, const RakeEntry *entry);

/* Whether a look counts for good news now. */
gboolean rake_look_counts (const RakeLookTold *look);

gboolean rake_stage_is_sanding (const RakeStage *stage);

/* The job's own number where it says one, else the rules'; may be NaN. */
double rake_story_get_limit (const RakeStory *story, double of_job, double of_rules);

/* How much of the zone may be glossy where it stands: from the last grit on, flats have none to spare. */
double rake_story_get_low_spot_limit (const RakeStory *story);
double rake_story_get_days_since (const RakeStory *story, gint64 ms);

/* --- facts ---------------------------------------------------------------------------------------- */

/* NaN sets UNKNOWN. */
void rake_facts_set (RakeFacts *facts, RakeFact fact, double value);
void rake_facts_set_none (RakeFacts *facts, RakeFact fact); /* does not apply */
void rake_facts_set_answer (RakeFacts *facts, RakeFact fact, RakeAnswer answer);

void rake_facts_take_looks (RakeFacts *facts, const RakeStory *story);
void rake_facts_take_low_spots (RakeFacts *facts, const RakeStory *story);
void rake_facts_take_marks (RakeFacts *facts, const RakeStory *story);
void rake_facts_take_neighbours (RakeFacts *facts, const RakeStory *story);
void rake_facts_take_waits (RakeFacts *facts, const RakeStory *story);
void rake_facts_take_buffing (RakeFacts *facts, const RakeStory *story);
void rake_facts_take_film (RakeFacts *facts, const RakeStory *story);
void rake_facts_take_gloss (RakeFacts *facts, const RakeStory *story);

/* What was painted, within a zone. */
typedef struct
{
  double area_mm2;
  double island_mm;      /* the largest extent of any part; 0 for none */
  guint n, n_over_limit; /* islands, and those of them larger than the limit */
} RakePatches;

/* shapes  RakeShape *: areas, or lines and points, which stand for small spots */
RakePatches rake_patches_measure (GPtrArray *shapes, const RakeShape *zone, double limit_mm);

/* Whether @mark is a low spot that rides along from an earlier stage. */
gboolean rake_story_has_carried (const RakeStory *story, const RakeMark *mark);
