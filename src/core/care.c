/* care.c - see care.h. */
#include <rakelight/care.h>

#include "i18n.h"

static const char *const for_all[] = {
  N_ ("Dust with a soft, clean, dry cloth and little pressure: it is the grit under the cloth that "
      "scratches."),
  N_ ("Wipe off sweat and finger marks with a cloth barely damp with water, and dry at once."),
  N_ ("Use no polish or spray with silicone: it cannot be seen, and spoils any later repair."),
  N_ ("Keep it out of direct sun, away from radiators, and out of a parked car. An even room is best, "
      "neither very dry nor very damp."),
  N_ ("A new finish goes on hardening for weeks. For that time lay nothing soft on it, above all no "
      "plastic, rubber or dyed leather, and do not wrap it tightly."),
  NULL,
};

/* Dissolved by alcohol, softened by plasticisers; a repair fuses with it. */
static const char *const for_lacquer[] = {
  N_ ("Alcohol, perfume, insect repellent and hand disinfectant dissolve it. Blot a spill at once; do "
      "not rub."),
  N_ ("Rubber and vinyl, as on stands and straps, soften it and leave marks: cover them with cotton."),
  N_ ("Do not take it quickly from cold to warm: let it warm up in its closed case, or it may crack "
      "finely."),
  N_ ("Small damage can be filled so that the repair becomes one with the finish. The sooner it is "
      "seen to, the less shows."),
  NULL,
};
static const char *const for_shellac[] = {
  N_ ("Alcohol dissolves it, heat softens it, standing water leaves it white: put coasters under "
      "glasses and cups."),
  N_ ("Small damage can be worked over so that the repair becomes one with the finish."),
  NULL,
};
static const char *const for_hard[] = {
  N_ ("It bears water and most household spills when they are wiped off soon. Use no scouring cream and "
      "no strong solvent."),
  N_ ("A hard knock chips it rather than dents it. Keep the chip, and have it seen to before dirt gets "
      "under the edge."),
  N_ ("A new coat does not fuse with the old one: a lasting repair is often of a whole face."),
  NULL,
};
static const char *const for_oil[] = {
  N_ ("It goes on hardening for months and darkens a little with the years."),
  N_ ("Wipe up standing water; put felt under what stands on it for long."),
  N_ ("A new coat does not fuse with the old one: a repair may show as a faint line."),
  NULL,
};
static const char *const for_gloss[] = {
  N_ ("Fine circles from wiping can be polished out by the shop. Each time takes a little of the film, so "
      "not often."),
  NULL,
};
static const char *const for_satin[] = {
  N_ ("Rubbing polishes a satin finish in patches: wipe lightly and along the grain, and use no polish."),
  NULL,
};

static const char *const *
advice_for_family (RakeFinish finish)
{
  switch (finish)
    {
    case RAKE_FINISH_NITROCELLULOSE:
    case RAKE_FINISH_ACRYLIC_LACQUER:
      return for_lacquer;
    case RAKE_FINISH_SHELLAC:
      return for_shellac;
    case RAKE_FINISH_OIL_VARNISH:
      return for_oil;
    case RAKE_FINISH_WATERBORNE:
    case RAKE_FINISH_POLYURETHANE_2K:
    case RAKE_FINISH_POLYESTER:
    case RAKE_FINISH_CONVERSION_VARNISH:
    case RAKE_FINISH_UV_CURED:
      return for_hard;
    case RAKE_FINISH_UNSAID:
    case RAKE_FINISH_OTHER:
    case RAKE_N_FINISHES:
    default:
      return NULL;
    }
}

static void
add (GPtrArray *list, const char *const *advice)
{
  for (guint i = 0; advice != NULL && advice[i] != NULL; i++)
    g_ptr_array_add (list, (gpointer) advice[i]);
}

GPtrArray *
rake_care_list (RakeFinish finish, RakeSheen sheen)
{
  GPtrArray *list = g_ptr_array_new ();

  add (list, for_all);
  add (list, advice_for_family (finish));
  if (sheen == RAKE_SHEEN_SATIN)
    add (list, for_satin);
  else if (sheen != RAKE_SHEEN_UNSAID)
    add (list, for_gloss);
  return list;
}

char *
rake_care_to_text (RakeFinish finish, RakeSheen sheen)
{
  g_autoptr (GPtrArray) list = rake_care_list (finish, sheen);
  GString *text = g_string_new (NULL);

  for (guint i = 0; i < list->len; i++)
    g_string_append_printf (text, "%s%s", i > 0 ? "\n" : "", _ (list->pdata[i]));
  return g_string_free (text, FALSE);
}
