/* print-words.h - numbers, times and things of the job as they stand on paper. Private to src/report.
 *
 * Times are ISO dates and the 24 hour clock of the bench, which no reader takes for another day. What
 * is not known is a dash. Texts that are returned as char * are the caller's. */
#pragma once
#include "rakelight-config.h"

#include <rakelight/job.h>
#include <rakelight/statistics.h>
#include <rakelight/units.h>

#define GETTEXT_PACKAGE RAKE_GETTEXT_DOMAIN
#include <glib/gi18n-lib.h>

char *rake_print_day (gint64 unix_ms, int utc_offset_minutes);
char *rake_print_time (gint64 unix_ms, int utc_offset_minutes);

/* With the decimal sign of the language, and that many decimals. */
char *rake_print_number (double value, guint n_decimals);

/* @text with spaces that no line breaks at between a number and its unit, and around ± and ×. */
char *rake_print_together (const char *text);

/* "42.5 µm": the number, a space that does not break, the unit. */
char *rake_print_measure (double value, guint n_decimals, const char *unit);
char *rake_print_share (double fraction);

/* In the shown unit: so many decimals where that is the stored one, else two. */
char *rake_print_film (double film_um, guint n_decimals);
char *rake_print_length (double length_mm, guint n_decimals);
char *rake_print_area (double area_mm2);

/* "42.5 ± 3.1 µm": a mean with its doubt, where it has one. */
char *rake_print_normal (RakeNormal film, guint n_decimals);

/* What a quantity was read as: with @is_span a difference of two, which has no zero. */
char *rake_print_quantity (RakeQuantity quantity, double value, gboolean is_span);

/* "40.00 EUR"; NULL where nothing was said. */
char *rake_print_cost (double cost, const char *currency);
char *rake_print_direction (double deg);

/* "Level P800". @grade may be NULL or empty. */
char *rake_print_step (RakeAction action, const char *grade);
char *rake_print_stage (const RakeStage *stage);

/* One word for each, NULL where nothing was said. */
const char *rake_print_surface (RakeSurface surface);
const char *rake_print_light (RakeLight light);
const char *rake_print_paper (RakePaper paper);
const char *rake_print_sheen (RakeSheen sheen);
const char *rake_print_answer (RakeAnswer answer);
const char *rake_print_repair (RakeRepairMethod method);

/* "wiped with dry cloth", NULL where nothing was said. */
char *rake_print_wiped (RakeWipe wipe);

/* "120 mm from the left, 35 mm from the top" of the face's outline, by the middle of its box. */
char *rake_print_place (const RakeShape *shape, const RakeShape *outline);

/* "49 mm long", "12 × 8 mm": NULL for a point. */
char *rake_print_size (const RakeShape *shape);

/* The seal in groups of eight, to be read aloud and typed. */
char *rake_print_seal (const char *seal);

/* @part appended, after a comma where something stands already; NULL and "" are passed over. */
void rake_print_add (GString *line, const char *part);
