/* grade.h - abrasive grades: reading what people write, the median grain it stands for, and the
 * nearest grade of another system.
 *
 * One table: FEPA P (FEPA 43-1, ISO 6344), CAMI (ANSI B74.18), JIS R 6001 and plain micrometres. Each
 * row says where its number was read; docs/checks.md has the sources in full. Grades of different
 * systems are compared by median grain size alone: what strays is another matter, see
 * rake_grade_get_coarse_ratio(). */
#pragma once
#include <glib.h>

#define RAKE_GRADE_ERROR (rake_grade_error_quark ())
GQuark rake_grade_error_quark (void);

typedef enum
{
  RAKE_GRADE_ERROR_TEXT,      /* not written like a grade */
  RAKE_GRADE_ERROR_NO_SYSTEM, /* a bare number: the message asks which system */
  RAKE_GRADE_ERROR_NONE_SUCH, /* no such grade in that system: the message names the nearest */
} RakeGradeError;

typedef enum
{
  RAKE_GRADE_SYSTEM_UNSAID,
  RAKE_GRADE_SYSTEM_P,
  RAKE_GRADE_SYSTEM_CAMI,
  RAKE_GRADE_SYSTEM_JIS,
  RAKE_GRADE_SYSTEM_MICRON,
  RAKE_N_GRADE_SYSTEMS,
} RakeGradeSystem;

typedef enum
{
  RAKE_GRADE_READ,        /* the number was read in a source, or is the grade's own name */
  RAKE_GRADE_REMEMBERED,  /* from memory, not confirmed in a source */
  RAKE_GRADE_APPROXIMATE, /* the series continued: shown as "about" */
} RakeGradeStanding;

typedef struct
{
  RakeGradeSystem system;
  double number;        /* 800; for micrometres the grain size itself */
  double d50_um;        /* median grain size */
  double tolerance_um;  /* of the median; NaN: graded by sieves, or not known */
  RakeGradeStanding standing;
  const char *source;   /* short, English: "comparison table of 2008; …" */
} RakeGrade;

/* The table, coarsest first within each system, the systems in the order of the enumeration. Plain
 * micrometres have the usual sizes of lapping film; any other size can be written too. */
guint rake_grade_get_n (void);
const RakeGrade *rake_grade_get (guint index);

/* Reads P800, p 800, 800 CAMI, CAMI 800, #1000, JIS 1000, 5 µm, 5um, 3,5 micron: spaces and capitals
 * do not matter, nor whether a comma or a point stands. Never guesses: "800" is NO_SYSTEM. Micrometres
 * are those from 0.1 to 2000.
 *
 * grade    out: a copy of the row, or for micrometres one made up; untouched on FALSE */
gboolean rake_grade_parse (const char *text, RakeGrade *grade, GError **error);

/* "P800", "CAMI 400", "#1000", "5 µm": a name, written alike in every language. Caller frees. */
char *rake_grade_to_text (const RakeGrade *grade);

/* The row of @system nearest in |log (d50 ratio)|, the finer of two that are equally near; NULL when
 * @d50_um is not finite and above 0, and for UNSAID. */
const RakeGrade *rake_grade_find_nearest (double d50_um, RakeGradeSystem system);

/* How much coarser than the median the coarsest few grains are (d3 / d50): what a stray scratch of the
 * grade may be deeper than its general one. JIS by its table, P from memory, each known at three grades
 * and in between by the log of the grain, beyond them as at the last; CAMI is taken as JIS, micrometres
 * as P (estimates). */
double rake_grade_get_coarse_ratio (const RakeGrade *grade);

/* "FEPA P", "CAMI", "JIS", "micrometres": translated. */
const char *rake_grade_system_get_label (RakeGradeSystem system);
