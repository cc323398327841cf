/* film-say.c - the ledger in words. */
#include "film-private.h"

#include <rakelight/coating.h>

#include "i18n.h"

#include <math.h>

static const char *
name_origin (RakeRateOrigin origin)
{
  switch (origin)
    {
    case RAKE_RATE_UNKNOWN:
      return _ ("rate not known");
    case RAKE_RATE_ASSUMED:
      return _ ("rate assumed");
    case RAKE_RATE_OF_SHOP:
      return _ ("rate of the shop");
    case RAKE_RATE_LEARNED:
      return _ ("rate learned on this job");
    }
  g_return_val_if_reached ("");
}

static char *
describe_passes (const RakeFilmLine *line)
{
  const char *stage = line->stage != NULL && *line->stage->grade != '\0'
                          ? line->stage->grade
                          : _ ("a stage no longer planned");

  /* Translators: how many passes, a grade or compound, where the rate comes from. */
  return g_strdup_printf (
      g_dngettext (GETTEXT_PACKAGE, "%u pass at %s, %s", "%u passes at %s, %s", line->n_passes),
      line->n_passes, stage, name_origin (line->origin));
}

static char *
describe_coat (const RakeFilmLine *line)
{
  if (line->entry->kind == RAKE_ENTRY_REPAIR)
    return g_strdup (isnan (line->change.mean) ? _ ("Recoat, its film not said") : _ ("Recoat"));
  switch ((RakeCoatingWay) line->way)
    {
    case RAKE_COATING_UNKNOWN:
      return g_strdup (_ ("Coat, its film not said"));
    case RAKE_COATING_FROM_DRY:
      return g_strdup (_ ("Coat, dry film as said"));
    case RAKE_COATING_FROM_WET:
      return g_strdup (_ ("Coat, from the wet film"));
    case RAKE_COATING_FROM_MASS:
      return g_strdup (_ ("Coat, from what was sprayed"));
    }
  g_return_val_if_reached (g_strdup (""));
}

static char *
describe_repair (const RakeFilmLine *line)
{
  switch (line->entry->repair.method)
    {
    case RAKE_REPAIR_DROP_FILL:
    case RAKE_REPAIR_FILL:
      return g_strdup (line->change.mean == 0 ? _ ("Fill: raises its spot, not the zone")
                                              : _ ("Fill"));
    case RAKE_REPAIR_SCRAPED:
      return g_strdup (_ ("Scraped level"));
    case RAKE_REPAIR_LEVELLED:
      return g_strdup (_ ("Sanded out"));
    case RAKE_REPAIR_RECOAT:
      return g_strdup (_ ("Scuffed for the recoat"));
    case RAKE_REPAIR_UNSAID:
    case RAKE_REPAIR_COLOUR:
      break;
    }
  return g_strdup (_ ("Repair"));
}

char *
rake_film_line_describe (const RakeFilmLine *line)
{
  g_return_val_if_fail (line != NULL, NULL);

  switch (line->kind)
    {
    case RAKE_FILM_COAT:
      return describe_coat (line);
    case RAKE_FILM_SCUFF:
      return g_strdup (_ ("Scuffed before the coat"));
    case RAKE_FILM_READING:
      return g_strdup (_ ("Gauge reading"));
    case RAKE_FILM_PASSES:
      return describe_passes (line);
    case RAKE_FILM_REPAIR:
      return describe_repair (line);
    }
  g_return_val_if_reached (NULL);
}

char *
rake_film_describe_standing (const RakeFilm *film)
{
  g_return_val_if_fail (film != NULL, NULL);

  switch (film->standing)
    {
    case RAKE_FILM_KNOWN:
      return NULL;
    case RAKE_FILM_NO_COATS:
      return g_strdup (_ ("The film is not known: enter the coats, or a gauge reading."));
    case RAKE_FILM_COAT_UNKNOWN:
      return g_strdup (
          _ ("The film is not known: a coat does not say how thick it is. Enter wet film and "
             "solids, or a gauge reading."));
    case RAKE_FILM_RATE_UNKNOWN:
      return g_strdup (
          _ ("The film is not known: nobody knows what a pass with this grade takes. Enter a "
             "gauge reading, or the rate."));
    }
  g_return_val_if_reached (NULL);
}
