/* test-schedule.c - a schedule is read as it was meant, or refused with what to write instead. */
#include <rakelight/schedule.h>

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

static void
what_is_written_is_what_is_planned (void **state)
{
  static const struct
  {
    const char *text, *meant;
  } cases[] = {
    { "P800, P1200, P2000, cut, fine",
      "level P800, refine P1200, refine P2000, buff cut, buff fine" },
    { " level P1000 ,refine #2000, Last look, buff medium cut, REST",
      "level P1000, refine #2000, last look, buff medium cut, rest" },
    { "refine P1500", "refine P1500" },
    { "400 CAMI, 5 µm,", "level 400 CAMI, refine 5 µm" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (GArray) stages = rake_schedule_parse (cases[i].text, &error);
      g_autofree char *text = stages != NULL ? rake_schedule_to_text (stages) : NULL;

      if (g_strcmp0 (text, cases[i].meant) != 0)
        fail_msg ("\"%s\" was read as \"%s\" (%s), not \"%s\"", cases[i].text, text,
                  error != NULL ? error->message : "no error", cases[i].meant);
    }
}

static void
what_cannot_be_meant_is_refused (void **state)
{
  static const struct
  {
    const char *text, *says;
  } cases[] = {
    { "", "1 to 20 steps" },         { " , ,", "1 to 20 steps" },
    { "800, P1200", "P800" },        { "P800, level", "names no grit" },
    { "P800, rest P1200", "no grit" },  { "level 800", "800 CAMI" },
    { "level P800, refine 1200", "#1200" }, { "P900, P1200", "P800 and P1000" },
    { "P800, buff 1000", "which grades" }, { "P800, refine P36", "too coarse" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (GArray) stages = rake_schedule_parse (cases[i].text, &error);

      if (stages != NULL || strstr (error->message, cases[i].says) == NULL)
        fail_msg ("\"%s\": %s", cases[i].text, error != NULL ? error->message : "was taken");
    }
}

static void
the_usual_schedules_can_be_read (void **state)
{
  for (int finish = 0; finish < RAKE_N_FINISHES; finish++)
    for (int sheen = 0; sheen <= RAKE_SHEEN_SATIN; sheen++)
      {
        const char *usual = rake_schedule_get_usual_text ((RakeFinish) finish, (RakeSheen) sheen);
        g_autoptr (GArray) stages = rake_schedule_parse (usual, NULL);
        g_autofree char *text = NULL;

        assert_non_null (stages);
        text = rake_schedule_to_text (stages);
        assert_string_equal (text, usual);
      }
}

static void
the_grain_is_filled_in_where_it_is_known (void **state)
{
  static const double known_um[] = { 21.8, 11.5, 16, 5, NAN, NAN, NAN, 9 };
  g_autoptr (GArray) stages = rake_schedule_parse (
      "P800, #1000, 600 CAMI, 5 µm, refine grey wool, last look, medium cut, buff 9 µm", NULL);

  assert_int_equal (stages->len, G_N_ELEMENTS (known_um));
  for (guint i = 0; i < stages->len; i++)
    {
      const RakeStageSpec *stage = &g_array_index (stages, RakeStageSpec, i);

      if (isnan (known_um[i]) ? !isnan (stage->d50_um) : stage->d50_um != known_um[i])
        fail_msg ("%s: %g µm, not %g", stage->grade, stage->d50_um, known_um[i]);
    }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (what_is_written_is_what_is_planned),
    cmocka_unit_test (what_cannot_be_meant_is_refused),
    cmocka_unit_test (the_usual_schedules_can_be_read),
    cmocka_unit_test (the_grain_is_filled_in_where_it_is_known),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
