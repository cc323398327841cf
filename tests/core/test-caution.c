/* test-caution.c - what is minded before a stage: of the work, of the film, and who comes first. */
#include <rakelight/caution.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

static void
a_stage_has_the_cautions_of_its_work_and_its_film (void **state)
{
  static const struct
  {
    RakeAction action;
    RakeFinish finish;
    const char *says, *says_not;
  } cases[] = {
    { RAKE_ACTION_LEVEL, RAKE_FINISH_SHELLAC, "breathed", "Nitrocellulose" },
    { RAKE_ACTION_LEVEL, RAKE_FINISH_NITROCELLULOSE, "keep it wet", "isocyanate" },
    { RAKE_ACTION_REFINE, RAKE_FINISH_POLYURETHANE_2K, "isocyanate", "Nitrocellulose" },
    { RAKE_ACTION_BUFF, RAKE_FINISH_POLYURETHANE_2K, "snatch", "isocyanate" },
    { RAKE_ACTION_BUFF, RAKE_FINISH_NITROCELLULOSE, "sweep", "keep it wet" },
  };

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autofree char *text = rake_caution_for_stage (cases[i].action, cases[i].finish);

      if (strstr (text, cases[i].says) == NULL || strstr (text, cases[i].says_not) != NULL ||
          strstr (text, "data sheet comes first") == NULL)
        fail_msg ("row %zu: %s", i, text);
    }
  assert_null (rake_caution_for_stage (RAKE_ACTION_LAST_LOOK, RAKE_FINISH_NITROCELLULOSE));
  assert_null (rake_caution_for_stage (RAKE_ACTION_REST, RAKE_FINISH_POLYURETHANE_2K));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_stage_has_the_cautions_of_its_work_and_its_film),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
