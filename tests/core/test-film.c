/* test-film.c - the ledger of a zone's film, the risks, and the rates.
 *
 * Numbers marked "worked example" are of the trade's own page of vectors (SciPy and mpmath); the rest is
 * worked out beside each case. film-against-numpy.py holds whole stories against a second reckoning. */
#include "bench-log.h"

#include <rakelight/film.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>
#include "near.h"

#define STAGES "level P800, refine P1200, refine P2000, last-look, buff cut, buff fine, rest"

enum
{
  P800,
  P1200,
  P2000,
  LAST_LOOK,
  CUT,
};

static const RakeLimits limits = { .risk_limit_fraction = 0.05,
                                   .level_low_spot_fraction = 0.1,
                                   .edge_low_spot_fraction = 0.25 };

/* --- writing ------------------------------------------------------------------------------------------ */

static const RakeEntry *
say_rate (BenchLog *log, const char *grade, double removal_um, double common_um, double scatter_um)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_RATE);

  entry->rate.grade = g_strdup (grade);
  entry->rate.removal_um = removal_um;
  entry->rate.common_sd_um = common_um;
  entry->rate.scatter_sd_um = scatter_um;
  return log_write (log, entry);
}

static RakeEntry *
new_coat (const BenchLog *log, double dry_um, double sd_um)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_COAT);

  entry->coat.face = log->face;
  entry->coat.dry_um = dry_um;
  entry->coat.dry_sd_um = sd_um;
  return entry;
}

static void
spray (BenchLog *log, double dry_um, double sd_um)
{
  log_write (log, new_coat (log, dry_um, sd_um));
}

static void
read_film (BenchLog *log, const char *zone, double value_um, double sd_um)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_READING);

  entry->reading.zone = log_zone (log, zone)->id;
  entry->reading.quantity = RAKE_QUANTITY_FILM_UM;
  entry->reading.value = value_um;
  entry->reading.sd = sd_um;
  log_write (log, entry);
}

static RakeEntry *
new_repair (const BenchLog *log, const char *zone, RakeRepairMethod method)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_REPAIR);

  entry->repair.zone = log_zone (log, zone)->id;
  entry->repair.method = method;
  return entry;
}

static void
say_zone (BenchLog *log, const char *zone, double edge_factor, double coat_factor,
          double reserve_um)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_ZONE_FACTS);

  entry->zone_facts.zone = log_zone (log, zone)->id;
  entry->zone_facts.edge_factor = edge_factor;
  entry->zone_facts.coat_factor = coat_factor;
  entry->zone_facts.reserve_um = reserve_um;
  log_write (log, entry);
}

static RakeFilm *
take (const BenchLog *log, const char *zone)
{
  g_autoptr (RakeRates) rates = rake_rates_take (log->job);

  return rake_film_take (log->job, log_zone (log, zone), rates, &limits);
}

static void
expect (const BenchLog *log, const char *zone, double mean_um, double sd_um)
{
  g_autoptr (RakeFilm) film = take (log, zone);

  assert_near ("film", film->film.mean, mean_um, 1e-9);
  assert_near ("its sd", film->film.sd, sd_um, 1e-9);
}

/* --- sums --------------------------------------------------------------------------------------------- */

static void
a_risk_is_the_share_of_the_curve_under_the_reserve (void **state)
{
  static const struct
  {
    double reserve_um, risk; /* worked example: 117 ± 13.3 */
  } cases[] = {
    { 75, 0.000794564641050298 },
    { 90, 0.0211744485883131 },
    { 100, 0.100590253202738 },
    { 110, 0.299334407128883 },
  };
  const RakeNormal film = { 117, 13.3 }, certain = { 40, 0 }, unknown = { NAN, NAN };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    assert_near ("risk", rake_film_risk (film, cases[i].reserve_um), cases[i].risk,
                 cases[i].risk * 1e-12);
  assert_true (rake_film_risk (certain, 39) == 0 && rake_film_risk (certain, 41) == 1);
  assert_near ("of nothing", rake_film_risk (film, NAN), rake_film_risk (film, 0), 0);
  assert_true (isnan (rake_film_risk (unknown, 10)));
}

/* Worked example: 4 passes of 3 µm, c 0.35 and e 0.25 of the rate, from 120 ± 8. */
static void
passes_at_one_grit_err_together (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");
  g_autoptr (RakeFilm) film = NULL;

  say_rate (log, "P800", 3, 1.05, 0.75);
  say_zone (log, "A", 1, 1, 95);
  spray (log, 120, 8);
  for (int i = 0; i < 4; i++)
    log_pass (log, P800, "A", 0);
  expect (log, "A", 108, 9.159148432032314);
  film = take (log, "A");
  assert_near ("risk", film->risk_now, 0.0778990946618965, 1e-12);
  assert_int_equal (film->lines->len, 2);
  assert_near ("passes", g_array_index (film->lines, RakeFilmLine, 1).change.mean, -12, 1e-12);
  assert_near ("passes", g_array_index (film->lines, RakeFilmLine, 1).change.sd, 4.459820624195551,
               1e-12);
  assert_int_equal (g_array_index (film->lines, RakeFilmLine, 1).n_passes, 4);
}

/* Worked example: 150 ± 12 and one reading 138 ± 5, three readings 138, 141, 136. The first here is a
 * reading too: a reading does not average with what was reckoned from coats, but replaces it. */
static void
readings_average_by_their_doubt (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100, B 100, C 100");

  spray (log, 70, 20);
  for (const char *const *zone = (const char *const[]){ "A", "B", NULL }; *zone != NULL; zone++)
    {
      read_film (log, *zone, 150, 12);
      read_film (log, *zone, 138, 5);
    }
  read_film (log, "B", 141, 5);
  read_film (log, "B", 136, 5);
  read_film (log, "C", 90, NAN);
  expect (log, "A", 139.7751479289941, 4.615384615384616);
  expect (log, "B", 138.9715536105033, 2.806681618349928);
  expect (log, "C", 90, RAKE_FILM_USUAL_GAUGE_SD_UM);
}

/* --- coats -------------------------------------------------------------------------------------------- */

/* 0.6 · (40 + 30): of what is said apart the errors are apart, 0.6 · √(3² + 4²) = 3. */
static void
coats_add_up_as_far_as_they_settle_here (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, E 20 edge 1");

  say_zone (log, "E", 1.8, 0.6, NAN);
  spray (log, 40, 3);
  spray (log, 30, 4);
  expect (log, "A", 70, 5);
  expect (log, "E", 42, 3);
}

/* 6 coats of 75 µm wet, 20 % solids: 15 each (0.2 · 75). One gun, one hand, one tin: their errors, each
 * 15 · √(0.1² + 0.05²), are one error. */
static void
coats_reckoned_alike_err_alike (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");

  for (int i = 0; i < 6; i++)
    {
      RakeEntry *coat = new_coat (log, NAN, NAN);

      coat->coat.wet_um = 75;
      coat->coat.volume_solids_fraction = 0.2;
      log_write (log, coat);
    }
  expect (log, "A", 90, 90 * hypot (0.1, 0.05));
}

/* Worked example: 100 µm wet, 28 % solids, 20 % thinner added to the finish, which is a sixth of what was
 * sprayed: 23.3333. And 250 g of 0.95 g/mL, 22 % solids, 60 % landing, on the face's own area. */
static void
thinner_and_area_are_the_logbooks (void **state)
{
  g_autoptr (BenchLog) wet = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");
  g_autoptr (BenchLog) mass = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 420, B 3780");
  g_autoptr (RakeFilm) by_wet = NULL, by_mass = NULL;
  RakeEntry *coat = new_coat (wet, NAN, NAN);

  coat->coat.wet_um = 100;
  coat->coat.volume_solids_fraction = 0.28;
  coat->coat.thinner_fraction = 1.0 / 6;
  log_write (wet, coat);
  by_wet = take (wet, "A");
  assert_near ("wet, thinned", by_wet->film.mean, 23.3333333, 1e-6);

  coat = new_coat (mass, NAN, NAN);
  coat->coat.mass_g = 250;
  coat->coat.density_g_per_ml = 0.95;
  coat->coat.volume_solids_fraction = 0.22;
  coat->coat.transfer_fraction = 0.6;
  log_write (mass, coat);
  by_mass = take (mass, "A");
  assert_near ("mass", by_mass->film.mean, 82.70676691729324, 1e-9);
}

/* A scuff comes off the coat below, so the last coat is whole. 50 - 3 + 26; √(4² + 1² + 2²). */
static void
a_scuff_comes_off_the_coat_below (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");
  g_autoptr (RakeFilm) film = NULL;
  RakeEntry *coat;

  spray (log, 50, 4);
  coat = new_coat (log, 26, 2);
  coat->coat.scuff_um = 3;
  coat->coat.scuff_sd_um = 1;
  log_write (log, coat);
  expect (log, "A", 73, sqrt (21));
  film = take (log, "A");
  assert_near ("last coat", film->last_coat.mean, 26, 1e-12);
  assert_near ("last coat", film->last_coat.sd, 2, 1e-12);
  assert_int_equal (film->lines->len, 3);
  assert_int_equal (g_array_index (film->lines, RakeFilmLine, 1).kind, RAKE_FILM_SCUFF);
  assert_near ("scuffed", g_array_index (film->lines, RakeFilmLine, 1).film.mean, 47, 1e-12);
}

/* Entered as a repair, as a coat, or as both, it is one coat. */
static void
a_recoat_counts_once (void **state)
{
  for (int how = 0; how < 4; how++)
    {
      g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, B 100");
      RakeEntry *repair;
      g_autoptr (RakeFilm) film = NULL;

      spray (log, 60, 3);
      log_pass (log, P800, "A B", 0);
      repair = new_repair (log, "A", RAKE_REPAIR_RECOAT);
      if (how != 1)
        repair->repair.added_um = 20;
      repair->repair.added_sd_um = 1;
      log_write (log, repair);
      if (how == 1 || how == 3)
        spray (log, 20, 1);
      else if (how == 2)
        spray (log, NAN, NAN);
      film = take (log, "B");
      assert_near ("last coat", film->last_coat.mean, 20, 1e-12);
      assert_near ("last coat", film->last_coat.sd, 1, 1e-12);
      assert_near ("film", film->film.mean, 77, 1e-12);
    }
}

/* --- what is not known ---------------------------------------------------------------------------------- */

static void
what_is_not_known_is_said_until_a_reading (void **state)
{
  g_autoptr (BenchLog) log =
      log_new (RAKE_FINISH_POLYESTER, "level P800, refine sandstone", "A 100");
  g_autoptr (RakeFilm) nothing = take (log, "A"), coat = NULL, read = NULL, rate = NULL;
  g_autofree char *sentence = rake_film_describe_standing (nothing);

  assert_int_equal (nothing->standing, RAKE_FILM_NO_COATS);
  assert_non_null (strstr (sentence, "enter the coats"));
  assert_true (isnan (nothing->film.mean) && isnan (nothing->risk_now));
  spray (log, NAN, NAN);
  spray (log, 30, 2);
  coat = take (log, "A");
  assert_int_equal (coat->standing, RAKE_FILM_COAT_UNKNOWN);
  assert_true (isnan (coat->film.mean));
  assert_non_null (coat->obstacle);
  assert_near ("the last coat is known", coat->last_coat.mean, 30, 0);
  read_film (log, "A", 80, 2);
  read = take (log, "A");
  assert_int_equal (read->standing, RAKE_FILM_KNOWN);
  assert_null (rake_film_describe_standing (read));
  log_pass (log, 1, "A", 0);
  rate = take (log, "A");
  assert_int_equal (rate->standing, RAKE_FILM_RATE_UNKNOWN);
  assert_true (isnan (rate->film.mean) && isnan (rate->last_coat.mean));
  read_film (log, "A", 75, 2);
  expect (log, "A", 75, 2);
}

/* What was sanded before any coat was entered is not of the coat. */
static void
a_coat_over_what_nobody_knows_is_not_the_film (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");
  g_autoptr (RakeFilm) film = NULL;

  log_pass (log, P800, "A", 0);
  spray (log, 40, 2);
  film = take (log, "A");
  assert_int_equal (film->standing, RAKE_FILM_NO_COATS);
  assert_true (isnan (film->film.mean));
  assert_near ("but the coat is known", film->last_coat.mean, 40, 0);
}

/* --- repairs ------------------------------------------------------------------------------------------- */

static void
a_fill_raises_its_spot_and_scraping_counts (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100, B 100");
  RakeEntry *fill = new_repair (log, "A", RAKE_REPAIR_DROP_FILL), *scrape;
  const RakeEntry *look, *mark;

  spray (log, 100, 3);
  fill->repair.added_um = 90;
  log_write (log, fill);
  expect (log, "A", 100, 3);
  scrape = new_repair (log, "A", RAKE_REPAIR_SCRAPED);
  scrape->repair.removed_um = 5;
  scrape->repair.removed_sd_um = 4;
  log_write (log, scrape);
  expect (log, "A", 95, 5);

  /* 60 · (1 - 0.75) = 15 where the fill covers the zone: √(3² + (0.25 · 8)² + (60 · 0.1)²) = 7 */
  look = log_look (log, "B", 90);
  mark = log_mark (log, look, RAKE_MARK_CRATER, 150, 50, 90);
  fill = new_repair (log, "B", RAKE_REPAIR_DROP_FILL);
  fill->repair.added_um = 60;
  fill->repair.added_sd_um = 8;
  fill->repair.shrink_fraction = 0.75;
  fill->repair.shrink_sd_fraction = 0.1;
  g_array_append_val (fill->repair.marks, mark->id);
  log_write (log, fill);
  expect (log, "B", 115, 7);
}

/* --- ahead ---------------------------------------------------------------------------------------------- */

/* 30 - 3 = 27, √(4² + 0.8²); risk by hand: Φ((25 - 27) / 4.0792…) */
static void
one_pass_more_is_looked_ahead (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100");
  g_autoptr (RakeFilm) film = NULL;

  say_rate (log, "P800", 3, 0, 0.8);
  say_zone (log, "A", 1, 1, 25);
  spray (log, 30, 4);
  film = take (log, "A");
  assert_near ("now", film->risk_now, rake_normal_cdf (-5 / 4.0), 1e-12);
  assert_near ("next", film->risk_after_next_pass, rake_normal_cdf (-2 / sqrt (16.64)), 1e-12);
  assert_near ("next, of the line", film->last_coat_risk_after_next_pass,
               rake_normal_cdf (-27 / sqrt (16.64)), 1e-15);
  assert_near ("a pass", film->next_pass.mean, 3, 0);
  assert_near ("a pass", film->next_pass.sd, 0.8, 1e-15);
}

/* The stages after P1200: P2000 must take 1.5 · 0.15 · 15.3 = 3.44 µm, in passes of 0.6 that is 6; cut
 * must take 1.5 · 0.15 · 10.3 = 2.32, two of 1.2; fine once. 3.6 + 2.4 + 0.4. */
static void
the_stages_to_come_are_looked_ahead (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");
  g_autoptr (RakeFilm) film = NULL, done = NULL;

  say_rate (log, "P2000", 0.6, 0, 0);
  say_rate (log, "cut", 1.2, 0, 0);
  say_rate (log, "fine", 0.4, 0, 0);
  say_zone (log, "A", 1, 1, 40);
  spray (log, 60, 6);
  log_begin (log, P1200);
  log_pass (log, P1200, "A", 0);
  film = take (log, "A");
  assert_near ("to come", film->to_come.mean, 6.4, 1e-9);
  assert_near ("at the end", film->risk_at_end,
               rake_film_risk ((RakeNormal){ film->film.mean - 6.4, film->film.sd }, 40), 1e-12);
  log_begin (log, CUT + 1);
  log_pass (log, CUT + 1, "A", NAN);
  done = take (log, "A");
  assert_near ("nothing to come", done->to_come.mean, 0, 0);
}

static void
the_plan_names_the_stage_that_goes_under (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100, B 100");
  g_autoptr (RakeRules) rules = log_new_builtin_rules ();
  g_autoptr (RakeFilm) film = NULL;
  g_autoptr (RakeGate) gate = NULL;
  RakeJudgement *judgements[2];

  say_zone (log, "A", 1, 1, 40);
  say_zone (log, "B", 1, 1, 10);
  spray (log, 62, 1);
  film = take (log, "A");
  assert_true (film->risk_now < 0.001 && film->risk_at_end > 0.05);
  assert_non_null (film->stage_under);
  for (int i = 0; i < 2; i++)
    judgements[i] =
        rake_rules_judge (rules, log->job, log_zone (log, i == 0 ? "A" : "B"), log->now_ms);
  gate = rake_rules_gate (rules, log->job, rake_job_get_face (log->job, 0), judgements);
  assert_non_null (gate->warning);
  assert_non_null (strstr (gate->warning, "A may be under its reserve"));
  assert_non_null (strstr (gate->warning, film->stage_under->grade));
  assert_int_not_equal (judgements[0]->verdict, RAKE_VERDICT_STOP);
  for (int i = 0; i < 2; i++)
    rake_judgement_free (judgements[i]);
}

/* --- zones ---------------------------------------------------------------------------------------------- */

/* Two parts sanded apart and then joined: no place in them has had both. */
static void
a_joined_zone_is_as_thin_as_its_thinnest_part (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100, B 100, C 50");
  RakeEntry *join = rake_entry_new (RAKE_ENTRY_ZONES);
  RakeZoneSpec whole = { .id = rake_id_new (log->now_ms), .name = g_strdup ("W"),
                         .edge_factor = NAN, .reserve_um = NAN, .coat_factor = NAN };

  say_rate (log, "P800", 3, 0, 0);
  spray (log, 100, 2);
  log_pass (log, P800, "A", 0);
  log_pass (log, P800, "A", 0);
  log_pass (log, P800, "B", 0);
  whole.shape = rake_shape_union (log_zone (log, "A")->shape, log_zone (log, "B")->shape, NULL);
  join->zones.face = log->face;
  join->zones.division = RAKE_DIVISION_JOIN;
  g_array_append_val (join->zones.removed, log_zone (log, "A")->id);
  g_array_append_val (join->zones.removed, log_zone (log, "B")->id);
  g_array_append_val (join->zones.added, whole);
  log_write (log, join);
  expect (log, "W", 94, 2);
  log_pass (log, P800, "W", 0);
  expect (log, "W", 91, 2);
}

/* --- rates ---------------------------------------------------------------------------------------------- */

/* The middles of practice.md's ranges, marked there as engineering estimates. */
static void
what_is_assumed_is_the_trades_middle (void **state)
{
  static const struct
  {
    const char *grade;
    double mean_um;
  } cases[] = {
    { "P800", 3.0 },  { "p 1000", 2.2 }, { "P1200", 1.6 }, { "P1500", 1.0 },
    { "P2000", 0.6 }, { "P3000", 0.3 },  { "cut", 1.2 },   { "Fine", 0.4 },
  };
  RakeRate rate;

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      rate = rake_rate_assume (cases[i].grade);
      assert_near (cases[i].grade, rate.mean_um, cases[i].mean_um, 0.02);
      assert_near (cases[i].grade, rate.common_sd_um, 0.35 * rate.mean_um, 1e-12);
      assert_near (cases[i].grade, rate.scatter_sd_um, 0.25 * rate.mean_um, 1e-12);
      g_free (rate.grade);
    }
  rate = rake_rate_assume ("sandstone");
  assert_int_equal (rate.origin, RAKE_RATE_UNKNOWN);
  assert_true (isnan (rate.mean_um));
  g_free (rate.grade);
}

static double
assume (const char *grade)
{
  RakeRate rate = rake_rate_assume (grade);

  g_free (rate.grade);
  return rate.mean_um;
}

static void
finer_grits_take_less (void **state)
{
  static const char *const grits[] = { "P240", "P400", "P600", "P800", "P1000", "P1200", "P1500",
                                       "P2000", "P2500", "P3000", "P5000" };

  for (gsize i = 1; i < G_N_ELEMENTS (grits); i++)
    if (!(assume (grits[i]) < assume (grits[i - 1]) && assume (grits[i]) > 0))
      fail_msg ("%s takes %g, %s %g", grits[i], assume (grits[i]), grits[i - 1],
                assume (grits[i - 1]));
  assert_true (assume ("medium cut") < assume ("cut") && assume ("medium cut") > assume ("fine"));
}

/* A pair 120, 4 passes, 104: lost 16 ± √(2 · 3² + 4 · 0.75²) = 4.5 against 12 expected, 4 · 1.05 = 4.2 of
 * doubt in the rate: gain = 4.2 · 1.05 / (4.2² + 4.5²), so the rate moves by 4 · gain. */
static void
a_gauge_pair_teaches_the_rate (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");
  g_autoptr (RakeRates) rates = NULL;
  const RakeRate *rate;

  say_rate (log, "p 800", 3, 1.05, 0.75);
  read_film (log, "A", 120, 3);
  for (int i = 0; i < 4; i++)
    log_pass (log, P800, "A", 0);
  read_film (log, "A", 104, 3);
  rates = rake_rates_take (log->job);
  rate = rake_rates_find (rates, "P 800");
  assert_non_null (rate);
  assert_near ("rate", rate->mean_um, 3 + 4 * 4.2 * 1.05 / (4.2 * 4.2 + 4.5 * 4.5), 1e-9);
  assert_near ("its sd", rate->common_sd_um, 1.05 * sqrt (1 - 4.2 * 4.2 / (4.2 * 4.2 + 4.5 * 4.5)),
               1e-9);
  assert_near ("before", rate->prior_mean_um, 3, 0);
  assert_int_equal (rate->n_observations, 1);
  assert_int_equal (rate->origin, RAKE_RATE_LEARNED);
  assert_int_equal (rake_rates_find (rates, "P2000")->origin, RAKE_RATE_ASSUMED);
  assert_null (rake_rates_find (rates, "P400"));
  assert_null (rake_rates_find (rates, ""));
}

/* The reading before the division is part of both pairs, but the pair before it is one, not two. */
static void
a_pair_counts_once_in_all_parts_of_a_zone (void **state)
{
  g_autoptr (BenchLog) log = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");
  RakeEntry *cut = rake_entry_new (RAKE_ENTRY_ZONES);
  g_autoptr (RakeRates) rates = NULL;

  read_film (log, "A", 120, 3);
  log_pass (log, P800, "A", 0);
  read_film (log, "A", 116, 3);
  cut->zones.face = log->face;
  cut->zones.division = RAKE_DIVISION_CUT;
  g_array_append_val (cut->zones.removed, log_zone (log, "A")->id);
  for (int i = 0; i < 2; i++)
    {
      const double box[] = { 50.0 * i, 0, 50.0 * i + 50, 0, 50.0 * i + 50, 100, 50.0 * i, 100 };
      RakeZoneSpec part = { .id = rake_id_new (log->now_ms), .name = g_strdup (i == 0 ? "L" : "R"),
                            .shape = rake_shape_new_area (box, 4, NULL), .edge_factor = NAN,
                            .reserve_um = NAN, .coat_factor = NAN };
      g_array_append_val (cut->zones.added, part);
    }
  log_write (log, cut);
  rates = rake_rates_take (log->job);
  assert_int_equal (rake_rates_find (rates, "P800")->n_observations, 1);
}

/* Two jobs with a pair each are what one job with both would say. */
static void
a_shop_learns_from_several_jobs (void **state)
{
  g_autoptr (BenchLog) one = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");
  g_autoptr (BenchLog) other = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100");
  g_autoptr (BenchLog) both = log_new (RAKE_FINISH_NITROCELLULOSE, STAGES, "A 100, B 100");
  const RakeJob *jobs[] = { one->job, other->job };
  BenchLog *logs[] = { one, other, both, both };
  static const char *const zones[] = { "A", "A", "A", "B" };
  static const double lost_um[] = { 14, 9, 14, 9 };
  g_autoptr (GPtrArray) learned = NULL;
  g_autoptr (RakeRates) rates = NULL;
  const RakeRateBody *rate;

  for (int i = 0; i < 4; i++)
    {
      read_film (logs[i], zones[i], 120, 2);
      for (int pass = 0; pass < 4; pass++)
        log_pass (logs[i], P800, zones[i], 0);
      read_film (logs[i], zones[i], 120 - lost_um[i], 2);
    }
  learned = rake_rates_learn (jobs, 2);
  assert_int_equal (learned->len, 1);
  rate = &((const RakeEntry *) learned->pdata[0])->rate;
  rates = rake_rates_take (both->job);
  assert_string_equal (rate->grade, "P800");
  assert_near ("rate", rate->removal_um, rake_rates_find (rates, "P800")->mean_um, 1e-9);
  assert_near ("its sd", rate->common_sd_um, rake_rates_find (rates, "P800")->common_sd_um, 1e-9);
  assert_true (rate->n_pairs == 2);
  assert_true (rake_entry_check (learned->pdata[0], NULL));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_risk_is_the_share_of_the_curve_under_the_reserve),
    cmocka_unit_test (passes_at_one_grit_err_together),
    cmocka_unit_test (readings_average_by_their_doubt),
    cmocka_unit_test (coats_add_up_as_far_as_they_settle_here),
    cmocka_unit_test (coats_reckoned_alike_err_alike),
    cmocka_unit_test (thinner_and_area_are_the_logbooks),
    cmocka_unit_test (a_scuff_comes_off_the_coat_below),
    cmocka_unit_test (a_recoat_counts_once),
    cmocka_unit_test (what_is_not_known_is_said_until_a_reading),
    cmocka_unit_test (a_coat_over_what_nobody_knows_is_not_the_film),
    cmocka_unit_test (a_fill_raises_its_spot_and_scraping_counts),
    cmocka_unit_test (one_pass_more_is_looked_ahead),
    cmocka_unit_test (the_stages_to_come_are_looked_ahead),
    cmocka_unit_test (the_plan_names_the_stage_that_goes_under),
    cmocka_unit_test (a_joined_zone_is_as_thin_as_its_thinnest_part),
    cmocka_unit_test (what_is_assumed_is_the_trades_middle),
    cmocka_unit_test (finer_grits_take_less),
    cmocka_unit_test (a_gauge_pair_teaches_the_rate),
    cmocka_unit_test (a_pair_counts_once_in_all_parts_of_a_zone),
    cmocka_unit_test (a_shop_learns_from_several_jobs),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
