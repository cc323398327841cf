/* test-photo-desk.c - photographs into the job and out of it, with nobody waiting. */
#include "bench-job.h"
#include "photo-desk.h"
#include "photo-files.h"
#include "words.h"

#include <math.h>
#include <signal.h>
#include <sqlite3.h>
#include <string.h>
#include <sys/resource.h>

static RakePhotoDesk *
get_desk (Bench *bench)
{
  return rake_photo_desk_get (bench->session);
}

static void
wait_until_all_in (Bench *bench)
{
  while (rake_photo_desk_get_n_waiting (get_desk (bench)) > 0)
    g_main_context_iteration (NULL, TRUE);
}

static gboolean
add (Bench *bench, const char *path, const RakePhotoPlace *place)
{
  g_autoptr (GFile) file = g_file_new_for_path (path);

  return rake_photo_desk_add_file (get_desk (bench), file, place);
}

static char *
write_jpeg (Bench *bench, const char *name, guint seed)
{
  g_autoptr (GBytes) jpeg = photo_files_make_jpeg (400, 300, seed);

  return photo_files_write (bench->folder, name, jpeg);
}

static guint
count_photos (Bench *bench)
{
  return rake_job_get_n_photos (rake_session_get_live_job (bench->session));
}

static const RakePhoto *
get_photo (Bench *bench, guint index)
{
  return rake_job_get_photo (rake_session_get_live_job (bench->session), index);
}

static void
add_one (Bench *bench)
{
  g_autofree char *path = write_jpeg (bench, "one.jpg", 1);

  assert_true (add (bench, path, NULL));
  wait_until_all_in (bench);
  assert_int_equal (count_photos (bench), 1);
}

static gboolean
was_said (Bench *bench, const char *part)
{
  for (guint i = 0; i < bench->messages->len; i++)
    if (strstr (bench->messages->pdata[i], part))
      return TRUE;
  return FALSE;
}

static void
assert_said (Bench *bench, const char *part)
{
  if (!was_said (bench, part))
    fail_msg ("nothing said with \"%s\"; last: \"%s\"", part, bench_get_message (bench));
}

/* --- in --------------------------------------------------------------------------------------- */

static void
adding_returns_before_anything_is_done (void **state)
{
  Bench *bench = *state;
  g_autofree char *path = write_jpeg (bench, "one.jpg", 1);

  assert_true (add (bench, path, NULL));
  assert_int_equal (count_photos (bench), 0);
  assert_int_equal (rake_photo_desk_get_n_waiting (get_desk (bench)), 1);
  wait_until_all_in (bench);
  assert_int_equal (count_photos (bench), 1);
  assert_true (rake_photo_desk_get_progress (get_desk (bench)) == 1);
  assert_said (bench, "1 photograph added");
}

static void
note_id (RakePhotoDesk *desk, const char *id, char **noted)
{
  g_free (*noted);
  *noted = g_strdup (id);
}

static void
a_picture_goes_where_it_was_said_to_belong (void **state)
{
  Bench *bench = *state;
  g_autofree char *path = write_jpeg (bench, "one.jpg", 1);
  g_autofree char *noted = NULL;
  g_autoptr (RakePhotoPlace) place = NULL;
  const RakePhotoBody *body;
  char id[RAKE_ID_TEXT_LENGTH + 1];

  bench_select (bench, bench->middle);
  place = rake_photo_place_new_from_selection (bench->session);
  place->lamp_deg = 90;
  place->view = g_strdup ("from the tail");
  g_signal_connect (get_desk (bench), "added", G_CALLBACK (note_id), &noted);
  assert_true (add (bench, path, place));
  wait_until_all_in (bench);
  body = &get_photo (bench, 0)->placed->photo;
  assert_true (rake_id_equal (body->face, bench->face));
  assert_int_equal (body->zones->len, 1);
  assert_true (rake_id_equal (g_array_index (body->zones, RakeId, 0), bench->middle));
  assert_true (body->lamp_deg == 90);
  assert_string_equal (body->view, "from the tail");
  assert_string_equal (body->name, "one.jpg");
  rake_id_to_text (get_photo (bench, 0)->id, id);
  assert_string_equal (noted, id);
}

static void
without_a_place_it_is_guessed_from_the_time (void **state)
{
  Bench *bench = *state;
  g_autoptr (GBytes) jpeg = photo_files_make_jpeg (40, 30, 1);
  const RakePhotoBody *body;

  bench_select (bench, bench->right);
  assert_true (rake_session_pass_done (bench->session));
  assert_true (
      rake_photo_desk_add_bytes (get_desk (bench), jpeg, NULL, rake_session_now_ms (), NULL));
  wait_until_all_in (bench);
  body = &get_photo (bench, 0)->placed->photo;
  assert_true (rake_id_equal (body->face, bench->face));
  assert_true (rake_id_equal (body->stage, bench->stages[0]));
  assert_int_equal (body->zones->len, 1);
  assert_true (rake_id_equal (g_array_index (body->zones, RakeId, 0), bench->right));
}

static void
what_cannot_be_added_is_told_and_the_rest_goes_on (void **state)
{
  Bench *bench = *state;
  g_autoptr (GBytes) text = g_bytes_new_static ("Dear finisher,\n", 15);
  g_autoptr (GBytes) whole = photo_files_make_jpeg (400, 300, 2);
  g_autoptr (GBytes) half = g_bytes_new_from_bytes (whole, 0, g_bytes_get_size (whole) / 2);
  g_autofree char *letter = photo_files_write (bench->folder, "letter.jpg", text);
  g_autofree char *torn = photo_files_write (bench->folder, "torn.jpg", half);
  g_autofree char *good = write_jpeg (bench, "good.jpg", 3);
  g_autofree char *gone = g_build_filename (bench->folder, "gone.jpg", NULL);

  assert_true (add (bench, letter, NULL) && add (bench, torn, NULL) && add (bench, gone, NULL) &&
               add (bench, bench->folder, NULL) && add (bench, good, NULL));
  wait_until_all_in (bench);
  assert_int_equal (count_photos (bench), 1);
  assert_string_equal (get_photo (bench, 0)->entry->photo.name, "good.jpg");
  assert_said (bench, "letter.jpg");
  assert_said (bench, "torn.jpg");
  assert_said (bench, "“gone.jpg” cannot be read");
  assert_said (bench, "is not a file");
  assert_said (bench, "1 photograph added");
}

/* What the kernel says of itself calls itself a page long and is shorter: what was to be read and what
 * was read differ, as with a file that another program still writes. */
static void
a_file_that_changes_while_it_is_read_is_refused (void **state)
{
  Bench *bench = *state;
  const char *path = "/sys/devices/system/cpu/possible";

  if (!g_file_test (path, G_FILE_TEST_EXISTS))
    skip ();
  assert_true (add (bench, path, NULL));
  wait_until_all_in (bench);
  assert_int_equal (count_photos (bench), 0);
  assert_said (bench, "changed while it was read");
}

/* What has no path is read through its stream: here, one out of the program itself. */
static void
a_file_without_a_path_is_read_as_well (void **state)
{
  Bench *bench = *state;
  g_autoptr (GFile) file = g_file_new_for_uri ("resource://" RAKE_UI_PATH "camera-page.ui");

  assert_null (g_file_peek_path (file));
  assert_true (rake_photo_desk_add_file (get_desk (bench), file, NULL));
  wait_until_all_in (bench);
  assert_int_equal (count_photos (bench), 0);
  assert_said (bench, "camera-page.ui");
}

static void
the_same_picture_comes_in_once (void **state)
{
  Bench *bench = *state;
  g_autofree char *again = NULL;

  add_one (bench);
  again = write_jpeg (bench, "again.jpg", 1);
  assert_true (add (bench, again, NULL));
  wait_until_all_in (bench);
  assert_int_equal (count_photos (bench), 1);
  assert_said (bench, "“again.jpg” is in this job already, as photograph 1, where its place");
}

static void
cancelling_drops_what_waits_and_keeps_what_is_in (void **state)
{
  Bench *bench = *state;

  for (guint i = 0; i < 6; i++)
    {
      g_autofree char *name = g_strdup_printf ("%u.jpg", i);
      g_autofree char *path = write_jpeg (bench, name, i);
      assert_true (add (bench, path, NULL));
    }
  while (count_photos (bench) < 2)
    g_main_context_iteration (NULL, TRUE);
  rake_photo_desk_cancel (get_desk (bench));
  assert_true (rake_photo_desk_get_n_waiting (get_desk (bench)) <= 1);
  wait_until_all_in (bench);
  assert_int_equal (count_photos (bench), 2);
  bench_reopen (bench);
  assert_int_equal (count_photos (bench), 2);
}

static void
in_the_past_nothing_is_added (void **state)
{
  Bench *bench = *state;
  g_autofree char *path = write_jpeg (bench, "one.jpg", 1);

  rake_session_show_entries (bench->session, 2);
  assert_false (add (bench, path, NULL));
  assert_int_equal (rake_photo_desk_get_n_waiting (get_desk (bench)), 0);
  assert_said (bench, "Go back to now");
}

/* A limit on the size of files stands in for a full disk: writes fail in the same place. */
static void
a_full_disk_keeps_nothing_by_half (void **state)
{
  Bench *bench = *state;
  g_autofree char *path = write_jpeg (bench, "one.jpg", 1);
  struct rlimit limit, none;
  void (*handler) (int) = signal (SIGXFSZ, SIG_IGN);
  guint before = bench_count_entries (bench);

  getrlimit (RLIMIT_FSIZE, &limit);
  none = (struct rlimit){ .rlim_cur = 1, .rlim_max = limit.rlim_max };
  setrlimit (RLIMIT_FSIZE, &none);
  assert_true (add (bench, path, NULL));
  wait_until_all_in (bench);
  setrlimit (RLIMIT_FSIZE, &limit);
  signal (SIGXFSZ, handler);
  assert_said (bench, "Not recorded");
  assert_false (was_said (bench, "added"));
  assert_int_equal (bench_count_entries (bench), before);
  bench_reopen (bench);
  assert_int_equal (count_photos (bench), 0);
  add_one (bench);
}

static void
leaving_the_bench_does_not_lose_what_comes (void **state)
{
  Bench *bench = *state;
  g_autofree char *path = write_jpeg (bench, "one.jpg", 1);
  RakeSession *watched = bench->session;

  assert_true (add (bench, path, NULL));
  g_signal_handlers_disconnect_by_data (bench->session, bench);
  g_object_add_weak_pointer (G_OBJECT (watched), (gpointer *) &watched);
  bench_close (bench);
  assert_non_null (watched);
  while (watched)
    g_main_context_iteration (NULL, TRUE);
  bench_reopen (bench);
  assert_int_equal (count_photos (bench), 1);
}

/* --- out -------------------------------------------------------------------------------------- */

typedef struct
{
  gboolean is_there;
  int width, height;
  char *sentence;
  gsize n_bytes;
  gboolean has_location;
} Answer;

static void
on_texture (GdkTexture *texture, const GError *error, gpointer user_data)
{
  Answer *answer = user_data;

  answer->is_there = TRUE;
  answer->width = texture ? gdk_texture_get_width (texture) : 0;
  answer->height = texture ? gdk_texture_get_height (texture) : 0;
  answer->sentence = error ? g_strdup (error->message) : NULL;
}

static void
on_original (GBytes *original, gboolean has_location, const GError *error, gpointer user_data)
{
  Answer *answer = user_data;

  answer->is_there = TRUE;
  answer->n_bytes = original ? g_bytes_get_size (original) : 0;
  answer->has_location = has_location;
  answer->sentence = error ? g_strdup (error->message) : NULL;
}

static Answer
load (Bench *bench, RakePhotoCopyKind kind)
{
  Answer answer = { 0 };

  rake_photo_desk_load (get_desk (bench), get_photo (bench, 0), kind, NULL, on_texture, &answer);
  assert_false (answer.is_there);
  while (!answer.is_there)
    g_main_context_iteration (NULL, TRUE);
  return answer;
}

/* 400 × 300 in the file, to be turned clockwise: 300 × 400 as a person sees it. */
static void
a_copy_comes_upright_and_is_there_the_next_time (void **state)
{
  Bench *bench = *state;
  g_autoptr (GBytes) jpeg = photo_files_make_jpeg (400, 300, 1);
  g_autoptr (GBytes) turned = photo_files_with_exif (jpeg, 6, FALSE);
  g_autofree char *path = photo_files_write (bench->folder, "turned.jpg", turned);
  Answer answer;

  assert_true (add (bench, path, NULL));
  wait_until_all_in (bench);
  assert_null (
      rake_photo_desk_peek (get_desk (bench), get_photo (bench, 0), RAKE_PHOTO_COPY_WORKING));
  answer = load (bench, RAKE_PHOTO_COPY_WORKING);
  assert_int_equal (answer.width, 300);
  assert_int_equal (answer.height, 400);
  assert_non_null (
      rake_photo_desk_peek (get_desk (bench), get_photo (bench, 0), RAKE_PHOTO_COPY_WORKING));
  answer = load (bench, RAKE_PHOTO_COPY_THUMBNAIL);
  assert_int_equal (answer.width, 192);
  assert_int_equal (answer.height, 256);
}

static void
run_sql (Bench *bench, const char *sql)
{
  sqlite3 *db;

  assert_int_equal (sqlite3_open (bench->path, &db), SQLITE_OK);
  if (sqlite3_exec (db, sql, NULL, NULL, NULL) != SQLITE_OK)
    fail_msg ("%s: %s", sql, sqlite3_errmsg (db));
  sqlite3_close (db);
}

static int
read_number (Bench *bench, const char *sql)
{
  sqlite3 *db;
  sqlite3_stmt *row;
  int number;

  assert_int_equal (sqlite3_open (bench->path, &db), SQLITE_OK);
  assert_int_equal (sqlite3_prepare_v2 (db, sql, -1, &row, NULL), SQLITE_OK);
  assert_int_equal (sqlite3_step (row), SQLITE_ROW);
  number = sqlite3_column_int (row, 0);
  sqlite3_finalize (row);
  sqlite3_close (db);
  return number;
}

static void
a_copy_that_is_none_is_made_anew_and_kept (void **state)
{
  Bench *bench = *state;
  Answer answer;

  add_one (bench);
  run_sql (bench, "UPDATE photo_thumbnail SET bytes = x'ffd8ff00'");
  answer = load (bench, RAKE_PHOTO_COPY_THUMBNAIL);
  assert_int_equal (answer.width, 256);
  assert_int_equal (answer.height, 192);
  assert_true (read_number (bench, "SELECT length (bytes) FROM photo_thumbnail") > 100);
  run_sql (bench, "DELETE FROM photo_working");
  answer = load (bench, RAKE_PHOTO_COPY_WORKING);
  assert_int_equal (answer.width, 400);
  assert_int_equal (read_number (bench, "SELECT count (*) FROM photo_working"), 1);
}

/* Its bytes are there as another photograph's. */
static void
what_was_withdrawn_is_not_shown_though_its_bytes_stay (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeEntry) second = NULL, entry = rake_entry_new (RAKE_ENTRY_WITHDRAWAL);
  Answer answer;

  add_one (bench);
  load (bench, RAKE_PHOTO_COPY_THUMBNAIL);
  second =
      rake_photo_new_placement (rake_session_get_live_job (bench->session), get_photo (bench, 0));
  second->photo.photo = RAKE_ID_NIL;
  assert_true (rake_session_append (bench->session, &second, 1));
  entry->withdrawal.photo = get_photo (bench, 0)->id;
  entry->withdrawal.reason = g_strdup ("of the other side");
  assert_true (rake_session_append (bench->session, &entry, 1));
  assert_int_equal (read_number (bench, "SELECT count (bytes) FROM photo_bytes"), 1);
  answer = load (bench, RAKE_PHOTO_COPY_THUMBNAIL);
  assert_int_equal (answer.width, 0);
  assert_non_null (strstr (answer.sentence, "withdrawn"));
  g_free (answer.sentence);
  assert_non_null (
      rake_photo_desk_peek (get_desk (bench), get_photo (bench, 1), RAKE_PHOTO_COPY_THUMBNAIL));
}

static void
what_was_withdrawn_is_told_as_that (void **state)
{
  Bench *bench = *state;
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_WITHDRAWAL);
  Answer answer;

  add_one (bench);
  load (bench, RAKE_PHOTO_COPY_THUMBNAIL);
  entry->withdrawal.photo = get_photo (bench, 0)->id;
  entry->withdrawal.reason = g_strdup ("shows a face in the window");
  assert_true (rake_session_append (bench->session, &entry, 1));
  assert_null (
      rake_photo_desk_peek (get_desk (bench), get_photo (bench, 0), RAKE_PHOTO_COPY_THUMBNAIL));
  answer = load (bench, RAKE_PHOTO_COPY_THUMBNAIL);
  assert_int_equal (answer.width, 0);
  assert_non_null (strstr (answer.sentence, "withdrawn"));
  g_free (answer.sentence);
}

static void
once_cancelled_nobody_is_called (void **state)
{
  Bench *bench = *state;
  g_autoptr (GCancellable) cancellable = g_cancellable_new ();
  Answer never = { 0 };

  add_one (bench);
  rake_photo_desk_load (get_desk (bench), get_photo (bench, 0), RAKE_PHOTO_COPY_WORKING,
                        cancellable, on_texture, &never);
  g_cancellable_cancel (cancellable);
  load (bench, RAKE_PHOTO_COPY_THUMBNAIL); /* comes after it */
  assert_false (never.is_there);
}

static void
an_original_comes_to_the_byte_and_tells_of_its_place (void **state)
{
  Bench *bench = *state;
  g_autoptr (GBytes) jpeg = photo_files_make_jpeg (400, 300, 1);
  g_autoptr (GBytes) placed = photo_files_with_exif (jpeg, 1, TRUE);
  Answer answer = { 0 };

  assert_true (rake_photo_desk_add_bytes (get_desk (bench), placed, "a.jpg", 0, NULL));
  wait_until_all_in (bench);
  rake_photo_desk_read_original (get_desk (bench), get_photo (bench, 0), NULL, on_original,
                                 &answer);
  while (!answer.is_there)
    g_main_context_iteration (NULL, TRUE);
  assert_int_equal (answer.n_bytes, g_bytes_get_size (placed));
  assert_true (answer.has_location);
}

static void
a_session_that_goes_leaves_no_reader_behind (void **state)
{
  Bench *bench = *state;
  Answer answer = { 0 };
  g_autofree char *log = g_strconcat (bench->path, "-wal", NULL);

  add_one (bench);
  rake_photo_desk_load (get_desk (bench), get_photo (bench, 0), RAKE_PHOTO_COPY_WORKING, NULL,
                        on_texture, &answer);
  bench_close (bench);
  assert_false (g_file_test (log, G_FILE_TEST_EXISTS));
  while (!answer.is_there)
    g_main_context_iteration (NULL, TRUE);
  g_free (answer.sentence);
  bench_reopen (bench);
}

#define TEST(name) cmocka_unit_test_setup_teardown (name, bench_set_up, bench_take_down)

int
main (void)
{
  const struct CMUnitTest tests[] = {
    TEST (adding_returns_before_anything_is_done),
    TEST (a_picture_goes_where_it_was_said_to_belong),
    TEST (without_a_place_it_is_guessed_from_the_time),
    TEST (what_cannot_be_added_is_told_and_the_rest_goes_on),
    TEST (a_file_that_changes_while_it_is_read_is_refused),
    TEST (a_file_without_a_path_is_read_as_well),
    TEST (the_same_picture_comes_in_once),
    TEST (cancelling_drops_what_waits_and_keeps_what_is_in),
    TEST (in_the_past_nothing_is_added),
    TEST (a_full_disk_keeps_nothing_by_half),
    TEST (leaving_the_bench_does_not_lose_what_comes),
    TEST (a_copy_comes_upright_and_is_there_the_next_time),
    TEST (a_copy_that_is_none_is_made_anew_and_kept),
    TEST (what_was_withdrawn_is_not_shown_though_its_bytes_stay),
    TEST (what_was_withdrawn_is_told_as_that),
    TEST (once_cancelled_nobody_is_called),
    TEST (an_original_comes_to_the_byte_and_tells_of_its_place),
    TEST (a_session_that_goes_leaves_no_reader_behind),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, NULL, NULL);
}
