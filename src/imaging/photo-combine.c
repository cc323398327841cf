/* photo-combine.c - several readings of one face made one: which islands, and how sure. */
#include "combine.h"

#include "../core/i18n.h"

#include <math.h>
#include <string.h>

/* An island of which so much is another's already is that one, seen again. */
#define SAME_SHARE 0.4

/* Another photograph shows it, or could. */
#define SHOWN_SHARE 0.3
#define ABLE_SHARE 0.5

/* What a sure photograph adds that shows it too, and what one takes away that does not. From a single
 * photograph a sixth of the islands is missed and a twelfth of what is proposed is none
 * (docs/photo-reading.md): so not seen twice is doubt, not disproof. */
#define AGREEMENT 0.7
#define DISSENT 0.5

typedef struct
{
  const RakePhotoSpot *spot;
  guint reading, place;
  double weight;
} Claim;

typedef struct
{
  const RakeRaster *raster;
  const RakePhotoSight *sights[RAKE_PHOTO_MAX_TOGETHER];
  guint n_readings;
  guint8 *taken;   /* 1 where an island has been accepted */
  guint32 *labels; /* all 0 between two uses */
} Table;

/* What all photographs show in one island's place. */
typedef struct
{
  const Table *table;
  double n, n_taken;
  double n_legible[RAKE_PHOTO_MAX_TOGETHER], n_gloss[RAKE_PHOTO_MAX_TOGETHER];
  double sum_sure[RAKE_PHOTO_MAX_TOGETHER];
} Survey;

static void
survey_run (gsize begin, gsize n, gpointer data)
{
  Survey *survey = data;

  survey->n += (double) n;
  for (gsize i = begin; i < begin + n; i++)
    survey->n_taken += survey->table->taken[i];
  for (guint k = 0; k < survey->table->n_readings; k++)
    for (gsize i = begin; i < begin + n; i++)
      {
        guint8 cell = survey->table->sights[k]->cells[i];

        survey->n_legible[k] += (cell & RAKE_SIGHT_SURE) != 0;
        survey->n_gloss[k] += (cell & RAKE_SIGHT_GLOSS) != 0;
        survey->sum_sure[k] += (double) (cell & RAKE_SIGHT_SURE) / RAKE_SIGHT_SUREST;
      }
}

static int
compare_claims (gconstpointer a, gconstpointer b)
{
  const Claim *x = a, *y = b;

  if (x->weight != y->weight)
    return x->weight > y->weight ? -1 : 1;
  if (x->reading != y->reading)
    return x->reading < y->reading ? -1 : 1;
  return (x->place > y->place) - (x->place < y->place);
}

/* The surest first: a photograph that shows its place badly has to stand back. */
static GArray *
list_claims (const Table *table, const RakePhotoReading *const *readings)
{
  GArray *claims = g_array_new (FALSE, FALSE, sizeof (Claim));

  for (guint k = 0; k < table->n_readings; k++)
    for (guint i = 0; i < readings[k]->spots->len; i++)
      {
        const RakePhotoSpot *spot = readings[k]->spots->pdata[i];
        Survey survey = { .table = table };
        Claim claim = { spot, k, i, 0 };

        rake_raster_visit (table->raster, spot->area, survey_run, &survey);
        if (survey.n < 1)
          continue;
        claim.weight = spot->confidence * (0.25 + 0.75 * survey.sum_sure[k] / survey.n);
        g_array_append_val (claims, claim);
      }
  g_array_sort (claims, compare_claims);
  return claims;
}

static void
take_run (gsize begin, gsize n, gpointer data)
{
  const Table *table = data;

  for (gsize i = begin; i < begin + n; i++)
    {
      table->labels[i] = table->taken[i] == 0;
      table->taken[i] = 1;
    }
}

static void
clear_run (gsize begin, gsize n, gpointer data)
{
  const Table *table = data;

  memset (table->labels + begin, 0, n * sizeof *table->labels);
}

/* The island's place is taken from now on; what of it was taken already is left out. */
static RakeShape *
take (const Table *table, RakeShape *area, gboolean is_whole)
{
  RakeBounds bounds = rake_shape_get_bounds (area);
  const RakeRaster *raster = table->raster;
  RakeShape *rest;

  rake_raster_visit (raster, area, take_run, (gpointer) table);
  if (is_whole)
    rest = rake_shape_ref (area);
  else
    rest = rake_raster_trace (raster, table->labels, 1,
                              CLAMP ((int) ((bounds.min_x_mm - raster->x_mm) / raster->cell_mm) - 1,
                                     0, raster->width - 1),
                              CLAMP ((int) ((bounds.min_y_mm - raster->y_mm) / raster->cell_mm) - 1,
                                     0, raster->height - 1),
                              CLAMP ((int) ((bounds.max_x_mm - raster->x_mm) / raster->cell_mm) + 1,
                                     0, raster->width - 1),
                              CLAMP ((int) ((bounds.max_y_mm - raster->y_mm) / raster->cell_mm) + 1,
                                     0, raster->height - 1));
  rake_raster_visit (raster, area, clear_run, (gpointer) table);
  return rest;
}

/* Lets the other photographs say what they think of it. */
static void
hear_others (const Survey *survey, guint reading, RakePhotoSpot *spot)
{
  double doubt = 1 - spot->confidence, trust = 1;

  for (guint k = 0; k < survey->table->n_readings; k++)
    {
      double sure = survey->sum_sure[k] / survey->n;

      if (k == reading)
        continue;
      if (survey->n_gloss[k] >= SHOWN_SHARE * survey->n)
        {
          doubt *= 1 - AGREEMENT * sure;
          spot->n_showing++;
          spot->n_able++;
          spot->showing |= 1u << k;
        }
      else if (survey->n_legible[k] >= ABLE_SHARE * survey->n)
        {
          trust *= 1 - DISSENT * sure;
          spot->n_able++;
        }
    }
  spot->confidence = (1 - doubt) * trust;
}

static char *
say_why (const RakePhotoSpot *spot, const RakePhotoSpot *from)
{
  if (spot->n_able == 1)
    return g_strdup (from->why);
  return g_strdup_printf (
      /* Translators: the first is a whole sentence without its full stop; the last is 2 or more. */
      ngettext ("%s; shown by %u of the %u photograph that could show it",
                "%s; shown by %u of the %u photographs that could show it", spot->n_able),
      from->why, spot->n_showing, spot->n_able);
}

static void
accept_claim (const Table *table, const Claim *claim, GPtrArray *spots)
{
  Survey survey = { .table = table };
  RakePhotoSpot *spot;
  RakeShape *area;

  rake_raster_visit (table->raster, claim->spot->area, survey_run, &survey);
  if (survey.n_taken >= SAME_SHARE * survey.n)
    return;
  area = take (table, claim->spot->area, survey.n_taken < 1);
  if (area == NULL)
    return;
  spot = g_new0 (RakePhotoSpot, 1);
  *spot = *claim->spot;
  spot->area = area;
  spot->area_mm2 = rake_shape_get_area_mm2 (area);
  spot->showing = 1u << claim->reading;
  hear_others (&survey, claim->reading, spot);
  spot->why = say_why (spot, claim->spot);
  g_ptr_array_add (spots, spot);
}

static int
compare_places (gconstpointer a, gconstpointer b)
{
  const RakePhotoSpot *x = *(const RakePhotoSpot *const *) a;
  const RakePhotoSpot *y = *(const RakePhotoSpot *const *) b;
  RakeBounds p = rake_shape_get_bounds (x->area), q = rake_shape_get_bounds (y->area);

  if (p.min_y_mm != q.min_y_mm)
    return p.min_y_mm < q.min_y_mm ? -1 : 1;
  return (p.min_x_mm > q.min_x_mm) - (p.min_x_mm < q.min_x_mm);
}

void
rake_combine_spots (const RakePhotoReading *const *readings, guint n_readings,
                    RakePhotoReading *together)
{
  const RakeRaster *raster = &readings[0]->sight->raster;
  gsize n = rake_raster_get_size (raster);
  g_autofree guint8 *taken = g_new0 (guint8, n);
  g_autofree guint32 *labels = g_new0 (guint32, n);
  Table table = { .raster = raster, .n_readings = n_readings, .taken = taken, .labels = labels };
  g_autoptr (GArray) claims = NULL;

  for (guint k = 0; k < n_readings; k++)
    table.sights[k] = readings[k]->sight;
  claims = list_claims (&table, readings);
  for (guint i = 0; i < claims->len; i++)
    accept_claim (&table, &g_array_index (claims, Claim, i), together->spots);
  g_ptr_array_sort (together->spots, compare_places);
}

/* --- all of it ------------------------------------------------------------------------------- */

static gboolean
is_of_same_face (const RakePhotoSight *a, const RakePhotoSight *b)
{
  const RakeRaster *p = &a->raster, *q = &b->raster;

  return p->x_mm == q->x_mm && p->y_mm == q->y_mm && p->cell_mm == q->cell_mm &&
         p->width == q->width && p->height == q->height &&
         memcmp (a->zone, b->zone, rake_raster_get_size (&a->raster)) == 0;
}

/* From bits of those that could be read to bits of all. */
static guint
spread (guint showing, const guint *places)
{
  guint spread = 0;

  for (guint k = 0; k < RAKE_PHOTO_MAX_TOGETHER; k++)
    if ((showing >> k & 1) != 0)
      spread |= 1u << places[k];
  return spread;
}

static void
name_photographs (RakePhotoReading *together, const guint *places)
{
  for (guint i = 0; i < together->spots->len; i++)
    {
      RakePhotoSpot *spot = together->spots->pdata[i];
      spot->showing = spread (spot->showing, places);
    }
  for (guint i = 0; i < together->scratches->len; i++)
    {
      RakePhotoScratch *scratch = together->scratches->pdata[i];
      scratch->showing = spread (scratch->showing, places);
    }
}

RakePhotoReading *
rake_photo_reading_combine (const RakePhotoReading *const *readings, guint n_readings,
                            GError **error)
{
  const RakePhotoReading *able[RAKE_PHOTO_MAX_TOGETHER] = { NULL };
  RakePhotoReading *together;
  guint n_able = 0, places[RAKE_PHOTO_MAX_TOGETHER] = { 0 };

  g_return_val_if_fail (n_readings >= 1 && n_readings <= RAKE_PHOTO_MAX_TOGETHER, NULL);
  for (guint k = 0; k < n_readings; k++)
    if (readings[k]->sight != NULL)
      {
        places[n_able] = k;
        able[n_able++] = readings[k];
      }
  for (guint k = 0; k < n_readings; k++)
    if (readings[k]->n_zones != readings[0]->n_zones ||
        (readings[k]->sight != NULL && !is_of_same_face (able[0]->sight, readings[k]->sight)))
      {
        g_set_error_literal (error, RAKE_PHOTO_READING_ERROR, RAKE_PHOTO_READING_ERROR_TOGETHER,
                             _ ("The photographs are not of one face with the same zones"));
        return NULL;
      }
  together = rake_photo_reading_new (readings[0]->n_zones);
  if (n_able == 0)
    {
      rake_photo_reading_decline (together, readings[0]->obstacle);
      return together;
    }
  rake_combine_spots (able, n_able, together);
  rake_combine_scratches (able, n_able, together);
  rake_combine_zones (able, n_able, together);
  name_photographs (together, places);
  return together;
}
