/* test-fault.c - whatever write, sync, truncation, opening or deletion fails, once or for good: the
 * file is as before or as after, it verifies, and what was said to be kept is there. */
#include "store-support.h"

#include "fault-vfs.h"

#include <glib/gstdio.h>
#include <string.h>

static guint n_faults_met;

/* The seals that a file may have; a gesture is in it or it is not. */
typedef struct
{
  char *before, *after;
} Seals;

static char *
read_seal (const char *path)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = rake_job_file_open (path, RAKE_JOB_FILE_WRITE, &error);
  char *seal;

  assert_no_error (error);
  rake_job_file_verify (file, &error);
  assert_no_error (error);
  seal = rake_job_file_get_seal (file, &error);
  assert_no_error (error);
  return seal;
}

typedef struct
{
  Shop *shop;
  guint nth;
  FaultKind kind;
  gboolean for_good;
} Trial;

static const char *
describe (const Trial *trial)
{
  static char text[100];

  g_snprintf (text, sizeof text, "fault %u, %s, %s", trial->nth,
              trial->kind == FAULT_FULL ? "disk full" : "medium",
              trial->for_good ? "for good" : "once");
  return text;
}

/* Runs @try with every fault until one run meets none. */
static void
try_every_fault (Shop *shop, void (*try) (const Trial *trial))
{
  for (int kind = FAULT_MEDIUM; kind <= FAULT_FULL; kind++)
    for (int for_good = FALSE; for_good <= TRUE; for_good++)
      {
        guint met_before, nth = 1;
        do
          {
            const Trial trial = { shop, nth++, (FaultKind) kind, for_good };
            met_before = n_faults_met;
            try (&trial);
          }
        while (n_faults_met > met_before);
        /* Else nothing was tried at all. */
        if (nth < 4)
          fail_msg ("only %u faults of kind %d", nth - 2, kind);
      }
}

static void
start_faults (const Trial *trial)
{
  fault_file_system_fail (trial->nth, trial->kind, trial->for_good);
}

static void
stop_faults (void)
{
  n_faults_met += fault_file_system_stop () ? 1 : 0;
}

/* --- appending ------------------------------------------------------------------------------------ */

static void
check_error (const Trial *trial, gboolean is_kept, const GError *error)
{
  if (is_kept != (error == NULL))
    fail_msg ("%s: kept %d, error %s", describe (trial), is_kept,
              error != NULL ? error->message : "none");
  if (error != NULL && !g_error_matches (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DISK))
    fail_msg ("%s: %s", describe (trial), error->message);
}

static void
append_with_fault (const Trial *trial)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeEntry) look = shop_make_look (trial->shop);
  g_autoptr (RakeEntry) mark = shop_make_mark (trial->shop, look->id, 20, 20);
  RakeEntry *gesture[] = { look, mark };
  g_autofree char *pristine = g_strconcat (trial->shop->path, ".pristine", NULL);
  g_autofree char *before = NULL, *after = NULL, *found = NULL;
  gboolean is_kept;

  shop_copy (pristine, trial->shop->path);
  file = rake_job_file_open (trial->shop->path, RAKE_JOB_FILE_WRITE, &error);
  assert_no_error (error);
  job = rake_job_file_load (file, &error);
  assert_no_error (error);
  before = rake_job_dump (job);

  start_faults (trial);
  is_kept = rake_job_file_append (file, job, gesture, 2, NULL, &error);
  stop_faults ();

  check_error (trial, is_kept, error);
  after = rake_job_dump (job);
  if (is_kept == g_str_equal (before, after))
    fail_msg ("%s: kept %d, but the job is otherwise", describe (trial), is_kept);
  /* The person looks at it, tries again when it was not kept, and goes on. */
  g_clear_error (&error);
  if (!is_kept && !rake_job_file_append (file, job, gesture, 2, NULL, &error))
    fail_msg ("%s, then again: %s", describe (trial), error->message);
  shop_append (file, job, shop_make_pass (trial->shop));
  g_clear_pointer (&file, rake_job_file_close);
  found = read_seal (trial->shop->path);
  file = rake_job_file_open (trial->shop->path, RAKE_JOB_FILE_READ_ONLY, NULL);
  g_clear_pointer (&job, rake_job_free);
  job = rake_job_file_load (file, NULL);
  assert_int_equal (rake_job_get_n_entries (job), 7);
  assert_int_equal (shop_count_files (trial->shop), 2);
}

/* The same, but the program ends after the fault: nothing is tried again. */
static void
append_with_fault_and_leave (const Trial *trial)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeEntry) look = shop_make_look (trial->shop);
  g_autoptr (RakeEntry) mark = shop_make_mark (trial->shop, look->id, 20, 20);
  RakeEntry *gesture[] = { look, mark };
  g_autofree char *pristine = g_strconcat (trial->shop->path, ".pristine", NULL);
  g_autofree char *before = NULL, *found = NULL;
  gboolean is_kept;

  shop_copy (pristine, trial->shop->path);
  before = read_seal (trial->shop->path);
  file = rake_job_file_open (trial->shop->path, RAKE_JOB_FILE_WRITE, &error);
  assert_no_error (error);
  job = rake_job_file_load (file, &error);
  assert_no_error (error);

  start_faults (trial);
  is_kept = rake_job_file_append (file, job, gesture, 2, NULL, &error);
  g_clear_pointer (&file, rake_job_file_close); /* folding the log back meets faults as well */
  stop_faults ();

  check_error (trial, is_kept, error);
  found = read_seal (trial->shop->path);
  if (is_kept && g_str_equal (found, before))
    fail_msg ("%s: said to be kept, and is not there", describe (trial));
  file = rake_job_file_open (trial->shop->path, RAKE_JOB_FILE_READ_ONLY, NULL);
  g_clear_pointer (&job, rake_job_free);
  job = rake_job_file_load (file, NULL);
  assert_int_equal (rake_job_get_n_entries (job), g_str_equal (found, before) ? 4 : 6);
}

static void
make_pristine (Shop *shop)
{
  g_autofree char *pristine = g_strconcat (shop->path, ".pristine", NULL);
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);

  g_clear_pointer (&file, rake_job_file_close);
  shop_copy (shop->path, pristine);
}

static void
an_append_that_meets_a_fault_is_made_or_not_made (void **state)
{
  make_pristine (*state);
  try_every_fault (*state, append_with_fault);
}

static void
a_program_that_leaves_after_a_fault_leaves_a_whole_file (void **state)
{
  make_pristine (*state);
  try_every_fault (*state, append_with_fault_and_leave);
}

/* --- making and opening --------------------------------------------------------------------------- */

static void
create_with_fault (const Trial *trial)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;

  g_unlink (trial->shop->path);
  start_faults (trial);
  file = rake_job_file_create (trial->shop->path, &error);
  stop_faults ();
  if (file == NULL && error == NULL)
    fail_msg ("%s: neither file nor error", describe (trial));
  g_clear_pointer (&file, rake_job_file_close);
  /* No file, or a whole one; nothing half made beside it. */
  if (g_file_test (trial->shop->path, G_FILE_TEST_EXISTS))
    {
      g_autofree char *seal = read_seal (trial->shop->path);
      assert_int_equal (shop_count_files (trial->shop), 1);
    }
  else
    assert_int_equal (shop_count_files (trial->shop), 0);
}

static void
a_file_is_made_whole_or_not_at_all (void **state)
{
  try_every_fault (*state, create_with_fault);
}

static void
open_with_fault (const Trial *trial)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autofree char *pristine = g_strconcat (trial->shop->path, ".pristine", NULL);
  g_autofree char *before = NULL, *after = NULL;

  shop_copy (pristine, trial->shop->path);
  before = read_seal (pristine);
  start_faults (trial);
  file = rake_job_file_open (trial->shop->path, RAKE_JOB_FILE_WRITE, &error);
  stop_faults ();
  if (file == NULL && error == NULL)
    fail_msg ("%s: neither file nor error", describe (trial));
  g_clear_pointer (&file, rake_job_file_close);
  after = read_seal (trial->shop->path);
  assert_string_equal (before, after);
}

static void
opening_harms_nothing (void **state)
{
  make_pristine (*state);
  try_every_fault (*state, open_with_fault);
}

int
main (void)
{
#define TEST(name) cmocka_unit_test_setup_teardown (name, shop_open, shop_close)
  const struct CMUnitTest tests[] = {
    TEST (an_append_that_meets_a_fault_is_made_or_not_made),
    TEST (a_program_that_leaves_after_a_fault_leaves_a_whole_file),
    TEST (a_file_is_made_whole_or_not_at_all),
    TEST (opening_harms_nothing),
  };
  int n_failed;

  fault_file_system_install ();
  n_failed = cmocka_run_group_tests (tests, NULL, NULL);
  g_print ("# %u faults met\n", n_faults_met);
  return n_failed;
}
