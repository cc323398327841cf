/* coating.h - how much dry film a coat leaves: from wet thickness, from mass, from a spreading rate.
 *
 * One mL spread over one m² is one µm. Shares are 0 to 1, solids by volume unless named otherwise;
 * thinner is the volume added for each volume of unthinned finish. Sources: MIL-HDBK-1110 §2.1.5
 * (public domain) and the worked examples in docs/checks.md. */
#pragma once
#include <rakelight/entry.h>
#include <rakelight/statistics.h>

#define RAKE_COATING_ERROR (rake_coating_error_quark ())
GQuark rake_coating_error_quark (void);

typedef enum
{
  RAKE_COATING_ERROR_MISSING, /* a number is missing; the message says which would do */
  RAKE_COATING_ERROR_RANGE,   /* impossible: solids of 140 %, a film of 3 m, not a number */
} RakeCoatingError;

double rake_coating_dry_um (double wet_um, double volume_solids, double thinner);
double rake_coating_wet_um (double dry_um, double volume_solids, double thinner);

/* Volume solids after thinning, and from weight solids and the densities of liquid and dry film. */
double rake_coating_thinned_solids (double volume_solids, double thinner);
double rake_coating_volume_solids (double weight_solids, double density_g_per_ml,
                                   double dry_density_g_per_ml);

/* From the mass of (thinned) finish sprayed. */
double rake_coating_dry_um_from_mass (double mass_g, double density_g_per_ml, double volume_solids,
                                      double transfer, double area_mm2);

/* m²/L that cover to @dry_um; times the transfer efficiency it is the practical rate. */
double rake_coating_spreading_m2_per_l (double dry_um, double volume_solids);

/* Which way a coat's film came to be known. */
typedef enum
{
  RAKE_COATING_UNKNOWN,
  RAKE_COATING_FROM_DRY,
  RAKE_COATING_FROM_WET,
  RAKE_COATING_FROM_MASS,
} RakeCoatingWay;

/* The dry film of a coat on a flat, with its doubt by first-order propagation. What the entry leaves
 * unsaid is taken from the usual (RAKE_COATING_USUAL_…), as far as that can honestly be: no solids, no
 * film. Dry wins over wet, wet over mass.
 *
 * dry      out: NaN, NaN when unknown
 * returns  the way; RAKE_COATING_UNKNOWN with @error set to what is missing or wrong */
RakeCoatingWay rake_coating_take (const RakeCoatBody *coat, RakeNormal *dry, GError **error);

/* Doubts where none is said: engineering estimates, to be replaced by the shop's own. */
#define RAKE_COATING_USUAL_TRANSFER 0.45
#define RAKE_COATING_USUAL_TRANSFER_SD 0.12
#define RAKE_COATING_USUAL_WET_SD 0.10    /* of the wet thickness */
#define RAKE_COATING_USUAL_SOLIDS_SD 0.05 /* of the solids */
#define RAKE_COATING_USUAL_DRY_SD 0.12    /* of a dry thickness said without its doubt */

/* Readings of one film against its nominal thickness, by three patterns borrowed from steelwork (the
 * pattern, not the authority): ISO 19840, SSPC-PA 2, IMO PSPC. */
typedef enum
{
  RAKE_ACCEPTANCE_ISO_19840,  /* mean ≥ nominal, each ≥ 80 %, fewer than 20 % under nominal, each ≤ max */
  RAKE_ACCEPTANCE_IMO_PSPC,   /* 90 % ≥ nominal, none under 90 % of it */
} RakeAcceptancePattern;

typedef enum
{
  RAKE_ACCEPTANCE_PASSES,
  RAKE_ACCEPTANCE_MEAN_LOW = 1 << 0,
  RAKE_ACCEPTANCE_ONE_LOW = 1 << 1,
  RAKE_ACCEPTANCE_SHARE_LOW = 1 << 2,
  RAKE_ACCEPTANCE_ONE_HIGH = 1 << 3,
} RakeAcceptanceFault;

/* @largest_um NaN: three times the nominal. Returns a set of faults. */
guint rake_coating_accept (RakeAcceptancePattern pattern, const double *readings_um, guint n,
                           double nominal_um, double largest_um);

/* SSPC-PA 2: spots are means of their readings; area is the mean of the spots, within least to
 * largest; each spot within 80 % of the least to 120 % of the largest. A spot on the limit passes. */
guint rake_coating_accept_spots (const double *spot_means_um, guint n, double least_um,
                                 double largest_um);
