/* say.h - numbers, times and things of the job in words, as the widgets around the map say them.
 *
 * All text is translated. A char * that is returned is the caller's, to be freed with g_free(); a
 * const char * is not. */
#pragma once
#include <rakelight/photo.h>
#include <rakelight/rules.h>

/* "46 %", rounded down so that only all of it is 100 %; "under 1 %"; NULL when not finite. */
char *rake_say_share (double fraction);

/* The same to the nearest percent, for a share that should become small. */
char *rake_say_low_share (double fraction);
char *rake_say_area (double area_mm2);     /* "214 cm²" */
char *rake_say_length (double length_mm);  /* "49 mm" */
char *rake_say_direction (double deg);     /* "90°" */

/* "09:41" of the same day at the bench, "Tue 09:41" within a week, else "3 Nov 09:41" with the year
 * where it is another one. The time is the one at the bench where it happened. */
char *rake_say_when (const RakeEntry *entry, gint64 now_ms);
char *rake_say_clock (const RakeEntry *entry);  /* "09:41" */
char *rake_say_day (const RakeEntry *entry);    /* "Tue 3 Nov" */

/* "Level P800", "Last look". */
char *rake_say_stage (const RakeStage *stage);

/* "P800" or, without a grade, "Last look". */
const char *rake_say_grade (const RakeStage *stage);

/* "3 passes at P800" for the zone where it stands. */
char *rake_say_passes (const RakeZone *zone);

/* "dry, wiped with a dry cloth, lamp at 90°" */
char *rake_say_look (const RakeLookBody *look);
const char *rake_say_surface (RakeSurface surface);
const char *rake_say_wipe (RakeWipe wipe);
const char *rake_say_light (RakeLight light);
const char *rake_say_paper (RakePaper paper);
const char *rake_say_repair_method (RakeRepairMethod method);

/* "Scratch, 49 mm" */
char *rake_say_mark (const RakeMark *mark);

/* "Tue 09:41, Level P800" */
char *rake_say_photo (const RakeJob *job, const RakePhoto *photo, gint64 now_ms);

/* The style class that colours a verdict's word, "verdict-sand-again"; "soft" for none. */
const char *rake_say_verdict_class (RakeVerdict verdict);

/* The translated word of a verdict. */
const char *rake_say_verdict (RakeVerdict verdict);
