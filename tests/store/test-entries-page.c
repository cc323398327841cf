/* test-entries-page.c - the example lines of docs/entries.md are one job, as the page promises. */
#include "store-support.h"

#include <string.h>

/* The page's draft lines in their order; the sealed one at its end is for another test. */
static char *
collect_examples (guint *n_lines)
{
  g_autofree char *path =
      g_build_filename (g_getenv ("RAKE_SOURCE_ROOT"), "docs", "entries.md", NULL);
  g_autofree char *page = NULL;
  g_auto (GStrv) lines = NULL;
  GString *text = g_string_new (NULL);

  assert_true (g_file_get_contents (path, &page, NULL, NULL));
  lines = g_strsplit (page, "\n", -1);
  *n_lines = 0;
  for (char **line = lines; *line != NULL; line++)
    if (g_str_has_prefix (*line, "    {\"kind\":") && strstr (*line, "\"previous\":") == NULL)
      {
        g_string_append_printf (text, "%s\n", *line + 4);
        (*n_lines)++;
      }
  return g_string_free (text, FALSE);
}

/* The one photograph that the page gives in full, after the word base64. */
static GBytes *
find_photo (const char *sha256, gpointer page, GError **error)
{
  const char *start = strstr (page, "\n    base64 ");
  g_autofree char *text = NULL;
  g_autofree char *sum = NULL;
  guint8 *bytes;
  gsize length;

  assert_non_null (start);
  start += strlen ("\n    base64 ");
  text = g_strndup (start, strcspn (start, "\n"));
  bytes = g_base64_decode (text, &length);
  sum = g_compute_checksum_for_data (G_CHECKSUM_SHA256, bytes, length);
  if (g_str_equal (sum, sha256))
    return g_bytes_new_take (bytes, length);
  g_free (bytes);
  return NULL;
}

static void
the_examples_make_one_job_with_every_kind_in_it (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = rake_job_new ();
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (GError) error = NULL;
  gboolean is_met[RAKE_N_ENTRY_KINDS] = { FALSE };
  g_autofree char *path =
      g_build_filename (g_getenv ("RAKE_SOURCE_ROOT"), "docs", "entries.md", NULL);
  g_autofree char *text = NULL, *page = NULL;
  guint n_lines;

  assert_true (g_file_get_contents (path, &page, NULL, NULL));
  text = collect_examples (&n_lines);
  file = rake_job_file_create (shop->path, &error);
  assert_no_error (error);
  assert_int_equal (
      rake_exchange_import_with_photos (file, job, text, strlen (text), find_photo, page, &error),
      n_lines);
  assert_no_error (error);
  rake_job_file_verify (file, &error);
  assert_no_error (error);
  assert_int_equal (rake_job_get_n_void (job), 0);
  for (guint i = 0; i < rake_job_get_n_entries (job); i++)
    is_met[rake_job_get_entry (job, i)->kind] = TRUE;
  for (guint kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    if (!is_met[kind])
      fail_msg ("docs/entries.md has no example of %s", rake_entry_kind_get_name (kind));
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown (the_examples_make_one_job_with_every_kind_in_it, shop_open,
                                     shop_close),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
