/* test-map-write.c - a map's file is whole and valid, or not there.
 *
 * Sources: the first bytes of PNG (W3C PNG specification, 5.2) and PDF (ISO 32000-1, 7.5.2). XML is
 * read by GMarkup here, by xmllint and pdfinfo (poppler) where they are installed. */
#include "sample.h"

#include <cairo.h>
#include <glib/gstdio.h>
#include <math.h>
#include <signal.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>
#include <sys/resource.h>
#include <cmocka.h>

/* 2026-03-14 09:30 UTC, at a bench an hour ahead. */
#define WRITTEN_MS G_GINT64_CONSTANT (1773480600000)

typedef struct
{
  char *folder;
  Sample *sample;
  RakeJob *job;
} Fixture;

static int
set_up (void **state)
{
  Fixture *fixture = g_new0 (Fixture, 1);
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_JOB);
  g_autoptr (GError) error = NULL;

  fixture->folder = g_dir_make_tmp ("rakelight-XXXXXX", NULL);
  fixture->sample = sample_new_mandola ();
  fixture->job = rake_job_new ();
  entry->written_ms = entry->happened_ms = WRITTEN_MS;
  entry->utc_offset_minutes = 60;
  entry->number = 1;
  entry->bench = rake_id_new (1);
  entry->job.name = g_strdup ("Clock & <case>");
  entry->job.piece = g_strdup ("walnut clock case");
  entry->job.finish = RAKE_FINISH_SHELLAC;
  if (!rake_job_apply (fixture->job, entry, &error))
    fail_msg ("%s", error->message);
  *state = fixture;
  return 0;
}

static int
tear_down (void **state)
{
  Fixture *fixture = *state;
  GDir *folder = g_dir_open (fixture->folder, 0, NULL);
  const char *name;

  while ((name = g_dir_read_name (folder)) != NULL)
    {
      g_autofree char *path = g_build_filename (fixture->folder, name, NULL);
      g_remove (path);
    }
  g_dir_close (folder);
  g_rmdir (fixture->folder);
  g_free (fixture->folder);
  sample_free (fixture->sample);
  rake_job_free (fixture->job);
  g_free (fixture);
  return 0;
}

static gboolean
write_map (Fixture *fixture, const char *name, RakeTheme theme, double width_px, char **path,
           GError **error)
{
  g_autofree char *here = g_build_filename (fixture->folder, name, NULL);
  gboolean is_written = rake_map_write (here, fixture->job, fixture->sample->face,
                                        fixture->sample->judgements, theme, width_px, 300, error);

  if (path != NULL)
    *path = g_steal_pointer (&here);
  return is_written;
}

static guint
count_files (const Fixture *fixture)
{
  GDir *folder = g_dir_open (fixture->folder, 0, NULL);
  guint n = 0;

  while (g_dir_read_name (folder) != NULL)
    n++;
  g_dir_close (folder);
  return n;
}

/* What a program says on its output; NULL where it is not installed. Fails when it fails. */
static char *
ask (const char *program, const char *option, const char *path)
{
  g_autofree char *found = g_find_program_in_path (program);
  const char *command[] = { program, option, path, NULL };
  g_autoptr (GError) error = NULL;
  char *said = NULL;
  int status = 0;

  if (found == NULL)
    return NULL;
  if (!g_spawn_sync (NULL, (char **) (gpointer) command, NULL, G_SPAWN_SEARCH_PATH, NULL, NULL,
                     &said, NULL, &status, &error) ||
      !g_spawn_check_wait_status (status, &error))
    fail_msg ("%s: %s", program, error->message);
  return said;
}

static void
a_png_is_as_wide_as_was_asked (void **state)
{
  static const double widths[] = { 64, 701, 2000 };
  Fixture *fixture = *state;

  for (gsize i = 0; i < G_N_ELEMENTS (widths); i++)
    {
      g_autofree char *path = NULL;
      g_autoptr (GError) error = NULL;
      cairo_surface_t *surface;
      if (!write_map (fixture, "map.PNG", RAKE_THEME_LIGHT, widths[i], &path, &error))
        fail_msg ("%s", error->message);
      surface = cairo_image_surface_create_from_png (path);
      assert_int_equal (cairo_surface_status (surface), CAIRO_STATUS_SUCCESS);
      assert_int_equal (cairo_image_surface_get_width (surface), (int) widths[i]);
      /* The mandola is taller than wide: A4 standing, 841.89 / 595.28. */
      assert_true (ABS (cairo_image_surface_get_height (surface) - widths[i] * 1.41429) < 2);
      cairo_surface_destroy (surface);
    }
}

static void
take_title (GMarkupParseContext *context, const char *text, gsize length, gpointer title,
            GError **error)
{
  if (g_str_equal (g_markup_parse_context_get_element (context), "title"))
    g_string_append_len (title, text, (gssize) length);
}

static void
an_svg_is_xml_with_its_title (void **state)
{
  static const GMarkupParser parser = { .text = take_title };
  Fixture *fixture = *state;

  for (RakeTheme theme = RAKE_THEME_DARK; theme <= RAKE_THEME_PAPER; theme++)
    {
      g_autofree char *path = NULL, *text = NULL, *said = NULL;
      g_autoptr (GError) error = NULL;
      g_autoptr (GString) title = g_string_new (NULL);
      GMarkupParseContext *context = g_markup_parse_context_new (&parser, 0, title, NULL);
      gsize length;
      assert_true (write_map (fixture, "map.svg", theme, 0, &path, NULL));
      assert_true (g_file_get_contents (path, &text, &length, NULL));
      if (!g_markup_parse_context_parse (context, text, (gssize) length, &error) ||
          !g_markup_parse_context_end_parse (context, &error))
        fail_msg ("%s", error->message);
      g_markup_parse_context_free (context);
      assert_string_equal (title->str, "Clock & <case> — Front");
      assert_non_null (strstr (text, "width=\"595.276pt\""));
      said = ask ("xmllint", "--noout", path);
    }
}

static void
a_pdf_is_one_page_with_its_title_and_the_jobs_date (void **state)
{
  Fixture *fixture = *state;
  g_autofree char *path = NULL, *bytes = NULL, *said = NULL;
  gsize length;

  assert_true (write_map (fixture, "map.pdf", RAKE_THEME_PAPER, 0, &path, NULL));
  assert_true (g_file_get_contents (path, &bytes, &length, NULL));
  assert_true (length > 1000 && memcmp (bytes, "%PDF-1.", 7) == 0);
  assert_non_null (g_strrstr_len (bytes + length - 32, 32, "%%EOF"));
  /* pdfinfo tells dates as they are written with -isodates. */
  said = ask ("pdfinfo", "-isodates", path);
  if (said == NULL)
    return;
  assert_non_null (strstr (said, "Clock & <case> — Front"));
  assert_non_null (strstr (said, "Pages:           1"));
  assert_non_null (strstr (said, "2026-03-14T"));
  assert_non_null (strstr (said, "595.276 x 841.89"));
}

static void
a_wide_face_lies_on_the_page (void **state)
{
  Fixture *fixture = *state;
  g_autoptr (Sample) board = sample_new_board (1400, 320, 7, 3, 3);
  g_autofree char *path = g_build_filename (fixture->folder, "board.svg", NULL), *text = NULL;

  assert_true (rake_map_write (path, fixture->job, board->face, board->judgements, RAKE_THEME_PAPER,
                               0, NAN, NULL));
  assert_true (g_file_get_contents (path, &text, NULL, NULL));
  assert_non_null (strstr (text, "width=\"841.89pt\""));
}

static void
the_same_map_is_the_same_file (void **state)
{
  /* Not the SVG: cairo 1.16 numbers its masks through the whole run of a program. */
  static const char *const names[][2] = { { "a.png", "b.png" }, { "a.pdf", "b.pdf" } };
  Fixture *fixture = *state;

  for (gsize i = 0; i < G_N_ELEMENTS (names); i++)
    {
      g_autofree char *one = NULL, *other = NULL, *bytes = NULL, *again = NULL;
      gsize length, length_again;
      assert_true (write_map (fixture, names[i][0], RAKE_THEME_DARK, 300, &one, NULL));
      assert_true (write_map (fixture, names[i][1], RAKE_THEME_DARK, 300, &other, NULL));
      assert_true (g_file_get_contents (one, &bytes, &length, NULL));
      assert_true (g_file_get_contents (other, &again, &length_again, NULL));
      assert_int_equal (length, length_again);
      assert_memory_equal (bytes, again, length);
    }
}

static void
a_map_that_cannot_be_written_leaves_what_was_there (void **state)
{
  Fixture *fixture = *state;
  g_autofree char *path = NULL, *bytes = NULL, *after = NULL;
  g_autoptr (GError) error = NULL, no_folder = NULL;
  struct rlimit before, small;
  gsize length, length_after;

  assert_true (write_map (fixture, "map.png", RAKE_THEME_LIGHT, 200, &path, NULL));
  assert_true (g_file_get_contents (path, &bytes, &length, NULL));
  /* A disk that is full after 8 KiB, as far as this program can tell. */
  signal (SIGXFSZ, SIG_IGN);
  assert_int_equal (getrlimit (RLIMIT_FSIZE, &before), 0);
  small = before;
  small.rlim_cur = 8192;
  assert_int_equal (setrlimit (RLIMIT_FSIZE, &small), 0);
  assert_false (write_map (fixture, "map.png", RAKE_THEME_DARK, 800, NULL, &error));
  assert_int_equal (setrlimit (RLIMIT_FSIZE, &before), 0);
  assert_true (g_error_matches (error, RAKE_MAP_ERROR, RAKE_MAP_ERROR_WRITE));
  assert_true (g_file_get_contents (path, &after, &length_after, NULL));
  assert_int_equal (length, length_after);
  assert_memory_equal (bytes, after, length);
  assert_int_equal (count_files (fixture), 1);

  assert_false (
      write_map (fixture, "no such folder/map.png", RAKE_THEME_DARK, 200, NULL, &no_folder));
  assert_true (g_error_matches (no_folder, RAKE_MAP_ERROR, RAKE_MAP_ERROR_WRITE));
  assert_int_equal (count_files (fixture), 1);
}

static void
what_is_no_map_is_refused (void **state)
{
  static const struct
  {
    const char *name;
    double width_px;
    const char *says;
  } cases[] = {
    { "map.jpg", 400, ".png" },    { "map", 400, ".png" },        { ".png", 400, ".png" },
    { "map.png", 63, "64" },       { "map.png", 8193, "8192" },   { "map.png", NAN, "64" },
    { "map.png", INFINITY, "64" }, { "map.png", -INFINITY, "64" },
  };
  Fixture *fixture = *state;

  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;
      if (write_map (fixture, cases[i].name, RAKE_THEME_DARK, cases[i].width_px, NULL, &error))
        fail_msg ("%s of %g px was written", cases[i].name, cases[i].width_px);
      assert_true (g_error_matches (error, RAKE_MAP_ERROR, RAKE_MAP_ERROR_WRITE));
      if (strstr (error->message, cases[i].says) == NULL)
        fail_msg ("%s of %g px: \"%s\"", cases[i].name, cases[i].width_px, error->message);
    }
  assert_int_equal (count_files (fixture), 0);
}

static void
an_empty_job_and_a_bare_face_make_a_map_too (void **state)
{
  Fixture *fixture = *state;
  g_autoptr (RakeJob) job = rake_job_new ();
  g_autofree char *path = g_build_filename (fixture->folder, "bare.svg", NULL);
  RakeFace face = *fixture->sample->face;
  g_autoptr (GPtrArray) none = g_ptr_array_new ();
  g_autoptr (GError) error = NULL;

  face.zones = none;
  if (!rake_map_write (path, job, &face, NULL, RAKE_THEME_PAPER, 0, NAN, &error))
    fail_msg ("%s", error->message);
}

#define WITH_FOLDER(test) cmocka_unit_test_setup_teardown (test, set_up, tear_down)

int
main (void)
{
  const struct CMUnitTest tests[] = {
    WITH_FOLDER (a_png_is_as_wide_as_was_asked),
    WITH_FOLDER (an_svg_is_xml_with_its_title),
    WITH_FOLDER (a_pdf_is_one_page_with_its_title_and_the_jobs_date),
    WITH_FOLDER (a_wide_face_lies_on_the_page),
    WITH_FOLDER (the_same_map_is_the_same_file),
    WITH_FOLDER (a_map_that_cannot_be_written_leaves_what_was_there),
    WITH_FOLDER (what_is_no_map_is_refused),
    WITH_FOLDER (an_empty_job_and_a_bare_face_make_a_map_too),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
