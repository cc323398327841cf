/* grade.c - reading what people write for an abrasive grade, and grades of one size. */
#include <rakelight/grade.h>

#include "i18n.h"

#include <math.h>
#include <string.h>

#define LEAST_UM 0.1
#define LARGEST_UM 2000

G_DEFINE_QUARK (rake-grade-error-quark, rake_grade_error)

/* --- reading -------------------------------------------------------------------------------- */

typedef enum
{
  BEFORE = 1 << 0, /* the number */
  AFTER = 1 << 1,
} Place;

/* Casefolded, without spaces. "fepa" and "jis" may stand before a sign of their own. */
static const struct
{
  const char *word;
  RakeGradeSystem system;
  Place places;
} words[] = {
  { "p", RAKE_GRADE_SYSTEM_P, BEFORE },
  { "fepa", RAKE_GRADE_SYSTEM_P, BEFORE | AFTER },
  { "fepap", RAKE_GRADE_SYSTEM_P, BEFORE },
  { "cami", RAKE_GRADE_SYSTEM_CAMI, BEFORE | AFTER },
  { "cami#", RAKE_GRADE_SYSTEM_CAMI, BEFORE },
  { "#", RAKE_GRADE_SYSTEM_JIS, BEFORE },
  { "jis", RAKE_GRADE_SYSTEM_JIS, BEFORE | AFTER },
  { "jis#", RAKE_GRADE_SYSTEM_JIS, BEFORE },
  { "μm", RAKE_GRADE_SYSTEM_MICRON, AFTER },
  { "um", RAKE_GRADE_SYSTEM_MICRON, AFTER },
  { "micron", RAKE_GRADE_SYSTEM_MICRON, AFTER },
  { "microns", RAKE_GRADE_SYSTEM_MICRON, AFTER },
  { "mikron", RAKE_GRADE_SYSTEM_MICRON, AFTER },
  /* These say what is counted, but not how. */
  { "grit", RAKE_GRADE_SYSTEM_UNSAID, BEFORE | AFTER },
  { "", RAKE_GRADE_SYSTEM_UNSAID, BEFORE | AFTER },
};

static gboolean
find_word (const char *text, Place place, RakeGradeSystem *system)
{
  for (gsize i = 0; i < G_N_ELEMENTS (words); i++)
    if ((words[i].places & place) != 0 && g_str_equal (words[i].word, text))
      {
        *system = words[i].system;
        return TRUE;
      }
  return FALSE;
}

/* Casefolded, and without any space; the two signs for micro are one then. NULL when it is no text. */
static char *
squeeze (const char *text)
{
  g_autofree char *folded = g_utf8_validate (text, -1, NULL) ? g_utf8_casefold (text, -1) : NULL;
  GString *squeezed;

  if (folded == NULL)
    return NULL;
  squeezed = g_string_new (NULL);
  for (const char *c = folded; *c != '\0'; c = g_utf8_next_char (c))
    if (!g_unichar_isspace (g_utf8_get_char (c)))
      g_string_append_unichar (squeezed, g_utf8_get_char (c));
  return g_string_free (squeezed, FALSE);
}

/* Takes @text apart into what stands before the number, the number, and what stands after it. */
static gboolean
take_apart (const char *text, RakeGradeSystem *system, double *number)
{
  gsize start = strcspn (text, "0123456789");
  gsize length = strspn (text + start, "0123456789.,");
  g_autofree char *before = g_strndup (text, start);
  g_autofree char *digits = g_strndup (text + start, length);
  RakeGradeSystem one, other;
  char *mark = strpbrk (digits, ".,");

  if (length == 0 || length > 8 || (mark != NULL && strpbrk (mark + 1, ".,") != NULL) ||
      !find_word (before, BEFORE, &one) || !find_word (text + start + length, AFTER, &other))
    return FALSE;
  if (mark != NULL)
    *mark = '.';
  *system = one != RAKE_GRADE_SYSTEM_UNSAID ? one : other;
  *number = g_ascii_strtod (digits, NULL);
  return one == RAKE_GRADE_SYSTEM_UNSAID || other == RAKE_GRADE_SYSTEM_UNSAID || one == other;
}

static gboolean
refuse_none_such (RakeGradeSystem system, double number, GError **error)
{
  const RakeGrade *coarser = NULL, *finer = NULL;
  RakeGrade wanted = { .system = system, .number = number };
  g_autofree char *name = rake_grade_to_text (&wanted);
  g_autofree char *coarser_name = NULL, *finer_name = NULL;

  for (guint i = 0; i < rake_grade_get_n (); i++)
    {
      const RakeGrade *row = rake_grade_get (i);

      if (row->system == system && row->number < number)
        coarser = row;
      if (row->system == system && row->number > number && finer == NULL)
        finer = row;
    }
  coarser_name = coarser != NULL ? rake_grade_to_text (coarser) : NULL;
  finer_name = finer != NULL ? rake_grade_to_text (finer) : NULL;
  if (coarser != NULL && finer != NULL)
    g_set_error (error, RAKE_GRADE_ERROR, RAKE_GRADE_ERROR_NONE_SUCH,
                 _ ("There is no grade %s: the nearest are %s and %s"), name, coarser_name,
                 finer_name);
  else if (finer != NULL)
    g_set_error (error, RAKE_GRADE_ERROR, RAKE_GRADE_ERROR_NONE_SUCH,
                 _ ("%s is too coarse for a clear film: the coarsest known here is %s"), name,
                 finer_name);
  else
    g_set_error (error, RAKE_GRADE_ERROR, RAKE_GRADE_ERROR_NONE_SUCH,
                 _ ("There is no grade %s: the finest is %s"), name, coarser_name);
  return FALSE;
}

static gboolean
make_micron (double size_um, RakeGrade *grade, GError **error)
{
  if (!(size_um >= LEAST_UM && size_um <= LARGEST_UM))
    {
      g_set_error (error, RAKE_GRADE_ERROR, RAKE_GRADE_ERROR_NONE_SUCH,
                   _ ("No abrasive has grains of %g µm: write a size from %g to %d µm"), size_um,
                   LEAST_UM, LARGEST_UM);
      return FALSE;
    }
  *grade = (RakeGrade){ RAKE_GRADE_SYSTEM_MICRON, size_um, size_um, NAN, RAKE_GRADE_READ,
                        "by definition: the size is the name" };
  return TRUE;
}

/* Digits alone, of what was written: what the refusal shows how to write. */
static char *
get_digits (const char *text)
{
  gsize start = strcspn (text, "0123456789");

  return g_strndup (text + start, strspn (text + start, "0123456789.,"));
}

gboolean
rake_grade_parse (const char *text, RakeGrade *grade, GError **error)
{
  g_autofree char *squeezed = squeeze (text);
  RakeGradeSystem system;
  double number;

  if (squeezed == NULL || !take_apart (squeezed, &system, &number))
    {
      g_autofree char *shown = g_utf8_make_valid (text, -1);

      g_set_error (
          error, RAKE_GRADE_ERROR, RAKE_GRADE_ERROR_TEXT,
          _ ("“%s” is not written like a grade: write it as P800, 400 CAMI, #1000 or 5 µm"), shown);
      return FALSE;
    }
  if (system == RAKE_GRADE_SYSTEM_UNSAID)
    {
      g_autofree char *digits = get_digits (squeezed);

      g_set_error (error, RAKE_GRADE_ERROR, RAKE_GRADE_ERROR_NO_SYSTEM,
                   _ ("“%s” does not say which grades it counts: write P%s, %s CAMI or #%s"), text,
                   digits, digits, digits);
      return FALSE;
    }
  if (system == RAKE_GRADE_SYSTEM_MICRON)
    return make_micron (number, grade, error);
  for (guint i = 0; i < rake_grade_get_n (); i++)
    {
      const RakeGrade *row = rake_grade_get (i);

      if (row->system == system && row->number == number)
        {
          *grade = *row;
          return TRUE;
        }
    }
  return refuse_none_such (system, number, error);
}

/* --- writing -------------------------------------------------------------------------------- */

char *
rake_grade_to_text (const RakeGrade *grade)
{
  static const char *const forms[RAKE_N_GRADE_SYSTEMS] = { "%s", "P%s", "CAMI %s", "#%s", "%s µm" };
  char number[G_ASCII_DTOSTR_BUF_SIZE];
  const char *form = forms[grade->system < RAKE_N_GRADE_SYSTEMS ? grade->system : 0];
  GString *text = g_string_new (form);

  g_ascii_formatd (number, sizeof number, "%.6g", grade->number);
  g_string_replace (text, "%s", number, 1);
  return g_string_free (text, FALSE);
}

const char *
rake_grade_system_get_label (RakeGradeSystem system)
{
  switch (system)
    {
    case RAKE_GRADE_SYSTEM_P:
      return "FEPA P";
    case RAKE_GRADE_SYSTEM_CAMI:
      return "CAMI";
    case RAKE_GRADE_SYSTEM_JIS:
      return "JIS";
    case RAKE_GRADE_SYSTEM_MICRON:
      return _ ("micrometres");
    case RAKE_GRADE_SYSTEM_UNSAID:
    case RAKE_N_GRADE_SYSTEMS:
    default:
      return _ ("not said");
    }
}

/* --- grades of one size ----------------------------------------------------------------------- */

const RakeGrade *
rake_grade_find_nearest (double d50_um, RakeGradeSystem system)
{
  const RakeGrade *nearest = NULL;
  double least = INFINITY;

  if (!isfinite (d50_um) || d50_um <= 0)
    return NULL;
  for (guint i = 0; i < rake_grade_get_n (); i++)
    {
      const RakeGrade *row = rake_grade_get (i);
      double off = fabs (log (row->d50_um / d50_um));

      /* Coarsest first, so of two equally near the finer wins; 1e-12 is what log may be off. */
      if (row->system == system && off <= least + 1e-12)
        {
          nearest = row;
          least = MIN (off, least);
        }
    }
  return nearest;
}

typedef struct
{
  double d50_um, ratio;
} Tail;

/* Coarsest first. JIS #800, #1500 and #2000 by the table's 3 % and 50 % points; P800, P1500 and P2000
 * from memory of the FEPA table's. */
static const Tail jis_tails[] = { { 14.0, 31.0 / 14.0 }, { 8.0, 20.0 / 8.0 }, { 6.7, 17.0 / 6.7 } };
static const Tail p_tails[] = { { 21.8, 1.75 }, { 12.6, 2.05 }, { 10.3, 2.17 } };

double
rake_grade_get_coarse_ratio (const RakeGrade *grade)
{
  gboolean is_loose =
      grade->system == RAKE_GRADE_SYSTEM_JIS || grade->system == RAKE_GRADE_SYSTEM_CAMI;
  const Tail *tails = is_loose ? jis_tails : p_tails;
  guint n = G_N_ELEMENTS (jis_tails);

  if (!isfinite (grade->d50_um) || grade->d50_um <= 0)
    return NAN;
  for (guint i = 0; i < n; i++)
    if (grade->d50_um >= tails[i].d50_um)
      {
        double share;

        if (i == 0)
          return tails[0].ratio;
        share =
            log (tails[i - 1].d50_um / grade->d50_um) / log (tails[i - 1].d50_um / tails[i].d50_um);
        return tails[i - 1].ratio + share * (tails[i].ratio - tails[i - 1].ratio);
      }
  return tails[n - 1].ratio;
}
