/* schedule.h - a schedule as a finisher writes it: "P800, P1200, P1500, last look, cut, fine, rest".
 *
 * Steps are parted by commas. A step may begin with what is done (level, refine, buff); without it
 * the first grit levels, the other grits refine, and what is no grit is a compound to buff with. */
#pragma once
#include <rakelight/job.h>

#define RAKE_SCHEDULE_ERROR (rake_schedule_error_quark ())
GQuark rake_schedule_error_quark (void);

typedef enum
{
  RAKE_SCHEDULE_ERROR_TEXT, /* a step that cannot be read; the message names it and what to write */
} RakeScheduleError;

/* A list fit for RakeScheduleBody.stages, every stage with a new id, 1 to 20 of them; free with
 * g_array_unref(). The median grain is filled in where the grade is known. A bare number ("800") is
 * refused: it does not say which system it is of; so is a grade that does not exist ("P900").
 * NULL with RAKE_SCHEDULE_ERROR_TEXT. */
GArray *rake_schedule_parse (const char *text, GError **error);

/* The same in words, as rake_schedule_parse() reads it. Caller frees. */
char *rake_schedule_to_text (const GArray *stages);

/* A usual schedule to begin with (common practice, no source: level with P800, refine twice, look
 * with two lamps, buff twice, rest; satin ends in one even scratch). */
const char *rake_schedule_get_usual_text (RakeFinish finish, RakeSheen sheen);

/* TRUE for what is written like a grit: P800, #1000, 400 CAMI, 5 µm; whether there is one or not. */
gboolean rake_schedule_is_grit (const char *grade);

/* A schedule entry for @face: the stages that it has gone through stay, then come @grades (the first of
 * them levels when none did), a last look, the compounds planned before (or usual ones; none for
 * RAKE_BUFFING_NONE) and the rest. A stage that is planned again keeps its id, and with it what zones
 * and passes say of it.
 *
 * grades   closed by NULL; may be empty: nothing more to sand
 * returns  a new entry that the caller owns */
RakeEntry *rake_schedule_new_from_grades (const RakeFace *face, const char *const *grades,
                                          RakeBuffing buffing);
