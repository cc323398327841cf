/* test-job-file.c - what is appended is in the file, all of it or nothing, and comes back as it was. */
#define _GNU_SOURCE /* memmem() */
#include "store-support.h"

#include <glib/gstdio.h>
#include <sqlite3.h>
#include <string.h>

static void
a_new_file_is_one_file_and_touches_no_other (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJobFile) file = rake_job_file_create (shop->path, NULL);
  g_autoptr (GError) error = NULL;

  assert_non_null (file);
  assert_null (rake_job_file_create (shop->path, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_EXISTS, "mandola.rakejob");
  g_clear_pointer (&file, rake_job_file_close);
  assert_int_equal (shop_count_files (shop), 1);
}

static void
a_file_that_is_not_there_is_not_made_by_opening (void **state)
{
  Shop *shop = *state;
  g_autofree char *in_no_folder = g_build_filename (shop->folder, "no", "x.rakejob", NULL);
  g_autoptr (GError) error = NULL;

  assert_null (rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_FOUND, "mandola.rakejob");
  assert_int_equal (shop_count_files (shop), 0);
  g_clear_error (&error);
  assert_null (rake_job_file_create (in_no_folder, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_FOUND, "x.rakejob");
}

/* Canonical lines are the yardstick: they hold every field, and test-canonical holds them. */
static void
every_kind_and_field_comes_back_as_it_was (void **state)
{
  Shop *shop = *state;

  for (guint32 seed = 1; seed <= 12; seed++)
    {
      g_autoptr (RakeJob) job = NULL;
      g_autoptr (RakeJob) again = NULL;
      g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
      g_autoptr (GRand) random = g_rand_new_with_seed (seed);
      g_autoptr (GPtrArray) entries = shop_make_every_kind (shop, random);
      g_autoptr (GError) error = NULL;

      shop_append_all (file, job, entries);
      g_clear_pointer (&file, rake_job_file_close);
      file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
      assert_no_error (error);
      again = rake_job_file_load (file, &error);
      assert_no_error (error);
      assert_int_equal (rake_job_get_n_entries (again), rake_job_get_n_entries (job));
      for (guint i = 0; i < rake_job_get_n_entries (job); i++)
        {
          g_autofree char *before = rake_exchange_write_entry (rake_job_get_entry (job, i));
          g_autofree char *after = rake_exchange_write_entry (rake_job_get_entry (again, i));
          if (strcmp (before, after) != 0)
            fail_msg ("seed %u:\n%s\n%s", seed, before, after);
        }
      rake_job_file_verify (file, &error);
      assert_no_error (error);
      g_clear_pointer (&file, rake_job_file_close);
      assert_int_equal (shop_count_files (shop), 1);
      g_unlink (shop->path);
    }
}

static void
every_kind_is_in_the_test_of_every_kind (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (GRand) random = g_rand_new_with_seed (1);
  g_autoptr (GPtrArray) entries = shop_make_every_kind (shop, random);

  shop_append_all (file, job, entries);
  for (int kind = 1; kind < RAKE_N_ENTRY_KINDS; kind++)
    {
      gboolean is_there = FALSE;
      for (guint i = 0; i < rake_job_get_n_entries (job); i++)
        is_there |= (int) rake_job_get_entry (job, i)->kind == kind;
      if (!is_there)
        fail_msg ("no %s", rake_entry_kind_get_name ((RakeEntryKind) kind));
    }
}

static void
a_gesture_is_kept_whole_or_not_at_all (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autofree char *before = shop_export (file), *dump_before = rake_job_dump (job);
  g_autoptr (RakeEntry) look = shop_make_look (shop), mark = shop_make_mark (shop, look->id, 9, 9);
  RakeEntry *gesture[] = { look, mark };
  g_autoptr (GError) error = NULL;

  mark->mark.depth_um = -1;
  assert_false (rake_job_file_append (file, job, gesture, 2, NULL, &error));
  assert_error_is (error, RAKE_ENTRY_ERROR, RAKE_ENTRY_ERROR_FIELD, "depth_um");
  {
    g_autofree char *after = shop_export (file), *dump_after = rake_job_dump (job);
    assert_string_equal (before, after);
    assert_string_equal (dump_before, dump_after);
  }
  /* The same entries, put right, are taken. */
  g_clear_error (&error);
  mark->mark.depth_um = 1;
  rake_job_file_append (file, job, gesture, 2, "Ilse Brandt", &error);
  assert_no_error (error);
  assert_true (rake_id_equal (mark->gesture, look->id));
  assert_true (rake_id_equal (look->gesture, look->id));
  assert_string_equal (mark->who, "Ilse Brandt");
  rake_job_file_verify (file, &error);
  assert_no_error (error);
}

static void
an_entry_that_speaks_of_nothing_is_refused (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (RakeEntry) mark = shop_make_mark (shop, rake_id_new (1), 9, 9);
  g_autoptr (GError) error = NULL;

  assert_false (rake_job_file_append (file, job, &mark, 1, NULL, &error));
  assert_error_is (error, RAKE_JOB_ERROR, RAKE_JOB_ERROR_REFERENCE, "look");
}

static gint64 stopped_clock_ms;

static gint64
stopped_clock (void)
{
  return stopped_clock_ms;
}

static void
times_rise_though_the_clock_goes_back (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  gint64 latest_ms = rake_job_get_entry (job, rake_job_get_n_entries (job) - 1)->written_ms;
  g_autoptr (RakeEntry) old = shop_make_note ("of yesterday");
  RakeEntry *next;

  stopped_clock_ms = latest_ms - 86400000;
  rake_job_file_set_clock (stopped_clock);
  old->happened_ms = latest_ms - 3600000;
  shop_append (file, job, rake_entry_ref (old));
  assert_int_equal (old->written_ms, latest_ms + 1);
  assert_int_equal (old->happened_ms, latest_ms - 3600000);
  shop_append (file, job, shop_make_note ("now"));
  next = rake_job_get_entry (job, rake_job_get_n_entries (job) - 1);
  assert_int_equal (next->written_ms, latest_ms + 2);
  assert_int_equal (next->happened_ms, latest_ms + 2);
}

static void
two_handles_see_each_other (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (RakeJobFile) other = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, NULL);
  g_autoptr (RakeJobFile) reader = rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, NULL);
  g_autoptr (RakeJob) other_job = rake_job_file_load (other, NULL);
  g_autoptr (RakeJob) reader_job = rake_job_file_load (reader, NULL);
  g_autoptr (GError) error = NULL;

  assert_false (rake_job_file_has_news (other));
  shop_append (file, job, shop_make_note ("from the one"));
  assert_false (rake_job_file_has_news (file)); /* its own is no news */
  assert_true (rake_job_file_has_news (other));
  assert_true (rake_job_file_has_news (reader));
  /* Appending catches up first. */
  shop_append (other, other_job, shop_make_note ("from the other"));
  rake_job_file_catch_up (file, job, &error);
  assert_no_error (error);
  rake_job_file_catch_up (reader, reader_job, &error);
  assert_no_error (error);
  assert_false (rake_job_file_has_news (reader));
  {
    g_autofree char *one = rake_job_dump (job), *two = rake_job_dump (other_job),
                    *three = rake_job_dump (reader_job);
    assert_string_equal (one, two);
    assert_string_equal (one, three);
  }
  g_clear_pointer (&file, rake_job_file_close);
  g_clear_pointer (&reader, rake_job_file_close);
  g_clear_pointer (&other, rake_job_file_close);
  assert_int_equal (shop_count_files (shop), 1);
}

static void
a_file_open_for_reading_takes_nothing (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (RakeEntry) note = shop_make_note ("no");
  g_autoptr (GError) error = NULL;

  g_clear_pointer (&file, rake_job_file_close);
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, NULL);
  assert_true (rake_job_file_is_read_only (file));
  assert_false (rake_job_file_append (file, job, &note, 1, NULL, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_READ_ONLY, "reading");
  g_clear_error (&error);
  assert_false (rake_job_file_set_client (file, "x", NULL, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_READ_ONLY, "reading");
  /* Reading leaves no trace. */
  assert_int_equal (shop_count_files (shop), 1);
}

static void
a_second_writer_waits_and_then_says_busy (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autoptr (RakeEntry) note = shop_make_note ("later");
  g_autoptr (GError) error = NULL;
  sqlite3 *other;
  gint64 began_us;

  assert_int_equal (sqlite3_open (shop->path, &other), SQLITE_OK);
  assert_int_equal (sqlite3_exec (other, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
  began_us = g_get_monotonic_time ();
  assert_false (rake_job_file_append (file, job, &note, 1, NULL, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_BUSY, "try again");
  assert_true (g_get_monotonic_time () - began_us > G_USEC_PER_SEC);
  sqlite3_exec (other, "ROLLBACK", NULL, NULL, NULL);
  sqlite3_close (other);
  g_clear_error (&error);
  rake_job_file_append (file, job, &note, 1, NULL, &error);
  assert_no_error (error);
}

static void
a_file_that_was_replaced_takes_no_more_entries (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autofree char *elsewhere = g_strconcat (shop->folder, "/elsewhere", NULL);
  g_autoptr (RakeEntry) note = shop_make_note ("into nothing");
  g_autoptr (GError) error = NULL;

  g_rename (shop->path, elsewhere);
  assert_false (rake_job_file_append (file, job, &note, 1, NULL, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_NOT_FOUND, "replaced");
  assert_int_equal (rake_job_get_n_entries (job), 4);
  g_rename (elsewhere, shop->path);
  g_clear_error (&error);
  rake_job_file_append (file, job, &note, 1, NULL, &error);
  assert_no_error (error);
}

/* --- the client ----------------------------------------------------------------------------------- */

static gboolean
holds (const char *path, const char *text)
{
  g_autofree char *bytes = NULL;
  gsize n_bytes = 0;

  if (!g_file_get_contents (path, &bytes, &n_bytes, NULL))
    return FALSE;
  return memmem (bytes, n_bytes, text, strlen (text)) != NULL;
}

static void
the_client_is_erased_without_trace_and_the_seal_stays (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autofree char *log = g_strconcat (shop->path, "-wal", NULL);
  g_autofree char *seal = rake_job_file_get_seal (file, NULL), *seal_after = NULL;
  g_autofree char *name = NULL, *contact = NULL;
  g_autoptr (GError) error = NULL;

  assert_true (rake_job_file_get_client (file, &name, &contact, &error));
  assert_null (name);
  rake_job_file_set_client (file, "Marten Oldenkamp", "near the old mill", &error);
  assert_no_error (error);
  assert_true (holds (shop->path, "Marten Oldenkamp") || holds (log, "Marten Oldenkamp"));
  rake_job_file_set_client (file, "Marta Oldenkamp", NULL, &error);
  assert_no_error (error);
  assert_null (contact);
  assert_true (rake_job_file_get_client (file, &name, &contact, &error));
  assert_string_equal (name, "Marta Oldenkamp");
  assert_null (contact);
  assert_false (holds (shop->path, "old mill") || holds (log, "old mill"));
  rake_job_file_set_client (file, NULL, NULL, &error);
  assert_no_error (error);
  assert_false (holds (shop->path, "Oldenkamp") || holds (log, "Oldenkamp"));
  seal_after = rake_job_file_get_seal (file, NULL);
  assert_string_equal (seal, seal_after);
  assert_false (rake_job_file_set_client (file, "\xff", NULL, &error));
  assert_error_is (error, RAKE_ENTRY_ERROR, RAKE_ENTRY_ERROR_FIELD, "name is not UTF-8");
}

/* --- verifying ------------------------------------------------------------------------------------ */

static void
verifying_names_the_first_entry_that_was_changed (void **state)
{
  /* Each changes a file as only someone who got round the triggers could. Entries 1 to 4 are the
   * beginning (job, face, schedule, wheel); 5 pass, 6 look, 7 mark, 8 note, 9 strike of 8. */
  static const struct { const char *sql, *says; } cases[] = {
    { "UPDATE pass SET stroke_deg = 46", "entry 5 (pass): it is not what was written" },
    { "UPDATE pass_zones SET id = '017f22e2-79b0-7cc3-98c4-dc0c0c07398f'", "entry 5 (pass): it is not" },
    { "UPDATE entry SET who = 'Jan' WHERE arrival = 6", "entry 6 (look): it is not what was written" },
    { "UPDATE entry SET written_ms = written_ms + 1 WHERE arrival = 7", "entry 7 (mark): it is not" },
    { "UPDATE entry SET hash = zeroblob (32) WHERE arrival = 3", "entry 3 (schedule): it is not" },
    { "UPDATE entry SET previous = zeroblob (32) WHERE arrival = 4", "entry 4 (wheel): it is not" },
    { "DELETE FROM entry WHERE arrival = 6; DELETE FROM look", "speaks of something that is not there" },
    { "DELETE FROM note", "entry 8 (note): note has no row for it" },
    { "DELETE FROM strike; DELETE FROM entry WHERE arrival = 9", NULL }, /* see below */
    { "INSERT INTO pass (arrival, stage) SELECT 8, stage FROM pass", "pass has rows" },
    { "INSERT INTO pass_zones SELECT 5, 2, id FROM pass_zones", "zones has a gap" },
    { "UPDATE look SET lamp_deg = NULL, light = 'daylight'", "entry 6 (look): it is not" },
    { "UPDATE entry SET kind = 'note' WHERE arrival = 6", "entry 6 (note)" },
  };
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_autofree char *bytes = NULL;
  gsize n_bytes;

  {
    g_autoptr (RakeEntry) look = shop_make_look (shop), note = shop_make_note ("struck");
    shop_append (file, job, shop_make_pass (shop));
    shop_append (file, job, rake_entry_ref (look));
    shop_append (file, job, shop_make_mark (shop, look->id, 20, 20));
    shop_append (file, job, rake_entry_ref (note));
    shop_append (file, job, shop_make_strike (note->id));
  }
  g_clear_pointer (&file, rake_job_file_close);
  assert_true (shop_verify (shop->path, NULL));
  g_file_get_contents (shop->path, &bytes, &n_bytes, NULL);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;

      g_file_set_contents (shop->path, bytes, (gssize) n_bytes, NULL);
      shop_tamper (shop->path, cases[i].sql);
      /* Cutting off the end of the only chain is what no chain can tell: the seal on paper does. */
      if (cases[i].says == NULL)
        assert_true (shop_verify (shop->path, NULL));
      else if (shop_verify (shop->path, &error))
        fail_msg ("not noticed: %s", cases[i].sql);
      else
        assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED, cases[i].says);
    }
}

int
main (void)
{
#define TEST(name) cmocka_unit_test_setup_teardown (name, shop_open, shop_close)
  const struct CMUnitTest tests[] = {
    TEST (a_new_file_is_one_file_and_touches_no_other),
    TEST (a_file_that_is_not_there_is_not_made_by_opening),
    TEST (every_kind_and_field_comes_back_as_it_was),
    TEST (every_kind_is_in_the_test_of_every_kind),
    TEST (a_gesture_is_kept_whole_or_not_at_all),
    TEST (an_entry_that_speaks_of_nothing_is_refused),
    TEST (times_rise_though_the_clock_goes_back),
    TEST (two_handles_see_each_other),
    TEST (a_file_open_for_reading_takes_nothing),
    TEST (a_second_writer_waits_and_then_says_busy),
    TEST (a_file_that_was_replaced_takes_no_more_entries),
    TEST (the_client_is_erased_without_trace_and_the_seal_stays),
    TEST (verifying_names_the_first_entry_that_was_changed),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
