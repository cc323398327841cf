/* print-film.c - stories of film as text, for checking with a library that is not ours.
 *
 * print-film SEED prints lines of fields parted by tabs: rates, then for each zone what happened to its
 * film, then what the ledger makes of it. film-against-numpy.py knows what the words mean. */
#include "bench-log.h"

#include <rakelight/film.h>

#include <math.h>
#include <stdlib.h>

#define N_STORIES 60
#define STAGES "level P800, refine P1200, refine P2000, buff cut, rest"
#define N_GRADES 4u

static const char *const zone_names[] = { "A", "B", "E" };
static const char *const grades[N_GRADES] = { "P800", "P1200", "P2000", "cut" };
static const RakeLimits limits = { .risk_limit_fraction = 0.05,
                                   .level_low_spot_fraction = 0.1,
                                   .edge_low_spot_fraction = 0.25 };

static void
print (double number)
{
  char text[G_ASCII_DTOSTR_BUF_SIZE];

  g_print ("\t%s", g_ascii_formatd (text, sizeof text, "%.17g", number));
}

static gboolean
chance (GRand *random, guint percent)
{
  return (guint) g_rand_int_range (random, 0, 100) < percent;
}

/* --- telling a story ---------------------------------------------------------------------------------- */

static void
record_rates (BenchLog *log, GRand *random)
{
  for (guint i = 0; i < N_GRADES; i++)
    if (chance (random, 60))
      {
        RakeEntry *rate = rake_entry_new (RAKE_ENTRY_RATE);

        rate->rate.grade = g_strdup (grades[i]);
        rate->rate.removal_um = g_rand_double_range (random, 0.3, 4);
        rate->rate.common_sd_um = chance (random, 20) ? NAN : g_rand_double_range (random, 0, 1);
        rate->rate.scatter_sd_um = g_rand_double_range (random, 0.05, 1);
        log_write (log, rate);
      }
}

static void
tell_zones (BenchLog *log, GRand *random)
{
  for (gsize i = 0; i < G_N_ELEMENTS (zone_names); i++)
    {
      RakeEntry *facts = rake_entry_new (RAKE_ENTRY_ZONE_FACTS);

      facts->zone_facts.zone = log_zone (log, zone_names[i])->id;
      facts->zone_facts.edge_factor = g_rand_double_range (random, 0.8, 2.5);
      facts->zone_facts.coat_factor = g_rand_double_range (random, 0.3, 1.2);
      if (chance (random, 80))
        facts->zone_facts.reserve_um = g_rand_double_range (random, 10, 60);
      log_write (log, facts);
    }
}

static void
spray (BenchLog *log, GRand *random)
{
  RakeEntry *coat = rake_entry_new (RAKE_ENTRY_COAT);

  coat->coat.face = log->face;
  if (chance (random, 50))
    {
      coat->coat.dry_um = g_rand_double_range (random, 15, 60);
      if (chance (random, 60))
        coat->coat.dry_sd_um = g_rand_double_range (random, 1, 8);
    }
  else
    {
      coat->coat.wet_um = g_rand_double_range (random, 60, 150);
      coat->coat.volume_solids_fraction = g_rand_double_range (random, 0.15, 0.6);
    }
  if (chance (random, 40))
    {
      coat->coat.scuff_um = g_rand_double_range (random, 0.5, 5);
      coat->coat.scuff_sd_um = g_rand_double_range (random, 0, 2);
    }
  log_write (log, coat);
}

static void
repair (BenchLog *log, GRand *random)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_REPAIR);
  gboolean is_recoat = chance (random, 30);

  entry->repair.zone = log_zone (log, zone_names[g_rand_int_range (random, 0, 3)])->id;
  entry->repair.method = is_recoat ? RAKE_REPAIR_RECOAT : RAKE_REPAIR_SCRAPED;
  entry->repair.removed_um = g_rand_double_range (random, 0.5, 6);
  entry->repair.removed_sd_um = g_rand_double_range (random, 0.1, 2);
  if (is_recoat)
    {
      entry->repair.added_um = g_rand_double_range (random, 15, 40);
      entry->repair.added_sd_um = g_rand_double_range (random, 1, 5);
    }
  log_write (log, entry);
  /* A coat after a recoat would be the same one: something must lie between. */
  log_pass (log, 0, "A B E", 0);
}

static void
read_film (BenchLog *log, GRand *random)
{
  RakeEntry *reading = rake_entry_new (RAKE_ENTRY_READING);

  reading->reading.zone = log_zone (log, zone_names[g_rand_int_range (random, 0, 3)])->id;
  reading->reading.quantity = RAKE_QUANTITY_FILM_UM;
  reading->reading.value = g_rand_double_range (random, 40, 150);
  if (chance (random, 70))
    reading->reading.sd = g_rand_double_range (random, 0.5, 6);
  log_write (log, reading);
}

static void
happen (BenchLog *log, GRand *random)
{
  static const char *const zones[] = { "A", "B", "E", "A B", "A B E" };
  guint dice = (guint) g_rand_int_range (random, 0, 100);

  if (dice < 65)
    log_pass (log, (guint) g_rand_int_range (random, 0, N_GRADES),
              zones[g_rand_int_range (random, 0, G_N_ELEMENTS (zones))], 0);
  else if (dice < 88)
    read_film (log, random);
  else if (dice < 94)
    spray (log, random);
  else
    repair (log, random);
}

/* --- printing it ---------------------------------------------------------------------------------------- */

static void
print_entry (const RakeJob *job, const RakeEntry *entry)
{
  switch ((int) entry->kind)
    {
    case RAKE_ENTRY_COAT:
      g_print ("coat");
      print (entry->coat.dry_um);
      print (entry->coat.dry_sd_um);
      print (entry->coat.wet_um);
      print (entry->coat.volume_solids_fraction);
      print (entry->coat.scuff_um);
      print (entry->coat.scuff_sd_um);
      break;
    case RAKE_ENTRY_PASS:
      g_print ("pass\t%s", rake_job_find_stage (job, entry->pass.stage)->grade);
      break;
    case RAKE_ENTRY_READING:
      g_print ("read");
      print (entry->reading.value);
      print (entry->reading.sd);
      break;
    case RAKE_ENTRY_REPAIR:
      g_print (entry->repair.method == RAKE_REPAIR_RECOAT ? "recoat" : "scrape");
      print (entry->repair.added_um);
      print (entry->repair.added_sd_um);
      print (entry->repair.removed_um);
      print (entry->repair.removed_sd_um);
      break;
    default:
      return;
    }
  g_print ("\n");
}

static void
print_zone (const RakeJob *job, const RakeZone *zone, const RakeRates *rates)
{
  g_autoptr (RakeFilm) film = rake_film_take (job, zone, rates, &limits);

  g_print ("zone\t%s", zone->stage->grade);
  print (zone->edge_factor);
  print (zone->coat_factor);
  print (zone->reserve_um);
  g_print ("\n");
  for (guint i = 0; i < zone->history->len; i++)
    print_entry (job, zone->history->pdata[i]);
  g_print ("film");
  print (film->film.mean);
  print (film->film.sd);
  print (film->last_coat.mean);
  print (film->last_coat.sd);
  print (film->risk_now);
  print (film->risk_after_next_pass);
  print (film->last_coat_risk_now);
  print (film->last_coat_risk_after_next_pass);
  print (film->next_pass.mean);
  print (film->next_pass.sd);
  g_print ("\n");
}

static void
print_story (const BenchLog *log)
{
  g_autoptr (RakeRates) rates = rake_rates_take (log->job);

  g_print ("job\n");
  for (guint i = 0; i < rake_rates_get_n (rates); i++)
    {
      const RakeRate *rate = rake_rates_get (rates, i);

      g_print ("rate\t%s", rate->grade);
      print (rate->prior_mean_um);
      print (rate->prior_sd_um);
      print (rate->scatter_sd_um);
      print (rate->mean_um);
      print (rate->common_sd_um);
      print (rate->n_observations);
      g_print ("\n");
    }
  for (gsize i = 0; i < G_N_ELEMENTS (zone_names); i++)
    print_zone (log->job, log_zone (log, zone_names[i]), rates);
}

int
main (int argc, char **argv)
{
  g_autoptr (GRand) random = g_rand_new_with_seed (argc > 1 ? (guint32) atoi (argv[1]) : 1);

  for (guint i = 0; i < N_STORIES; i++)
    {
      g_autoptr (BenchLog) log =
          log_new (RAKE_FINISH_POLYESTER, STAGES, "A 100, B 80, E 20 edge 1");

      record_rates (log, random);
      tell_zones (log, random);
      if (chance (random, 80))
        for (int n = g_rand_int_range (random, 1, 5); n > 0; n--)
          spray (log, random);
      for (int n = g_rand_int_range (random, 5, 40); n > 0; n--)
        happen (log, random);
      print_story (log);
    }
  return 0;
}
