/* test-job-repair.c - what is said before a repair, the clocks of fills, and a warranty's blanks. */
#include "job-support.h"

#include <rakelight/care.h>
#include <rakelight/record.h>
#include <rakelight/repair.h>
#include <rakelight/warranty.h>

#include "near.h"

#define HOUR_MS G_GINT64_CONSTANT (3600000)

static void
be_of (Bench *bench, RakeFinish finish)
{
  RakeEntry *facts = rake_entry_new (RAKE_ENTRY_JOB);

  facts->job.name = g_strdup ("Lute");
  facts->job.shop = g_strdup ("Pell & Ash");
  facts->job.finish = finish;
  bench_write (bench, facts);
}

static gboolean
says (const Bench *bench, RakeRepairMethod method, const char *words)
{
  g_autoptr (GPtrArray) advice =
      rake_repair_list_advice (bench->bench->job, zone_of (bench, bench->left), method);

  for (guint i = 0; i < advice->len; i++)
    if (strstr (advice->pdata[i], words) != NULL)
      return TRUE;
  return FALSE;
}

/* docs/record.md, "Before a repair". */
static void
advice_goes_by_whether_the_coats_fuse (void **state)
{
  static const struct
  {
    RakeRepairMethod method;
    const char *words;
    gboolean fused, not_fused, unknown;
  } cases[] = {
    { RAKE_REPAIR_RECOAT, "to its edge, not Left alone", FALSE, TRUE, TRUE },
    { RAKE_REPAIR_RECOAT, "unless you know", FALSE, FALSE, TRUE },
    { RAKE_REPAIR_RECOAT, "Scuff everything dull", FALSE, TRUE, TRUE },
    { RAKE_REPAIR_DROP_FILL, "the drop joins", TRUE, FALSE, FALSE },
    { RAKE_REPAIR_DROP_FILL, "may show as a ring", FALSE, TRUE, TRUE },
    { RAKE_REPAIR_FILL, "may show as a ring", FALSE, TRUE, TRUE },
    { RAKE_REPAIR_COLOUR, "a coat to its edge", FALSE, TRUE, TRUE },
    { RAKE_REPAIR_LEVELLED, "", FALSE, FALSE, FALSE },
    { RAKE_REPAIR_SCRAPED, "", FALSE, FALSE, FALSE },
  };
  static const RakeFinish finishes[] = { RAKE_FINISH_NITROCELLULOSE, RAKE_FINISH_POLYESTER,
                                         RAKE_FINISH_OTHER };
  g_autoptr (Bench) bench = bench_new ();

  for (gsize f = 0; f < G_N_ELEMENTS (finishes); f++)
    {
      be_of (bench, finishes[f]);
      for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
        {
          gboolean expected =
              (gboolean[]){ cases[i].fused, cases[i].not_fused, cases[i].unknown }[f];

          if (says (bench, cases[i].method, cases[i].words) != expected)
            fail_msg ("finish %d, method %d: “%s”", finishes[f], cases[i].method, cases[i].words);
        }
    }
}

static void
what_was_buffed_is_cleaned_first (void **state)
{
  g_autoptr (Bench) bench = bench_new ();

  be_of (bench, RAKE_FINISH_POLYESTER);
  assert_false (says (bench, RAKE_REPAIR_FILL, "wax and silicone"));
  bench_write (bench, new_pass (bench->stages[3], bench->left));
  assert_true (says (bench, RAKE_REPAIR_FILL, "wax and silicone and scuff"));
  assert_false (says (bench, RAKE_REPAIR_LEVELLED, "wax"));
  be_of (bench, RAKE_FINISH_NITROCELLULOSE);
  assert_true (says (bench, RAKE_REPAIR_FILL, "wax and silicone first"));
}

/* The trade's D38: the next drop after four to five hours, levelled after two days. */
static void
each_drop_has_its_clock (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (GArray) fills = NULL;
  const RakeFillClock *clocks;
  gint64 now_ms;

  be_of (bench, RAKE_FINISH_NITROCELLULOSE);
  bench_write (bench, new_repair (bench->left, RAKE_REPAIR_DROP_FILL, RAKE_ID_NIL));
  bench->bench->now_ms += 6 * HOUR_MS;
  bench_write (bench, new_repair (bench->left, RAKE_REPAIR_DROP_FILL, RAKE_ID_NIL));
  bench_write (bench, new_repair (bench->left, RAKE_REPAIR_SCRAPED, RAKE_ID_NIL));
  now_ms = bench->bench->now_ms + HOUR_MS;
  fills = rake_repair_list_fills (bench->bench->job, zone_of (bench, bench->left), now_ms);
  assert_int_equal (fills->len, 2);
  clocks = (const RakeFillClock *) (const void *) fills->data;
  assert_near ("first", clocks[0].days_left, 2 - 7.0 / 24, 1e-5);
  assert_near ("first's next", clocks[0].next_hours, 0, 0);
  assert_near ("second", clocks[1].days_left, 2 - 1.0 / 24, 1e-5);
  assert_near ("second's next", clocks[1].next_hours, 3, 1e-3);
  g_array_unref (fills);
  bench_write (bench, new_repair (bench->left, RAKE_REPAIR_RECOAT, RAKE_ID_NIL));
  fills = rake_repair_list_fills (bench->bench->job, zone_of (bench, bench->left), now_ms);
  assert_int_equal (fills->len, 0);
}

/* What each puts an end to: repair.h. What sanding and looking settle, only a coat does. */
static void
a_repair_settles_what_it_can (void **state)
{
  for (int kind = RAKE_MARK_LOW_SPOT; kind < RAKE_N_MARKS; kind++)
    {
      gboolean is_for_sanding = kind == RAKE_MARK_LOW_SPOT || kind == RAKE_MARK_SCRATCH ||
                                kind == RAKE_MARK_SWIRL || kind == RAKE_MARK_DULL_SPOT;

      assert_true (rake_repair_settles (RAKE_REPAIR_RECOAT, (RakeMarkKind) kind));
      assert_false (rake_repair_settles (RAKE_REPAIR_COLOUR, (RakeMarkKind) kind));
      for (int method = RAKE_REPAIR_LEVELLED; method < RAKE_REPAIR_RECOAT; method++)
        assert_false (is_for_sanding &&
                      rake_repair_settles ((RakeRepairMethod) method, (RakeMarkKind) kind));
    }
  assert_true (rake_repair_settles (RAKE_REPAIR_DROP_FILL, RAKE_MARK_SAND_THROUGH));
  assert_false (rake_repair_settles (RAKE_REPAIR_LEVELLED, RAKE_MARK_SAND_THROUGH));
  assert_false (rake_repair_settles (RAKE_REPAIR_DROP_FILL, RAKE_MARK_RUN));
  assert_true (rake_repair_settles (RAKE_REPAIR_SCRAPED, RAKE_MARK_RUN));
}

/* P400, P800, P1500, then a compound: a fill seen after buffing is levelled with P800, and what was only
 * levelled out bears P1500's scratch at best. The third worked job goes back so, from cut to P1200. */
static void
a_zone_beyond_the_sanding_goes_back_to_it (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  const RakeZone *zone = zone_of (bench, bench->left);

  assert_null (rake_repair_find_stage_after (zone, RAKE_REPAIR_DROP_FILL));
  write_script_step (bench, "b3");
  zone = zone_of (bench, bench->left);
  assert_int_equal (stage_number (bench, zone->stage), 3);
  assert_int_equal (
      stage_number (bench, rake_repair_find_stage_after (zone, RAKE_REPAIR_DROP_FILL)), 1);
  assert_int_equal (stage_number (bench, rake_repair_find_stage_after (zone, RAKE_REPAIR_SCRAPED)),
                    1);
  assert_int_equal (stage_number (bench, rake_repair_find_stage_after (zone, RAKE_REPAIR_LEVELLED)),
                    2);
  assert_null (rake_repair_find_stage_after (zone, RAKE_REPAIR_RECOAT));
}

static void
blanks_are_filled_or_left_to_write_on (void **state)
{
  static const char *const template_text =
      "# for the shop\n{shop} gives {piece}: {months} months,\n"
      "from {distance}. {exclusions}\n";
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_HAND_OVER);
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;
  guint n_open = 0;

  be_of (bench, RAKE_FINISH_SHELLAC);
  entry->hand_over.months = 24;
  text = rake_warranty_fill (template_text, bench->bench->job, &entry->hand_over, "1 May", &n_open,
                             &error);
  assert_null (error);
  assert_string_equal (text, "Pell & Ash gives Lute: 24 months,\nfrom __________.");
  assert_int_equal (n_open, 1);
  assert_null (
      rake_warranty_fill ("{shoe}", bench->bench->job, &entry->hand_over, "", NULL, &error));
  assert_true (g_error_matches (error, RAKE_WARRANTY_ERROR, RAKE_WARRANTY_ERROR_TEMPLATE));
  g_clear_error (&error);
  assert_null (rake_warranty_fill ("{shop", bench->bench->job, &entry->hand_over, "", NULL, NULL));
}

static void
our_own_templates_fill (void **state)
{
  static const struct { const char *locale, *law; } cases[] = {
    { "de_DE.UTF-8", "Das Recht an deinem Ort" }, { "en_GB.UTF-8", "The law where you live" },
    { "C", "The law where you live" },            { NULL, "The law where you live" },
  };
  g_autoptr (Bench) bench = bench_new ();
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_HAND_OVER);

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text =
          rake_warranty_fill (rake_warranty_get_template (cases[i].locale), bench->bench->job,
                              &entry->hand_over, "x", NULL, NULL);

      assert_non_null (text);
      assert_non_null (strstr (text, cases[i].law));
      assert_null (strpbrk (text, "{}#"));
    }
}

static void
care_is_of_the_finish_and_its_sheen (void **state)
{
  g_autoptr (GPtrArray) any = rake_care_list (RAKE_FINISH_UNSAID, RAKE_SHEEN_UNSAID);
  g_autofree char *satin = rake_care_to_text (RAKE_FINISH_SHELLAC, RAKE_SHEEN_SATIN);
  g_autofree char *gloss = rake_care_to_text (RAKE_FINISH_POLYESTER, RAKE_SHEEN_GLOSS);

  assert_true (any->len >= 3);
  assert_non_null (strstr (satin, "heat softens it"));
  assert_non_null (strstr (satin, "polishes a satin finish"));
  assert_null (strstr (gloss, "satin"));
  assert_non_null (strstr (gloss, any->pdata[0]));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (advice_goes_by_whether_the_coats_fuse),
    cmocka_unit_test (what_was_buffed_is_cleaned_first),
    cmocka_unit_test (each_drop_has_its_clock),
    cmocka_unit_test (a_repair_settles_what_it_can),
    cmocka_unit_test (a_zone_beyond_the_sanding_goes_back_to_it),
    cmocka_unit_test (blanks_are_filled_or_left_to_write_on),
    cmocka_unit_test (our_own_templates_fill),
    cmocka_unit_test (care_is_of_the_finish_and_its_sheen),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
