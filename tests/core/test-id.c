/* test-id.c - ids are what RFC 9562 says, and names give the same id everywhere. */
#include <rakelight/id.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <cmocka.h>

static void
a_new_id_carries_its_time_version_and_variant (void **state)
{
  /* RFC 9562, appendix A.6: 0x017F22E279B0 is 2022-02-22 14:22:22 GMT-05:00. */
  RakeId id = rake_id_new (0x017F22E279B0);
  char text[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (id, text);
  assert_memory_equal (text, "017f22e2-79b0-7", 15);
  assert_true (strchr ("89ab", text[19]) != NULL);
}

static void
text_and_bytes_go_round (void **state)
{
  static const char *const good = "017f22e2-79b0-7cc3-98c4-dc0c0c07398f";
  static const char *const bad[] = { "", "017f22e2", "017f22e2-79b0-7cc3-98c4-dc0c0c07398",
                                     "017f22e2-79b0-7cc3-98c4-dc0c0c07398ff",
                                     "017f22e2-79b0-7cc3-98c4-dc0c0c07398g",
                                     "017f22e2079b0-7cc3-98c4-dc0c0c07398f" };
  char text[RAKE_ID_TEXT_LENGTH + 1];
  RakeId id = RAKE_ID_NIL;

  assert_true (rake_id_from_text (good, &id));
  rake_id_to_text (id, text);
  assert_string_equal (text, good);
  for (gsize i = 0; i < G_N_ELEMENTS (bad); i++)
    {
      RakeId before = id;
      if (rake_id_from_text (bad[i], &id) || !rake_id_equal (id, before))
        fail_msg ("\"%s\" was taken for an id", bad[i]);
    }
}

static void
a_name_is_one_id_in_its_space_and_another_elsewhere (void **state)
{
  RakeId space = rake_id_new (1), other = rake_id_new (2);

  assert_true (
      rake_id_equal (rake_id_new_for_name (space, "front"), rake_id_new_for_name (space, "front")));
  assert_false (
      rake_id_equal (rake_id_new_for_name (space, "front"), rake_id_new_for_name (space, "back")));
  assert_false (
      rake_id_equal (rake_id_new_for_name (space, "front"), rake_id_new_for_name (other, "front")));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_new_id_carries_its_time_version_and_variant),
    cmocka_unit_test (text_and_bytes_go_round),
    cmocka_unit_test (a_name_is_one_id_in_its_space_and_another_elsewhere),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
