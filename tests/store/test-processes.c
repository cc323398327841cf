/* test-processes.c - several programs at one file, and programs that are killed in the middle. */
#include "../support/share.h"
#include "store-support.h"

#include <errno.h>
#include <poll.h>
#include <signal.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>
#include <utime.h>

/* Child processes have no use for cmocka's way of failing. */
static void
must (gboolean is_so, const char *what, const GError *error)
{
  if (is_so)
    return;
  g_printerr ("%s: %s\n", what, error != NULL ? error->message : g_strerror (errno));
  _exit (3);
}

static int
wait_for (pid_t child)
{
  int status;

  assert_int_equal (waitpid (child, &status, 0), child);
  return WIFEXITED (status) ? WEXITSTATUS (status) : -WTERMSIG (status);
}

/* --- killed --------------------------------------------------------------------------------------- */

static void
say (int pipe_fd, RakeId id)
{
  must (write (pipe_fd, id.bytes, sizeof id.bytes) == sizeof id.bytes, "write", NULL);
}

/* Marks as fast as it can, and says each entry once it is kept. Closes and opens the file now and
 * then, so that a kill may meet that too. */
static void
mark_until_killed (Shop *shop, int pipe_fd)
{
  for (;;)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeJobFile) file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
      g_autoptr (RakeJob) job = NULL;

      must (file != NULL, "open", error);
      job = rake_job_file_load (file, &error);
      must (job != NULL, "load", error);
      for (int i = 0; i < 8; i++)
        {
          g_autoptr (RakeEntry) look = shop_make_look (shop);
          g_autoptr (RakeEntry) mark = shop_make_mark (shop, look->id, 10 + i, 20);
          RakeEntry *gesture[] = { look, mark };

          must (rake_job_file_append (file, job, gesture, 2, NULL, &error), "append", error);
          say (pipe_fd, look->id);
          say (pipe_fd, mark->id);
        }
    }
}

static guint
check_everything_said_is_there (Shop *shop, int pipe_fd)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
  g_autoptr (RakeJob) job = NULL;
  RakeId id;
  guint n_said = 0;

  assert_no_error (error);
  rake_job_file_verify (file, &error);
  assert_no_error (error);
  job = rake_job_file_load (file, &error);
  assert_no_error (error);
  while (read (pipe_fd, id.bytes, sizeof id.bytes) == sizeof id.bytes)
    {
      n_said++;
      if (rake_job_find_entry (job, id) == NULL)
        fail_msg ("an entry that was kept is not there");
    }
  /* A gesture is two entries. */
  assert_int_equal ((rake_job_get_n_entries (job) - 4) % 2, 0);
  return n_said;
}

static void
wait_for_first_word (int pipe_fd)
{
  struct pollfd poll_fd = { .fd = pipe_fd, .events = POLLIN };

  assert_int_equal (poll (&poll_fd, 1, 30000), 1);
}

static void
what_was_kept_survives_a_kill_at_any_moment (void **state)
{
  Shop *shop = *state;
  g_autofree char *pristine = g_strconcat (shop->folder, "/pristine", NULL);
  g_autoptr (GRand) random = g_rand_new_with_seed (9);
  guint n_said = 0, n_kills = test_share (200);

  {
    g_autoptr (RakeJob) job = NULL;
    g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  }
  shop_copy (shop->path, pristine);
  for (guint trial = 0; trial < n_kills; trial++)
    {
      int ends[2];
      pid_t child;

      if (trial % 20 == 0)
        shop_copy (pristine, shop->path);
      assert_int_equal (pipe (ends), 0);
      child = fork ();
      if (child == 0)
        mark_until_killed (shop, ends[1]);
      close (ends[1]);
      /* Often after it has begun to mark, at times while it is still opening the file. */
      if (trial % 4 != 0)
        wait_for_first_word (ends[0]);
      g_usleep ((gulong) g_rand_int_range (random, 0, 40000));
      kill (child, SIGKILL);
      if (wait_for (child) != -SIGKILL)
        fail_msg ("trial %u: the child ended by itself", trial);
      n_said += check_everything_said_is_there (shop, ends[0]);
      close (ends[0]);
    }
  g_print ("# %u kills, %u entries had been kept\n", n_kills, n_said);
  assert_true (n_said > n_kills);
  assert_int_equal (shop_count_files (shop), 1);
}

/* --- at once -------------------------------------------------------------------------------------- */

#define N_WRITERS 3
#define N_NOTES 40

static void
write_notes (Shop *shop, int writer)
{
  for (int i = 0; i < N_NOTES;)
    {
      g_autoptr (GError) error = NULL;
      g_autoptr (RakeJobFile) file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
      g_autoptr (RakeJob) job = NULL;

      must (file != NULL, "open", error);
      job = rake_job_file_load (file, &error);
      must (job != NULL, "load", error);
      for (int end = i + 10; i < end; i++)
        {
          g_autofree char *text = g_strdup_printf ("writer %d, note %d", writer, i);
          g_autoptr (RakeEntry) note = shop_make_note (text);
          must (rake_job_file_append (file, job, &note, 1, NULL, &error), "append", error);
        }
    }
  _exit (0);
}

/* A program that is killed by the system when it has written the beginning of a new job file. */
static void
be_killed_while_making (const char *path)
{
  pid_t child = fork ();
  int status;

  if (child == 0)
    {
      setrlimit (RLIMIT_CORE, &(struct rlimit){ 0, 0 });
      setrlimit (RLIMIT_FSIZE, &(struct rlimit){ 8192, 8192 });
      signal (SIGXFSZ, SIG_DFL);
      rake_job_file_create (path, NULL);
      _exit (0);
    }
  assert_int_equal (waitpid (child, &status, 0), child);
  assert_true (WIFSIGNALED (status));
}

/* Every file beside the job's: hidden, and with no name that a shelf would list. @age_s is taken
 * from the time of each. */
static guint
look_at_leftovers (Shop *shop, time_t age_s)
{
  g_autoptr (GDir) dir = g_dir_open (shop->folder, 0, NULL);
  const char *name;
  guint n_left = 0;

  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (shop->folder, name, NULL);
      struct utimbuf then = { time (NULL) - age_s, time (NULL) - age_s };

      if (strstr (name, ".being-made-") == NULL)
        continue;
      assert_true (*name == '.' && !g_str_has_suffix (name, ".rakejob"));
      assert_int_equal (utime (path, &then), 0);
      n_left++;
    }
  return n_left;
}

static void
what_a_kill_leaves_of_a_new_file_is_in_nobody_s_way (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autofree char *copy = g_strconcat (shop->folder, "/other.rakejob", NULL);

  be_killed_while_making (shop->path);
  assert_false (g_file_test (shop->path, G_FILE_TEST_EXISTS));
  /* It may belong to a program that is at work: it stays, and does not hinder. */
  assert_true (look_at_leftovers (shop, 0) > 0);
  file = rake_job_file_create (copy, &error);
  assert_no_error (error);
  assert_true (look_at_leftovers (shop, 7200) > 0);
  g_clear_pointer (&file, rake_job_file_close);
  file = rake_job_file_create (shop->path, &error);
  assert_no_error (error);
  assert_int_equal (look_at_leftovers (shop, 0), 0);
  assert_int_equal (shop_count_files (shop), 1);
}

static void
programs_that_write_at_once_keep_all_entries_and_one_chain (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autofree char *text = NULL;
  pid_t writers[N_WRITERS];

  {
    g_autoptr (RakeJob) job = NULL;
    g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  }
  for (int i = 0; i < N_WRITERS; i++)
    {
      writers[i] = fork ();
      if (writers[i] == 0)
        write_notes (shop, i);
    }
  for (int i = 0; i < N_WRITERS; i++)
    assert_int_equal (wait_for (writers[i]), 0);
  assert_int_equal (shop_count_files (shop), 1);
  shop_verify (shop->path, &error);
  assert_no_error (error);
  {
    g_autoptr (RakeJobFile) file = rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, NULL);
    text = shop_export (file);
  }
  for (int writer = 0; writer < N_WRITERS; writer++)
    for (int i = 0; i < N_NOTES; i++)
      {
        g_autofree char *note = g_strdup_printf ("\"writer %d, note %d\"", writer, i);
        if (strstr (text, note) == NULL)
          fail_msg ("no %s", note);
      }
}

/* --- whoever else reads the file ------------------------------------------------------------------- */

static void
append_note (RakeJobFile *file, RakeJob *job, const char *text)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeEntry) note = shop_make_note (text);

  must (rake_job_file_append (file, job, &note, 1, NULL, &error), text, error);
}

static guint
count_notes (Shop *shop)
{
  g_autoptr (RakeJobFile) file = rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, NULL);
  g_autofree char *text = shop_export (file);
  guint n_notes = 0;

  for (const char *at = text; (at = strstr (at, "\"kind\":\"note\"")) != NULL; at++)
    n_notes++;
  return n_notes;
}

static void
wait_for_word (int pipe_fd)
{
  char word;

  must (read (pipe_fd, &word, 1) == 1, "read", NULL);
}

static void
say_word (int pipe_fd)
{
  must (write (pipe_fd, "!", 1) == 1, "write", NULL);
}

/* Another program: writes when it is told, and when it is told again sees what was written since. */
static void
be_the_other_program (Shop *shop, int hears, int says)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;

  wait_for_word (hears);
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
  must (file != NULL, "open", error);
  job = rake_job_file_load (file, &error);
  must (job != NULL, "load", error);
  append_note (file, job, "the other program's");
  rake_job_file_close (g_steal_pointer (&file));
  say_word (says);
  wait_for_word (hears);
  must (count_notes (shop) == 3, "count", NULL);
  _exit (0);
}

/* As a file chooser does that wants to know what kinds of files these are. */
static guint
read_all_files (Shop *shop)
{
  g_autoptr (GDir) dir = g_dir_open (shop->folder, 0, NULL);
  const char *name;
  guint n_read = 0;

  while ((name = g_dir_read_name (dir)) != NULL)
    {
      g_autofree char *path = g_build_filename (shop->folder, name, NULL);
      g_autofree char *bytes = NULL;

      n_read += g_file_get_contents (path, &bytes, NULL, NULL) ? 1 : 0;
    }
  return n_read;
}

/* POSIX takes a process's locks away when it closes any descriptor of the file, also one that it only
 * read a few bytes by. Another program then takes the log for one that nobody uses, and clears it away. */
static void
reading_the_file_besides_gives_no_lock_away (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  int there[2], back[2];
  pid_t other;

  assert_int_equal (pipe (there) + pipe (back), 0);
  other = fork (); /* before the file is open here: SQLite does not survive a fork */
  if (other == 0)
    be_the_other_program (shop, there[0], back[1]);
  file = shop_begin (shop, &job);
  append_note (file, job, "first");
  assert_int_equal (read_all_files (shop), 3); /* its log and the log's index */
  say_word (there[1]);
  wait_for_word (back[0]);
  append_note (file, job, "last");
  say_word (there[1]);
  assert_int_equal (wait_for (other), 0);
  g_clear_pointer (&file, rake_job_file_close);
  for (int i = 0; i < 2; i++)
    {
      close (there[i]);
      close (back[i]);
    }
  assert_int_equal (shop_count_files (shop), 1);
  shop_verify (shop->path, &error);
  assert_no_error (error);
  assert_int_equal (count_notes (shop), 3);
}

/* --- the bench ------------------------------------------------------------------------------------ */

static void
say_bench (Shop *shop, const char *folder, int pipe_fd)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;

  g_setenv ("XDG_STATE_HOME", folder, TRUE);
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, &error);
  must (file != NULL, "open", error);
  say (pipe_fd, rake_job_file_get_bench (file));
  _exit (0);
}

/* Programs that are started at once where no bench is known yet. Must come before anything in this
 * process has asked for a bench, for that is remembered: so the file is made by a child too. */
static void
ask_at_once (Shop *shop, const char *folder, RakeId *bench)
{
  int ends[2];
  RakeId ids[8];

  assert_int_equal (pipe (ends), 0);
  for (gsize i = 0; i < G_N_ELEMENTS (ids); i++)
    if (fork () == 0)
      say_bench (shop, folder, ends[1]);
  for (gsize i = 0; i < G_N_ELEMENTS (ids); i++)
    {
      int status;
      wait (&status);
      assert_int_equal (status, 0);
    }
  for (gsize i = 0; i < G_N_ELEMENTS (ids); i++)
    assert_int_equal (read (ends[0], ids[i].bytes, 16), 16);
  close (ends[0]);
  close (ends[1]);
  for (gsize i = 0; i < G_N_ELEMENTS (ids); i++)
    if (rake_id_is_nil (ids[i]) || !rake_id_equal (ids[0], ids[i]))
      fail_msg ("two benches on one machine");
  *bench = ids[0];
}

static void
programs_that_start_at_once_agree_on_the_bench (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJobFile) file = rake_job_file_create (shop->path, NULL);

  for (int round = 0; round < 20; round++)
    {
      g_autofree char *folder = g_strdup_printf ("%s/state-%d", shop->folder, round);
      g_autofree char *path = g_build_filename (folder, "rakelight", "bench", NULL);
      g_autofree char *text = NULL;
      RakeId bench, again;

      if (round % 2 == 1) /* a torn one is replaced, and they agree on that too */
        {
          g_autofree char *parent = g_path_get_dirname (path);
          g_mkdir_with_parents (parent, 0700);
          g_file_set_contents (path, "017f22e2-79b0", -1, NULL);
        }
      ask_at_once (shop, folder, &bench);
      ask_at_once (shop, folder, &again);
      assert_true (rake_id_equal (bench, again));
      assert_true (g_file_get_contents (path, &text, NULL, NULL));
      assert_int_equal (strlen (text), RAKE_ID_TEXT_LENGTH + 1);
    }
}

static void
append_without_a_state_folder (Shop *shop)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeEntry) note = shop_make_note ("no home");

  g_setenv ("XDG_STATE_HOME", "/dev/null/nowhere", TRUE);
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
  must (file != NULL, "open", error);
  job = rake_job_file_load (file, &error);
  must (job != NULL, "load", error);
  must (rake_job_file_append (file, job, &note, 1, NULL, &error), "append", error);
  must (!rake_id_is_nil (note->bench), "bench", NULL);
  rake_job_file_close (g_steal_pointer (&file));
  _exit (0);
}

static void
without_a_state_folder_the_program_is_a_bench_of_its_own (void **state)
{
  Shop *shop = *state;
  g_autoptr (GPtrArray) entries = NULL;
  g_autoptr (GError) error = NULL;
  pid_t child;

  {
    g_autoptr (RakeJobFile) file = rake_job_file_create (shop->path, NULL);
    g_autoptr (RakeJob) job = rake_job_new ();
    rake_job_file_set_bench (file, rake_id_new (1)); /* or this process would know one */
    entries = shop_make_beginning (shop);
    shop_append_all (file, job, entries);
  }
  child = fork ();
  if (child == 0)
    append_without_a_state_folder (shop);
  assert_int_equal (wait_for (child), 0);
  shop_verify (shop->path, &error);
  assert_no_error (error);
}

/* --- media that cannot be written to ------------------------------------------------------------------ */

/* As someone who may read the folder but not write in it; root may everything. */
static void
read_as_a_stranger (const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;

  if (geteuid () == 0)
    must (setgid (65534) == 0 && setuid (65534) == 0, "setuid", NULL);
  must (rake_job_file_open (path, RAKE_JOB_FILE_WRITE, &error) == NULL, "opened for writing", NULL);
  must (g_error_matches (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_READ_ONLY), "code", error);
  g_clear_error (&error);
  file = rake_job_file_open (path, RAKE_JOB_FILE_READ_ONLY, &error);
  must (file != NULL, "open", error);
  must (rake_job_file_verify (file, &error), "verify", error);
  job = rake_job_file_load (file, &error);
  must (job != NULL, "load", error);
  must (rake_job_get_n_entries (job) == 5, "entries", NULL);
  rake_job_file_close (g_steal_pointer (&file));
  must (rake_job_file_create (path, &error) == NULL, "made", NULL);
  must (g_error_matches (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_EXISTS), "code", error);
  g_clear_error (&error);
  {
    g_autofree char *other = g_strconcat (path, "-2", NULL);
    must (rake_job_file_create (other, &error) == NULL, "made", NULL);
    must (g_error_matches (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_READ_ONLY), "code",
          error);
  }
  _exit (0);
}

static void
let_a_stranger_read (Shop *shop)
{
  pid_t child;
  int result;

  chmod (shop->folder, 0555);
  child = fork ();
  if (child == 0)
    read_as_a_stranger (shop->path);
  result = wait_for (child);
  chmod (shop->folder, 0700);
  assert_int_equal (result, 0);
}

static void
a_medium_that_cannot_be_written_to_can_be_read (void **state)
{
  Shop *shop = *state;
  g_autofree char *copied = g_strconcat (shop->folder, "/copied", NULL);
  g_autofree char *log = g_strconcat (shop->path, "-wal", NULL);

  {
    g_autoptr (RakeJob) job = NULL;
    g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
    shop_append (file, job, shop_make_note ("kept"));
  }
  chmod (shop->path, 0444);
  let_a_stranger_read (shop);
  /* As it is when it was copied while open and its log was empty: it says that it has a log. */
  chmod (shop->path, 0644);
  {
    g_autoptr (RakeJobFile) file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, NULL);
    g_autofree char *bytes = NULL;
    gsize n_bytes;
    assert_true (g_file_get_contents (shop->path, &bytes, &n_bytes, NULL));
    assert_int_equal (bytes[18], 2); /* file format, "Write Version Number: 2 for WAL" */
    g_file_set_contents (copied, bytes, (gssize) n_bytes, NULL);
  }
  shop_copy (copied, shop->path);
  chmod (shop->path, 0444);
  assert_false (g_file_test (log, G_FILE_TEST_EXISTS));
  let_a_stranger_read (shop);
}

int
main (void)
{
#define TEST(name) cmocka_unit_test_setup_teardown (name, shop_open, shop_close)
  const struct CMUnitTest tests[] = {
    TEST (programs_that_start_at_once_agree_on_the_bench),
    TEST (without_a_state_folder_the_program_is_a_bench_of_its_own),
    TEST (a_medium_that_cannot_be_written_to_can_be_read),
    TEST (programs_that_write_at_once_keep_all_entries_and_one_chain),
    TEST (reading_the_file_besides_gives_no_lock_away),
    TEST (what_a_kill_leaves_of_a_new_file_is_in_nobody_s_way),
    TEST (what_was_kept_survives_a_kill_at_any_moment),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
