/* test-coating.c - dry film against the worked examples of the trade, and what cannot be is refused.
 *
 * docs/checks.md names the sources in full; (computed) is plain arithmetic. */
#include <rakelight/coating.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>
#include "near.h"

#define UM_PER_MIL 25.4
#define FT2_PER_GAL 40.745833 /* of 1 m²/L: 3.785411784 · 10.7639104167 */

static void
a_wet_film_dries_to_its_solids (void **state)
{
  assert_near ("1.5 mil of 42 % wants 3.57 mil wet (coatings magazine, questions, October 2003)",
               rake_coating_wet_um (1.5 * UM_PER_MIL, 0.42, 0) / UM_PER_MIL, 3.57, 5e-3);
  assert_near ("100 µm of 62 % want 161 µm wet (coating shop's page)",
               rake_coating_wet_um (100, 0.62, 0), 161, 0.5);
  assert_near ("8 mil wet of 35 % leave 2.8 mil (estimating bulletin)",
               rake_coating_dry_um (8 * UM_PER_MIL, 0.35, 0) / UM_PER_MIL, 2.8, 1e-12);
  assert_near ("the same with a tenth of thinner (computed)",
               rake_coating_dry_um (8 * UM_PER_MIL, 0.35, 0.10) / UM_PER_MIL, 2.5454545454545454,
               1e-12);
  assert_near ("60 % and a quart to the gallon make 48 % (contractor's page)",
               rake_coating_thinned_solids (0.60, 0.25), 0.48, 1e-15);
  assert_near ("100 µm wet, 28 %, a fifth of thinner (computed)",
               rake_coating_dry_um (100, 0.28, 0.20), 23.333333333333332, 1e-12);
  assert_near ("six coats of 75 µm, 20 %, a quarter of thinner (computed)",
               6 * rake_coating_dry_um (75, 0.20, 0.25), 72, 1e-12);
  assert_near ("solids by weight 26 %, 0.95 and 1.18 g/mL (computed)",
               rake_coating_volume_solids (0.26, 0.95, 1.18), 0.209322, 5e-7);
}

static void
mass_and_spreading_make_the_same_film (void **state)
{
  double m2_per_l;

  assert_near ("250 g, 0.95 g/mL, 22 %, 60 % landed, 0.42 m² (computed)",
               rake_coating_dry_um_from_mass (250, 0.95, 0.22, 0.60, 0.42e6), 82.70676691729324,
               1e-11);
  /* By dry matter: m · NVM · TE / (ρ_dry · A). */
  assert_near ("250 g of 26 % by weight, dry 1.18 g/mL (computed)",
               rake_coating_dry_um_from_mass (
                   250, 0.95, rake_coating_volume_solids (0.26, 0.95, 1.18), 0.60, 0.42e6),
               78.69249394673125, 1e-11);
  assert_near ("65 % at 125 µm: 5.2 m²/L (spreading-rate sheet)",
               rake_coating_spreading_m2_per_l (125, 0.65), 5.2, 1e-12);
  m2_per_l = rake_coating_spreading_m2_per_l (5 * UM_PER_MIL, 0.65);
  assert_near ("65 % at 5 mil: 208.52 ft²/gal, with 1604 (the same sheet)", m2_per_l * FT2_PER_GAL,
               208.52, 0.03);
  m2_per_l = rake_coating_spreading_m2_per_l (2.5 * UM_PER_MIL, 0.46);
  assert_near ("46 % at 2.5 mil: 294, cut off (trade magazine)", m2_per_l * FT2_PER_GAL, 295.1,
               0.1);
  m2_per_l = 0.35 * rake_coating_spreading_m2_per_l (1.5 * UM_PER_MIL, 0.52);
  assert_near ("52 %, 35 % landed, 1.5 mil: 194.6 (coatings magazine, questions, May 2004)",
               m2_per_l * FT2_PER_GAL, 194.6, 0.1);
  m2_per_l = rake_coating_spreading_m2_per_l (2 * UM_PER_MIL, 1);
  assert_near ("100 % at 2 mil: 800, with 1600 (MIL-HDBK-1110, 2.1.5)", m2_per_l * FT2_PER_GAL, 800,
               3);
}

static void
a_coat_is_known_by_the_best_of_what_was_said (void **state)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_COAT);
  RakeCoatBody *coat = &entry->coat;
  RakeNormal dry;

  coat->mass_g = 250;
  coat->density_g_per_ml = 0.95;
  coat->area_mm2 = 0.42e6;
  coat->transfer_fraction = 0.60;
  coat->transfer_sd_fraction = 0.10;
  coat->volume_solids_fraction = 0.22;
  coat->volume_solids_sd_fraction = 0.02;
  assert_int_equal (rake_coating_take (coat, &dry, NULL), RAKE_COATING_FROM_MASS);
  assert_near ("from mass (computed)", dry.mean, 82.70676691729324, 1e-11);
  assert_near ("its doubt, first order (computed)", dry.sd, 15.7017, 5e-5);

  coat->wet_um = 100;
  coat->thinner_fraction = 0.2;
  coat->volume_solids_fraction = 0.28;
  coat->volume_solids_sd_fraction = NAN;
  assert_int_equal (rake_coating_take (coat, &dry, NULL), RAKE_COATING_FROM_WET);
  assert_near ("wet wins over mass", dry.mean, 23.333333333333332, 1e-12);
  /* √(0.10² + 0.05²) of it: the usual doubts. */
  assert_near ("usual doubts", dry.sd, 23.333333333333332 * sqrt (0.0125), 1e-12);

  coat->dry_um = 30;
  assert_int_equal (rake_coating_take (coat, &dry, NULL), RAKE_COATING_FROM_DRY);
  assert_true (dry.mean == 30 && dry.sd == 30 * RAKE_COATING_USUAL_DRY_SD);
}

static void
set_usual (RakeCoatBody *coat)
{
  coat->wet_um = 100;
  coat->volume_solids_fraction = 0.28;
}

static void
what_cannot_be_is_refused_in_a_sentence (void **state)
{
  static const struct
  {
    gsize offset;
    double value;
    RakeCoatingError code;
    const char *says;
  } cases[] = {
#define COAT(member) G_STRUCT_OFFSET (RakeCoatBody, member)
    { COAT (volume_solids_fraction), -0.12, RAKE_COATING_ERROR_RANGE, "-12 %" },
    { COAT (volume_solids_fraction), 1.4, RAKE_COATING_ERROR_RANGE, "140 %" },
    { COAT (volume_solids_fraction), 0, RAKE_COATING_ERROR_RANGE, "0 %" },
    { COAT (volume_solids_fraction), INFINITY, RAKE_COATING_ERROR_RANGE, "impossible" },
    { COAT (volume_solids_fraction), 0.003, RAKE_COATING_ERROR_RANGE, "30 for 30 %" },
    { COAT (volume_solids_fraction), NAN, RAKE_COATING_ERROR_MISSING, "solids are missing" },
    { COAT (transfer_fraction), 1.4, RAKE_COATING_ERROR_RANGE, "A transfer of 140 %" },
    { COAT (wet_um), 3e6, RAKE_COATING_ERROR_RANGE, "3000000 µm" },
    { COAT (wet_um), -1, RAKE_COATING_ERROR_RANGE, "-1 µm" },
    { COAT (dry_um), INFINITY, RAKE_COATING_ERROR_RANGE, "write a thickness" },
    { COAT (wet_um), NAN, RAKE_COATING_ERROR_MISSING, "wet or dry" },
    { COAT (thinner_fraction), -0.2, RAKE_COATING_ERROR_RANGE, "Thinner of -20 %" },
    { COAT (density_g_per_ml), 0, RAKE_COATING_ERROR_RANGE, "density of 0 g/mL" },
    { COAT (density_g_per_ml), 950, RAKE_COATING_ERROR_RANGE, "density of 950 g/mL" },
    { COAT (mass_g), -5, RAKE_COATING_ERROR_RANGE, "-5 g" },
    { COAT (area_mm2), 0, RAKE_COATING_ERROR_RANGE, "area of 0 m²" },
    { COAT (wet_sd_um), -1, RAKE_COATING_ERROR_RANGE, "doubt of -1" },
    { COAT (weight_solids_fraction), 2, RAKE_COATING_ERROR_RANGE, "200 %" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_COAT);
      g_autoptr (GError) error = NULL;
      RakeNormal dry = { 1, 1 };

      set_usual (&entry->coat);
      G_STRUCT_MEMBER (double, &entry->coat, cases[i].offset) = cases[i].value;
      if (rake_coating_take (&entry->coat, &dry, &error) != RAKE_COATING_UNKNOWN)
        fail_msg ("row %zu was taken", i);
      if (!g_error_matches (error, RAKE_COATING_ERROR, (int) cases[i].code) ||
          strstr (error->message, cases[i].says) == NULL || !isnan (dry.mean) || !isnan (dry.sd))
        fail_msg ("row %zu: %s", i, error->message);
    }
}

static void
what_is_missing_of_a_mass_is_named (void **state)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_COAT);
  RakeCoatBody *coat = &entry->coat;
  const struct
  {
    double *number, value;
    const char *says;
  } steps[] = {
    { &coat->mass_g, 250, "The area is missing" },
    { &coat->area_mm2, 0.42e6, "The density is missing" },
    { &coat->density_g_per_ml, 0.95, "The solids are missing" },
    { &coat->weight_solids_fraction, 0.26, "want the densities" },
    { &coat->dry_density_g_per_ml, 0.2, "more room" },
  };
  RakeNormal dry;

  for (gsize i = 0; i < G_N_ELEMENTS (steps); i++)
    {
      g_autoptr (GError) error = NULL;

      *steps[i].number = steps[i].value;
      assert_int_equal (rake_coating_take (coat, &dry, &error), RAKE_COATING_UNKNOWN);
      if (strstr (error->message, steps[i].says) == NULL)
        fail_msg ("step %zu: %s", i, error->message);
    }
  coat->dry_density_g_per_ml = 1.18;
  assert_int_equal (rake_coating_take (coat, &dry, NULL), RAKE_COATING_FROM_MASS);
  /* 45 % lands unless the shop says better: ours, an estimate. */
  assert_near ("usual transfer", dry.mean, 78.69249394673125 / 0.60 * 0.45, 1e-11);

  assert_true (isnan (rake_coating_dry_um (NAN, 0.3, 0)) && isnan (rake_coating_dry_um (9, 0, 0)));
  assert_true (isnan (rake_coating_wet_um (9, 0.3, -1)));
  assert_true (isnan (rake_coating_spreading_m2_per_l (0, 0.3)));
  assert_true (isnan (rake_coating_dry_um_from_mass (1, 1, 0.3, 1.4, 1)));
}

static void
readings_are_held_to_three_patterns (void **state)
{
  static const struct
  {
    double readings[10];
    guint iso, imo;
  } cases[] = {
    /* Nominal 100, largest 300. ISO 19840's pattern as an inspectors' association sums it up; the
     * verdicts are exact. */
    { { 102, 98, 95, 110, 105, 101, 88, 120, 99, 104 },
      RAKE_ACCEPTANCE_SHARE_LOW, RAKE_ACCEPTANCE_SHARE_LOW | RAKE_ACCEPTANCE_ONE_LOW },
    { { 102, 98, 105, 110, 105, 101, 100, 120, 103, 104 }, 0, 0 },
    { { 102, 98, 105, 110, 105, 101, 79, 120, 103, 104 },
      RAKE_ACCEPTANCE_ONE_LOW, RAKE_ACCEPTANCE_SHARE_LOW | RAKE_ACCEPTANCE_ONE_LOW },
    { { 102, 98, 105, 110, 105, 101, 95, 120, 103, 104 },
      RAKE_ACCEPTANCE_SHARE_LOW, RAKE_ACCEPTANCE_SHARE_LOW },
    { { 96, 101, 102, 100, 100, 100, 100, 100, 100, 99.5 },
      RAKE_ACCEPTANCE_MEAN_LOW | RAKE_ACCEPTANCE_SHARE_LOW, RAKE_ACCEPTANCE_SHARE_LOW },
    { { 102, 98, 105, 110, 105, 101, 100, 301, 103, 104 }, RAKE_ACCEPTANCE_ONE_HIGH, 0 },
  };
  /* SSPC-PA 2's pattern: 2.5 to 4.0 mil, five spots of three readings (computed). */
  static const double spots[] = { 2.8, 3.0, 2.0, 3.5, 2.6 };
  static const double thin_spot[] = { 2.8, 3.0, 1.9, 3.5, 2.6 };
  static const double thick_spot[] = { 2.8, 3.0, 4.9, 3.5, 2.6 }, thin[] = { 2.4, 2.4 };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      guint iso = rake_coating_accept (RAKE_ACCEPTANCE_ISO_19840, cases[i].readings, 10, 100, NAN);
      guint imo = rake_coating_accept (RAKE_ACCEPTANCE_IMO_PSPC, cases[i].readings, 10, 100, NAN);

      if (iso != cases[i].iso || imo != cases[i].imo)
        fail_msg ("row %zu: faults %u and %u", i, iso, imo);
    }
  assert_int_equal (rake_coating_accept_spots (spots, 5, 2.5, 4.0), RAKE_ACCEPTANCE_PASSES);
  assert_int_equal (rake_coating_accept_spots (thin_spot, 5, 2.5, 4.0), RAKE_ACCEPTANCE_ONE_LOW);
  assert_int_equal (rake_coating_accept_spots (thick_spot, 5, 2.5, 4.0), RAKE_ACCEPTANCE_ONE_HIGH);
  assert_int_equal (rake_coating_accept_spots (thin, 2, 2.5, 4.0), RAKE_ACCEPTANCE_MEAN_LOW);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_wet_film_dries_to_its_solids),
    cmocka_unit_test (mass_and_spreading_make_the_same_film),
    cmocka_unit_test (a_coat_is_known_by_the_best_of_what_was_said),
    cmocka_unit_test (what_cannot_be_is_refused_in_a_sentence),
    cmocka_unit_test (what_is_missing_of_a_mass_is_named),
    cmocka_unit_test (readings_are_held_to_three_patterns),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
