/* coating.c - how much dry film a coat leaves. */
#include <rakelight/coating.h>
#include <rakelight/units.h>

#include "i18n.h"

#include <math.h>

#define LEAST_SOLIDS 0.01
#define THICKEST_UM 5000   /* far beyond any clear film; more is a slip of the unit */
#define DENSEST_G_PER_ML 10
#define MOST_THINNER 10    /* ten parts to one */
#define CLOSE_ENOUGH 1e-9  /* relative: a spot on the limit passes, whatever a mean was rounded to */

G_DEFINE_QUARK (rake-coating-error-quark, rake_coating_error)

/* --- plain sums ------------------------------------------------------------------------------- */

static gboolean
is_share (double share)
{
  return share > 0 && share <= 1;
}

static gboolean
is_thinner (double thinner)
{
  return thinner >= 0 && thinner <= MOST_THINNER;
}

static gboolean
is_amount (double amount)
{
  return isfinite (amount) && amount > 0;
}

double
rake_coating_thinned_solids (double volume_solids, double thinner)
{
  return is_share (volume_solids) && is_thinner (thinner) ? volume_solids / (1 + thinner) : NAN;
}

double
rake_coating_dry_um (double wet_um, double volume_solids, double thinner)
{
  return isfinite (wet_um) && wet_um >= 0
             ? wet_um * rake_coating_thinned_solids (volume_solids, thinner)
             : NAN;
}

double
rake_coating_wet_um (double dry_um, double volume_solids, double thinner)
{
  return isfinite (dry_um) && dry_um >= 0
             ? dry_um / rake_coating_thinned_solids (volume_solids, thinner)
             : NAN;
}

double
rake_coating_volume_solids (double weight_solids, double density_g_per_ml,
                            double dry_density_g_per_ml)
{
  double solids = weight_solids * density_g_per_ml / dry_density_g_per_ml;

  /* What solids displace can be more than there is only when a density is wrong. */
  return is_share (weight_solids) && is_amount (density_g_per_ml) &&
                 is_amount (dry_density_g_per_ml) && is_share (solids)
             ? solids
             : NAN;
}

double
rake_coating_dry_um_from_mass (double mass_g, double density_g_per_ml, double volume_solids,
                               double transfer, double area_mm2)
{
  if (!isfinite (mass_g) || mass_g < 0 || !is_amount (density_g_per_ml) ||
      !is_share (volume_solids) || !is_share (transfer) || !is_amount (area_mm2))
    return NAN;
  /* One mL on one m² is one µm. */
  return mass_g / density_g_per_ml * volume_solids * transfer / (area_mm2 * 1e-6);
}

double
rake_coating_spreading_m2_per_l (double dry_um, double volume_solids)
{
  return is_amount (dry_um) && is_share (volume_solids) ? 1000 * volume_solids / dry_um : NAN;
}

/* --- a coat ----------------------------------------------------------------------------------- */

static gboolean
refuse_missing (GError **error, const char *sentence)
{
  g_set_error_literal (error, RAKE_COATING_ERROR, RAKE_COATING_ERROR_MISSING, sentence);
  return FALSE;
}

static gboolean
check_film (double film_um, GError **error)
{
  g_autofree char *shown = NULL, *most = NULL;

  if (isnan (film_um) || (film_um >= 0 && film_um <= THICKEST_UM))
    return TRUE;
  shown = rake_units_to_text (RAKE_MEASURE_FILM, film_um);
  most = rake_units_to_text (RAKE_MEASURE_FILM, THICKEST_UM);
  g_set_error (error, RAKE_COATING_ERROR, RAKE_COATING_ERROR_RANGE,
               _ ("No film is %s thick: write a thickness from 0 to %s"), shown, most);
  return FALSE;
}

/* Whoever writes 0.3 for 30 % would be believed without a word. That no finish has so little is common
 * practice, no source. */
static gboolean
is_too_thin (double solids, char **shown)
{
  if (!(solids > 0 && solids < LEAST_SOLIDS))
    return FALSE;
  *shown = rake_units_to_text (RAKE_MEASURE_SHARE, solids);
  return TRUE;
}

/* Says nothing of a share that is unsaid or possible. */
static gboolean
is_impossible (double share, char **shown)
{
  if (isnan (share) || is_share (share))
    return FALSE;
  *shown = rake_units_to_text (RAKE_MEASURE_SHARE, share);
  return TRUE;
}

static gboolean
check_shares (const RakeCoatBody *coat, GError **error)
{
  g_autofree char *shown = NULL;

  if (is_impossible (coat->volume_solids_fraction, &shown))
    g_set_error (error, RAKE_COATING_ERROR, RAKE_COATING_ERROR_RANGE,
                 _ ("Solids of %s are impossible: write the volume solids of the data sheet, "
                    "above 0 to 100 %%"),
                 shown);
  else if (is_impossible (coat->weight_solids_fraction, &shown))
    g_set_error (error, RAKE_COATING_ERROR, RAKE_COATING_ERROR_RANGE,
                 _ ("Solids by weight of %s are impossible: write those of the data sheet, "
                    "above 0 to 100 %%"),
                 shown);
  else if (is_too_thin (coat->volume_solids_fraction, &shown) ||
           is_too_thin (coat->weight_solids_fraction, &shown))
    g_set_error (error, RAKE_COATING_ERROR, RAKE_COATING_ERROR_RANGE,
                 _ ("No finish has solids of only %s: write per cent, such as 30 for 30 %%"),
                 shown);
  else if (is_impossible (coat->transfer_fraction, &shown))
    g_set_error (error, RAKE_COATING_ERROR, RAKE_COATING_ERROR_RANGE,
                 _ ("A transfer of %s is impossible: no more can land than was sprayed, so "
                    "write above 0 to 100 %%"),
                 shown);
  return shown == NULL;
}

static gboolean
check_density (double density_g_per_ml, GError **error)
{
  if (isnan (density_g_per_ml) || (density_g_per_ml > 0 && density_g_per_ml <= DENSEST_G_PER_ML))
    return TRUE;
  g_set_error (error, RAKE_COATING_ERROR, RAKE_COATING_ERROR_RANGE,
               _ ("No finish has a density of %g g/mL: most lie between 0.8 and 1.4"),
               density_g_per_ml);
  return FALSE;
}

static gboolean
check_sprayed (const RakeCoatBody *coat, GError **error)
{
  if (!isnan (coat->mass_g) && !(isfinite (coat->mass_g) && coat->mass_g >= 0))
    {
      g_set_error (error, RAKE_COATING_ERROR, RAKE_COATING_ERROR_RANGE,
                   _ ("%g g cannot be sprayed: write how much lighter the gun has become"),
                   coat->mass_g);
      return FALSE;
    }
  if (!isnan (coat->area_mm2) && !is_amount (coat->area_mm2))
    {
      g_set_error (error, RAKE_COATING_ERROR, RAKE_COATING_ERROR_RANGE,
                   _ ("An area of %g m² cannot be sprayed: write the area that was coated"),
                   coat->area_mm2 * 1e-6);
      return FALSE;
    }
  if (!isnan (coat->thinner_fraction) && !is_thinner (coat->thinner_fraction))
    {
      g_set_error (
          error, RAKE_COATING_ERROR, RAKE_COATING_ERROR_RANGE,
          _ ("Thinner of %.0f %% is impossible: write the volume added to a volume of finish"),
          coat->thinner_fraction * 100);
      return FALSE;
    }
  return check_density (coat->density_g_per_ml, error) &&
         check_density (coat->dry_density_g_per_ml, error);
}

static gboolean
check_doubts (const RakeCoatBody *coat, GError **error)
{
  const double doubts[] = { coat->dry_sd_um, coat->wet_sd_um, coat->volume_solids_sd_fraction,
                            coat->transfer_sd_fraction };

  for (gsize i = 0; i < G_N_ELEMENTS (doubts); i++)
    if (!isnan (doubts[i]) && !(isfinite (doubts[i]) && doubts[i] >= 0))
      {
        g_set_error (error, RAKE_COATING_ERROR, RAKE_COATING_ERROR_RANGE,
                     _ ("A doubt of %g is impossible: write how far off the number may be"),
                     doubts[i]);
        return FALSE;
      }
  return TRUE;
}

static gboolean
check_coat (const RakeCoatBody *coat, GError **error)
{
  return check_film (coat->dry_um, error) && check_film (coat->wet_um, error) &&
         check_shares (coat, error) && check_sprayed (coat, error) && check_doubts (coat, error);
}

/* Solids of what was sprayed, with their doubt; thinner that is unsaid was not added. */
static gboolean
take_solids (const RakeCoatBody *coat, RakeNormal *solids, GError **error)
{
  double thinner = isnan (coat->thinner_fraction) ? 0 : coat->thinner_fraction;
  double unthinned = coat->volume_solids_fraction, sd = coat->volume_solids_sd_fraction;

  if (isnan (unthinned) && !isnan (coat->weight_solids_fraction))
    {
      if (isnan (coat->density_g_per_ml) || isnan (coat->dry_density_g_per_ml))
        return refuse_missing (error, _ ("Solids by weight want the densities of the liquid and of "
                                         "the dry film too: add them, or the solids by volume"));
      unthinned = rake_coating_volume_solids (coat->weight_solids_fraction, coat->density_g_per_ml,
                                              coat->dry_density_g_per_ml);
      if (isnan (unthinned))
        {
          g_set_error_literal (error, RAKE_COATING_ERROR, RAKE_COATING_ERROR_RANGE,
                               _ ("These solids would take up more room than the finish has: look "
                                  "at the densities again"));
          return FALSE;
        }
    }
  if (isnan (unthinned))
    return refuse_missing (error, _ ("The solids are missing: add the volume solids of the data "
                                     "sheet, or a dry thickness"));
  if (isnan (sd))
    sd = RAKE_COATING_USUAL_SOLIDS_SD * unthinned;
  solids->mean = rake_coating_thinned_solids (unthinned, thinner);
  solids->sd = sd / (1 + thinner);
  return TRUE;
}

static RakeCoatingWay
take_wet (const RakeCoatBody *coat, RakeNormal *dry, GError **error)
{
  double sd_um =
      isnan (coat->wet_sd_um) ? RAKE_COATING_USUAL_WET_SD * coat->wet_um : coat->wet_sd_um;
  RakeNormal solids;

  if (!take_solids (coat, &solids, error))
    return RAKE_COATING_UNKNOWN;
  *dry = (RakeNormal){ coat->wet_um * solids.mean,
                       hypot (sd_um * solids.mean, coat->wet_um * solids.sd) };
  return RAKE_COATING_FROM_WET;
}

static RakeCoatingWay
take_mass (const RakeCoatBody *coat, RakeNormal *dry, GError **error)
{
  RakeNormal solids, transfer = { coat->transfer_fraction, coat->transfer_sd_fraction };
  double spread_um;

  if (isnan (coat->area_mm2) || isnan (coat->density_g_per_ml))
    {
      refuse_missing (error, isnan (coat->area_mm2)
                                 ? _ ("The area is missing: add how much was coated")
                                 : _ ("The density is missing: add that of the finish as sprayed"));
      return RAKE_COATING_UNKNOWN;
    }
  if (!take_solids (coat, &solids, error))
    return RAKE_COATING_UNKNOWN;
  if (isnan (transfer.mean))
    transfer.mean = RAKE_COATING_USUAL_TRANSFER;
  if (isnan (transfer.sd))
    transfer.sd = RAKE_COATING_USUAL_TRANSFER_SD;
  /* What was sprayed, if all of it had landed and none dried away. */
  spread_um =
      rake_coating_dry_um_from_mass (coat->mass_g, coat->density_g_per_ml, 1, 1, coat->area_mm2);
  *dry = (RakeNormal){ spread_um * solids.mean * transfer.mean,
                       spread_um * hypot (solids.sd * transfer.mean, solids.mean * transfer.sd) };
  return RAKE_COATING_FROM_MASS;
}

RakeCoatingWay
rake_coating_take (const RakeCoatBody *coat, RakeNormal *dry, GError **error)
{
  RakeCoatingWay way = RAKE_COATING_UNKNOWN;
  RakeNormal found = { NAN, NAN };

  *dry = found;
  if (!check_coat (coat, error))
    return RAKE_COATING_UNKNOWN;
  if (!isnan (coat->dry_um))
    {
      found = (RakeNormal){ coat->dry_um, isnan (coat->dry_sd_um)
                                              ? RAKE_COATING_USUAL_DRY_SD * coat->dry_um
                                              : coat->dry_sd_um };
      way = RAKE_COATING_FROM_DRY;
    }
  else if (!isnan (coat->wet_um))
    way = take_wet (coat, &found, error);
  else if (!isnan (coat->mass_g))
    way = take_mass (coat, &found, error);
  else
    refuse_missing (error, _ ("How thick the coat is cannot be reckoned: add its wet or dry "
                              "thickness, or what was sprayed"));
  if (way == RAKE_COATING_UNKNOWN || !check_film (found.mean, error))
    return RAKE_COATING_UNKNOWN;
  *dry = found;
  return way;
}

/* --- readings against what was meant ------------------------------------------------------------ */

static gboolean
is_below (double value, double limit)
{
  return value < limit - CLOSE_ENOUGH * limit;
}

guint
rake_coating_accept (RakeAcceptancePattern pattern, const double *readings_um, guint n,
                     double nominal_um, double largest_um)
{
  RakeSample sample = rake_sample_take (readings_um, n);
  double most_um = isnan (largest_um) ? 3 * nominal_um : largest_um;
  double floor_um = (pattern == RAKE_ACCEPTANCE_ISO_19840 ? 0.8 : 0.9) * nominal_um;
  guint n_low = 0, faults = RAKE_ACCEPTANCE_PASSES;

  g_return_val_if_fail (n > 0 && is_amount (nominal_um) && isfinite (sample.mean),
                        RAKE_ACCEPTANCE_MEAN_LOW);
  for (guint i = 0; i < n; i++)
    n_low += is_below (readings_um[i], nominal_um) ? 1 : 0;
  if (is_below (sample.least, floor_um))
    faults |= RAKE_ACCEPTANCE_ONE_LOW;
  if (pattern == RAKE_ACCEPTANCE_IMO_PSPC)
    return faults | (10 * n_low > n ? RAKE_ACCEPTANCE_SHARE_LOW : 0);

  /* Those below the floor have a fault of their own and do not count into the share between. */
  for (guint i = 0; i < n; i++)
    n_low -= is_below (readings_um[i], floor_um) ? 1 : 0;
  if (is_below (sample.mean, nominal_um))
    faults |= RAKE_ACCEPTANCE_MEAN_LOW;
  if (5 * n_low >= n)
    faults |= RAKE_ACCEPTANCE_SHARE_LOW;
  if (is_below (most_um, sample.largest))
    faults |= RAKE_ACCEPTANCE_ONE_HIGH;
  return faults;
}

guint
rake_coating_accept_spots (const double *spot_means_um, guint n, double least_um, double largest_um)
{
  RakeSample sample = rake_sample_take (spot_means_um, n);
  guint faults = RAKE_ACCEPTANCE_PASSES;

  g_return_val_if_fail (n > 0 && is_amount (least_um) && is_amount (largest_um) &&
                            isfinite (sample.mean),
                        RAKE_ACCEPTANCE_MEAN_LOW);
  if (is_below (sample.mean, least_um))
    faults |= RAKE_ACCEPTANCE_MEAN_LOW;
  if (is_below (sample.least, 0.8 * least_um))
    faults |= RAKE_ACCEPTANCE_ONE_LOW;
  if (is_below (1.2 * largest_um, sample.largest) || is_below (largest_um, sample.mean))
    faults |= RAKE_ACCEPTANCE_ONE_HIGH;
  return faults;
}
