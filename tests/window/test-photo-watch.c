/* test-photo-watch.c - a watched folder offers what is new, once, and only when it is whole. */
#include "bench-job.h"
#include "photo-files.h"
#include "photo-watch.h"

#include <glib/gstdio.h>
#include <string.h>

#define STILL_MS 150

typedef struct
{
  char *folder;
  RakePhotoWatch *watch;
} Fixture;

static int
set_up (void **state)
{
  Fixture *fixture = g_new0 (Fixture, 1);

  fixture->folder = g_dir_make_tmp ("rakelight-phone-XXXXXX", NULL);
  fixture->watch = rake_photo_watch_get ();
  rake_photo_watch_set_patience (fixture->watch, STILL_MS, 50);
  *state = fixture;
  return 0;
}

static int
take_down (void **state)
{
  Fixture *fixture = *state;
  g_autoptr (GDir) files = g_dir_open (fixture->folder, 0, NULL);
  const char *name;

  rake_photo_watch_set_folder (fixture->watch, NULL);
  while ((name = g_dir_read_name (files)))
    {
      g_autofree char *path = g_build_filename (fixture->folder, name, NULL);
      g_unlink (path);
    }
  g_rmdir (fixture->folder);
  g_free (fixture->folder);
  g_free (fixture);
  return 0;
}

static void
put (Fixture *fixture, const char *name, const char *text)
{
  g_autoptr (GBytes) bytes = g_bytes_new (text, strlen (text));
  g_autofree char *path = photo_files_write (fixture->folder, name, bytes);
}

static guint
count_offered (Fixture *fixture)
{
  return rake_photo_watch_get_offered (fixture->watch)->len;
}

static const char *
get_name (Fixture *fixture, guint index)
{
  const RakeOfferedPhoto *photo = rake_photo_watch_get_offered (fixture->watch)->pdata[index];

  return strrchr (photo->path, G_DIR_SEPARATOR) + 1;
}

static void
wait_for (Fixture *fixture, guint n_offered)
{
  while (count_offered (fixture) != n_offered)
    g_main_context_iteration (NULL, TRUE);
}

static gboolean
set_true (gpointer user_data)
{
  *(gboolean *) user_data = TRUE;
  return G_SOURCE_REMOVE;
}

/* Long enough for several looks. */
static void
let_it_look (void)
{
  gboolean is_over = FALSE;

  g_timeout_add (4 * STILL_MS, set_true, &is_over);
  while (!is_over)
    g_main_context_iteration (NULL, TRUE);
}

static char *
get_answers_path (void)
{
  return g_build_filename (g_get_user_state_dir (), "rakelight", "photos-answered", NULL);
}

/* The first look writes down what is there. */
static void
watch_from_now (Fixture *fixture)
{
  g_autofree char *path = get_answers_path ();

  g_unlink (path);
  rake_photo_watch_set_folder (fixture->watch, fixture->folder);
  while (!g_file_test (path, G_FILE_TEST_EXISTS))
    g_main_context_iteration (NULL, TRUE);
}

static void
what_was_there_before_is_not_new (void **state)
{
  Fixture *fixture = *state;

  put (fixture, "old.jpg", "old");
  watch_from_now (fixture);
  put (fixture, "new.JPG", "new");
  wait_for (fixture, 1);
  assert_string_equal (get_name (fixture, 0), "new.JPG");
}

static void
only_pictures_are_offered (void **state)
{
  Fixture *fixture = *state;

  watch_from_now (fixture);
  put (fixture, "letter.txt", "text");
  put (fixture, ".coming.jpg", "hidden");
  put (fixture, "empty.jpg", "");
  put (fixture, "one.png", "picture");
  wait_for (fixture, 1);
  let_it_look ();
  assert_int_equal (count_offered (fixture), 1);
  assert_string_equal (get_name (fixture, 0), "one.png");
}

static void
what_is_still_being_written_is_waited_for (void **state)
{
  Fixture *fixture = *state;
  g_autofree char *path = g_build_filename (fixture->folder, "slow.jpg", NULL);
  FILE *file;

  watch_from_now (fixture);
  rake_photo_watch_set_patience (fixture->watch, 10 * STILL_MS, 50);
  file = g_fopen (path, "w");
  /* Written a piece at a time, each sooner than the patience, for longer than that. */
  for (guint i = 0; i < 60; i++)
    {
      fputs ("more", file);
      fflush (file);
      for (guint turn = 0; turn < 3; turn++)
        {
          g_usleep (STILL_MS * 1000 / 15);
          g_main_context_iteration (NULL, FALSE);
        }
      assert_int_equal (count_offered (fixture), 0);
    }
  fclose (file);
  rake_photo_watch_set_patience (fixture->watch, STILL_MS, 50);
  wait_for (fixture, 1);
}

static void
what_was_answered_is_not_offered_again (void **state)
{
  Fixture *fixture = *state;

  watch_from_now (fixture);
  put (fixture, "one.jpg", "one");
  wait_for (fixture, 1);
  rake_photo_watch_answer (fixture->watch);
  assert_int_equal (count_offered (fixture), 0);
  let_it_look ();
  assert_int_equal (count_offered (fixture), 0);
  put (fixture, "one.jpg", "another picture of the same name");
  wait_for (fixture, 1);
}

static void
answers_are_remembered_in_the_state_folder (void **state)
{
  Fixture *fixture = *state;
  g_autofree char *path = get_answers_path ();
  g_autofree char *text = NULL;

  watch_from_now (fixture);
  put (fixture, "kept.jpg", "one");
  wait_for (fixture, 1);
  rake_photo_watch_answer (fixture->watch);
  assert_true (g_file_get_contents (path, &text, NULL, NULL));
  assert_non_null (strstr (text, "kept.jpg"));
}

#define TEST(name) cmocka_unit_test_setup_teardown (name, set_up, take_down)

int
main (void)
{
  const struct CMUnitTest tests[] = {
    TEST (what_was_there_before_is_not_new),
    TEST (only_pictures_are_offered),
    TEST (what_is_still_being_written_is_waited_for),
    TEST (what_was_answered_is_not_offered_again),
    TEST (answers_are_remembered_in_the_state_folder),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, NULL, NULL);
}
