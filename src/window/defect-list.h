/* defect-list.h - which of a job's defects are wanted, and in what order; and the words they are told
 * in. No widget in sight. */
#pragma once
#include <rakelight/record.h>

typedef enum
{
  RAKE_DEFECTS_ALL,
  RAKE_DEFECTS_OPEN,
  RAKE_DEFECTS_CLOSED,
} RakeDefectsStanding;

typedef enum
{
  RAKE_DEFECTS_BY_FOUND,    /* the one found last first */
  RAKE_DEFECTS_BY_SEVERITY, /* the one that shows most first */
  RAKE_DEFECTS_BY_PLACE,    /* face, zone, from the top left down */
} RakeDefectsOrder;

typedef struct
{
  RakeDefectsStanding standing;
  RakeId face;          /* nil: every one */
  const char *severity; /* NULL: any; "": nothing was said of it */
  RakeDefectsOrder order;
} RakeDefectsWanted;

/* RakeDefect *, freed with g_ptr_array_unref(); what is alike stays in the order of the logbook. */
GPtrArray *rake_defects_choose (const RakeJob *job, const RakeDefectsWanted *wanted);

/* What is said of severity, each once, the one that shows most first, "" last where a defect says
 * nothing: const char * of the job's, in an array freed with g_ptr_array_unref(). */
GPtrArray *rake_defects_list_severities (const RakeJob *job);

/* The defect that keeps @mark, nil when none does. */
RakeId rake_defects_find_of_mark (const RakeJob *job, RakeId mark);

/* The defects of @zone, RakeDefect *, freed with g_ptr_array_unref(). */
GPtrArray *rake_defects_list_of_zone (const RakeJob *job, const RakeZone *zone);

/* Plain words for how bad, offered beside one's own: by what it takes to see it, since "small" and "bad"
 * are read by everybody in another way. From the one that shows least; NULL after the last. */
extern const char *const rake_severity_words[];

/* Where it stands among them, as written or in the language of the moment; -1 for words of one's own. */
int rake_severity_find (const char *text);

/* "12 Nov 09:41, at P800, after the pass of 11 Nov, lamp at 90°" */
char *rake_say_found (const RakeJob *job, const RakeDefect *defect, gint64 now_ms);

/* "Front, Lower bass; 12 mm from the edge"; and the size, NULL of a fault without a place. */
char *rake_say_place (const RakeDefect *defect);
char *rake_say_size (const RakeDefect *defect);

/* "95.00 EUR"; NULL when it was not said. */
char *rake_say_cost (double cost, const char *currency);

/* Reads "95", "95,50 eur", "EUR 95.50"; an empty text is none. Without a currency it is @usual.
 *
 * currency  out: the caller's to free
 * returns   FALSE with @sentence set to what is wrong, the caller's to free */
gboolean rake_read_cost (const char *text, const char *usual, double *cost, char **currency,
                         char **sentence);
