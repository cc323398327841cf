/* test-photo-store.c - photographs' bytes in a job file: kept to the byte, checked, carried along, and
 * gone when they are withdrawn. */
#define _GNU_SOURCE /* memmem() */
#include "store-support.h"

#include "fault-vfs.h"

#include <rakelight/photo.h>
#include <rakelight/photo-store.h>

#include <glib/gstdio.h>
#include <string.h>

/* What stands in a picture and nowhere else; no decoder sees these bytes. */
#define NEEDLE "a lamp held low over the lower bass"
#define WORKING "the smaller copy of that"
#define THUMBNAIL "the smallest copy of that"

static GBytes *
make_bytes (const char *needle, gsize length)
{
  guint8 *bytes = g_malloc (length);
  guint32 state = (guint32) strlen (needle);

  for (gsize i = 0; i < length; i++)
    {
      state = state * 1664525u + 1013904223u;
      bytes[i] = (guint8) (state >> 24);
    }
  /* all over it: some of it in every page */
  for (gsize at = 100; at + strlen (needle) < length; at += 1500)
    memcpy (bytes + at, needle, strlen (needle));
  return g_bytes_new_take (bytes, length);
}

static void
make_photo (RakePhotoBytes *photo, const char *needle, gsize length)
{
  g_autoptr (GBytes) original = make_bytes (needle, length);

  rake_photo_bytes_init (photo, original);
  photo->working = (RakePhotoCopy){ make_bytes (WORKING, 30000), 1600, 1200 };
  photo->thumbnail = (RakePhotoCopy){ make_bytes (THUMBNAIL, 9000), 256, 192 };
}

static RakeEntry *
make_entry (const RakePhotoBytes *photo)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_PHOTO);

  entry->photo.sha256 = g_strdup (photo->sha256);
  entry->photo.media_type = RAKE_MEDIA_JPEG;
  entry->photo.n_bytes = (double) g_bytes_get_size (photo->original);
  entry->photo.width_px = 4000;
  entry->photo.height_px = 3000;
  return entry;
}

static RakeEntry *
make_withdrawal (RakeId photo)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_WITHDRAWAL);

  entry->withdrawal.photo = photo;
  entry->withdrawal.reason = g_strdup ("shows a person");
  return entry;
}

static RakeId
add_photo (RakeJobFile *file, RakeJob *job, const RakePhotoBytes *photo)
{
  g_autoptr (RakeEntry) entry = make_entry (photo);
  g_autoptr (GError) error = NULL;

  rake_job_file_append_photos (file, job, &entry, 1, photo, 1, NULL, &error);
  assert_no_error (error);
  return entry->id;
}

static gboolean
file_has (const char *path, const char *needle)
{
  g_autofree char *bytes = NULL;
  gsize length;

  return g_file_get_contents (path, &bytes, &length, NULL) &&
         memmem (bytes, length, needle, strlen (needle)) != NULL;
}

/* In the file or in what stands beside it. */
static gboolean
is_anywhere (Shop *shop, const char *needle)
{
  g_autoptr (GDir) folder = g_dir_open (shop->folder, 0, NULL);
  const char *name;

  while ((name = g_dir_read_name (folder)) != NULL)
    {
      g_autofree char *path = g_build_filename (shop->folder, name, NULL);
      if (file_has (path, needle))
        return TRUE;
    }
  return FALSE;
}

static RakePhotoStanding
find (RakeJobFile *file, const char *sha256)
{
  RakePhotoStanding standing;
  g_autoptr (GError) error = NULL;

  rake_job_file_find_photo (file, sha256, &standing, &error);
  assert_no_error (error);
  return standing;
}

static void
assert_is_kept (RakeJobFile *file, const RakePhotoBytes *photo)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (GBytes) bytes = rake_job_file_read_photo (file, photo->sha256, &error);

  assert_no_error (error);
  assert_true (g_bytes_equal (bytes, photo->original));
}

static void
assert_copy (RakeJobFile *file, const char *sha256, RakePhotoCopyKind kind,
             const RakePhotoCopy *expected)
{
  RakePhotoCopy copy;
  g_autoptr (GError) error = NULL;

  rake_job_file_read_photo_copy (file, sha256, kind, &copy, &error);
  assert_no_error (error);
  assert_int_equal (copy.bytes != NULL, expected != NULL);
  if (expected != NULL)
    {
      assert_true (g_bytes_equal (copy.bytes, expected->bytes));
      assert_int_equal (copy.width_px, expected->width_px);
      assert_int_equal (copy.height_px, expected->height_px);
    }
  g_clear_pointer (&copy.bytes, g_bytes_unref);
}

/* --- kept --------------------------------------------------------------------------------------------- */

static void
a_photograph_is_kept_to_the_byte (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_auto (RakePhotoBytes) photo = { 0 };

  make_photo (&photo, NEEDLE, 300000);
  assert_int_equal (find (file, photo.sha256), RAKE_PHOTO_MISSING);
  assert_null (rake_job_file_read_photo (file, photo.sha256, &error));
  assert_error_is (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_MISSING, "never came");
  g_clear_error (&error);
  add_photo (file, job, &photo);
  add_photo (file, job, &photo); /* a second entry of the same bytes, which are kept once */
  g_clear_pointer (&file, rake_job_file_close);

  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, &error);
  assert_no_error (error);
  assert_is_kept (file, &photo);
  assert_copy (file, photo.sha256, RAKE_PHOTO_COPY_WORKING, &photo.working);
  assert_copy (file, photo.sha256, RAKE_PHOTO_COPY_THUMBNAIL, &photo.thumbnail);
  rake_job_file_verify (file, &error);
  assert_no_error (error);
}

static void
an_entry_without_its_bytes_is_refused (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_auto (RakePhotoBytes) photo = { 0 }, other = { 0 };
  g_autoptr (RakeEntry) entry = NULL;

  make_photo (&photo, NEEDLE, 3000);
  make_photo (&other, WORKING, 3000);
  entry = make_entry (&photo);
  assert_false (rake_job_file_append (file, job, &entry, 1, NULL, &error));
  assert_error_is (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_MISSING, photo.sha256);
  g_clear_error (&error);
  assert_false (rake_job_file_append_photos (file, job, &entry, 1, &other, 1, NULL, &error));
  assert_error_is (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_MISSING, photo.sha256);
  g_clear_error (&error);
  entry->photo.n_bytes = 2999;
  assert_false (rake_job_file_append_photos (file, job, &entry, 1, &photo, 1, NULL, &error));
  assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED, "not those that its");
  assert_int_equal (rake_job_get_n_photos (job), 0);
  assert_int_equal (find (file, photo.sha256), RAKE_PHOTO_MISSING);
  assert_false (is_anywhere (shop, NEEDLE));
}

static void
copies_may_come_later_and_anew (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_auto (RakePhotoBytes) photo = { 0 };
  RakePhotoCopy working, thumbnail;

  make_photo (&photo, NEEDLE, 3000);
  working = photo.working;
  thumbnail = photo.thumbnail;
  photo.working = photo.thumbnail = (RakePhotoCopy){ 0 };
  rake_job_file_keep_photo_copies (file, photo.sha256, &working, NULL, &error);
  assert_no_error (error);
  add_photo (file, job, &photo);
  assert_copy (file, photo.sha256, RAKE_PHOTO_COPY_WORKING, NULL);
  rake_job_file_keep_photo_copies (file, photo.sha256, &working, &thumbnail, &error);
  assert_no_error (error);
  rake_job_file_keep_photo_copies (file, photo.sha256, &thumbnail, NULL, &error);
  assert_no_error (error);
  assert_copy (file, photo.sha256, RAKE_PHOTO_COPY_WORKING, &thumbnail);
  assert_copy (file, photo.sha256, RAKE_PHOTO_COPY_THUMBNAIL, &thumbnail);
  g_bytes_unref (working.bytes);
  g_bytes_unref (thumbnail.bytes);
}

/* --- withdrawn ------------------------------------------------------------------------------------------ */

static void
a_withdrawn_photograph_is_nowhere_in_the_file (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_auto (RakePhotoBytes) photo = { 0 }, other = { 0 };
  g_autoptr (RakeEntry) again = NULL;
  RakeId id;

  make_photo (&photo, NEEDLE, 300000);
  make_photo (&other, "another picture, which stays", 20000);
  g_clear_pointer (&other.working.bytes, g_bytes_unref);
  g_clear_pointer (&other.thumbnail.bytes, g_bytes_unref);
  id = add_photo (file, job, &photo);
  add_photo (file, job, &other);
  /* once in the log and once in the file itself */
  g_clear_pointer (&file, rake_job_file_close);
  assert_true (file_has (shop->path, NEEDLE) && file_has (shop->path, WORKING) &&
               file_has (shop->path, THUMBNAIL));
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
  g_clear_pointer (&job, rake_job_free);
  job = rake_job_file_load (file, &error);
  assert_no_error (error);

  shop_append (file, job, make_withdrawal (id));
  assert_false (is_anywhere (shop, NEEDLE));
  assert_false (is_anywhere (shop, WORKING));
  assert_false (is_anywhere (shop, THUMBNAIL));
  assert_int_equal (find (file, photo.sha256), RAKE_PHOTO_WITHDRAWN);
  assert_null (rake_job_file_read_photo (file, photo.sha256, &error));
  assert_error_is (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_WITHDRAWN, "gone");
  g_clear_error (&error);
  assert_copy (file, photo.sha256, RAKE_PHOTO_COPY_THUMBNAIL, NULL);
  assert_is_kept (file, &other);
  /* it does not come back, by its bytes or by a copy */
  again = make_entry (&photo);
  assert_false (rake_job_file_append_photos (file, job, &again, 1, &photo, 1, NULL, &error));
  assert_error_is (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_WITHDRAWN, "stays out");
  g_clear_error (&error);
  rake_job_file_keep_photo_copies (file, photo.sha256, &photo.working, NULL, &error);
  assert_no_error (error);
  rake_job_file_verify (file, &error);
  assert_no_error (error);
  g_clear_pointer (&file, rake_job_file_close);
  assert_false (is_anywhere (shop, NEEDLE) || is_anywhere (shop, WORKING));
}

static void
one_in_the_log_only_is_gone_as_well (void **state)
{
  Shop *shop = *state;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_auto (RakePhotoBytes) photo = { 0 };
  RakeId id;

  make_photo (&photo, NEEDLE, 30000);
  id = add_photo (file, job, &photo);
  assert_true (is_anywhere (shop, NEEDLE));
  shop_append (file, job, make_withdrawal (id));
  assert_false (is_anywhere (shop, NEEDLE));
}

/* One picture that shows two faces, or that two benches added: it goes with the last of its photographs. One that
 * was struck out is one of them, because undoing that brings it back. */
static void
bytes_stay_while_another_photograph_is_of_them (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_auto (RakePhotoBytes) photo = { 0 };
  g_autoptr (RakeEntry) again = NULL;
  RakeEntry *strike = rake_entry_new (RAKE_ENTRY_STRIKE);
  RakeId ids[3];

  make_photo (&photo, NEEDLE, 30000);
  for (int i = 0; i < 3; i++)
    ids[i] = add_photo (file, job, &photo);
  strike->strike.entry = ids[2];
  strike->strike.why = RAKE_STRIKE_CORRECTION;
  strike->strike.reason = g_strdup ("twice");
  shop_append (file, job, strike);
  for (int i = 0; i < 2; i++)
    {
      shop_append (file, job, make_withdrawal (ids[i]));
      assert_is_kept (file, &photo);
      assert_copy (file, photo.sha256, RAKE_PHOTO_COPY_WORKING, &photo.working);
      rake_job_file_verify (file, &error);
      assert_no_error (error);
    }
  shop_append (file, job, make_withdrawal (ids[2]));
  assert_int_equal (find (file, photo.sha256), RAKE_PHOTO_WITHDRAWN);
  assert_false (is_anywhere (shop, NEEDLE) || is_anywhere (shop, WORKING));
  again = make_entry (&photo);
  assert_false (rake_job_file_append_photos (file, job, &again, 1, &photo, 1, NULL, &error));
  assert_error_is (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_WITHDRAWN, "stays out");
  g_clear_error (&error);
  rake_job_file_verify (file, &error);
  assert_no_error (error);
}

/* --- verified --------------------------------------------------------------------------------------------- */

static void
what_was_done_to_photographs_is_named (void **state)
{
  static const struct { const char *tamper, *says; } cases[] = {
    { "UPDATE photo_bytes SET bytes = CAST (replace (bytes, x'6c616d70', x'6c696d70') AS BLOB)", "is not what was kept" },
    { "DELETE FROM photo_working; DELETE FROM photo_thumbnail; DELETE FROM photo_bytes", "is not in the file" },
    { "UPDATE photo_bytes SET bytes = NULL, withdrawn_ms = 5", "is not in the file" },
    { "UPDATE photo_bytes SET media_type = 'image/png'", "size and kind" },
    { "UPDATE photo_bytes SET hash = zeroblob (32); UPDATE photo_working SET hash = zeroblob (32);"
      "UPDATE photo_thumbnail SET hash = zeroblob (32)", "is not what was kept" },
  };
  Shop *shop = *state;
  g_autofree char *pristine = g_strconcat (shop->path, ".pristine", NULL);
  g_auto (RakePhotoBytes) photo = { 0 };

  make_photo (&photo, NEEDLE, 30000);
  {
    g_autoptr (RakeJob) job = NULL;
    g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
    add_photo (file, job, &photo);
  }
  shop_copy (shop->path, pristine);
  for (gsize i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      g_autoptr (GError) error = NULL;

      shop_copy (pristine, shop->path);
      shop_tamper (shop->path, cases[i].tamper);
      if (shop_verify (shop->path, &error))
        fail_msg ("whole after %s", cases[i].tamper);
      assert_error_is (error, RAKE_JOB_FILE_ERROR, RAKE_JOB_FILE_ERROR_DAMAGED, cases[i].says);
    }
}

/* What follows the first page of the photograph is made unreadable: the job opens all the same, and verification
 * and reading it say so. */
static void
opening_does_not_read_photographs (void **state)
{
  Shop *shop = *state;
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  g_auto (RakePhotoBytes) photo = { 0 };
  g_autofree char *bytes = NULL;
  gsize length;

  make_photo (&photo, NEEDLE, 100000);
  add_photo (file, job, &photo);
  g_clear_pointer (&file, rake_job_file_close);
  g_file_get_contents (shop->path, &bytes, &length, NULL);
  for (char *at = bytes; (at = memmem (at, length - (gsize) (at - bytes), NEEDLE, strlen (NEEDLE)));
       at++)
    {
      char *page = bytes + (at - bytes) / 4096 * 4096;

      /* one that goes on from another begins with the number of the next, below 2^24 here */
      if (*page == 0)
        memset (page, 0xff, 4);
    }
  g_file_set_contents (shop->path, bytes, (gssize) length, NULL);

  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, &error);
  assert_no_error (error);
  g_clear_pointer (&job, rake_job_free);
  job = rake_job_file_load (file, &error);
  assert_no_error (error);
  assert_int_equal (rake_job_get_n_photos (job), 1);
  assert_int_equal (find (file, photo.sha256), RAKE_PHOTO_KEPT);
  assert_null (rake_job_file_read_photo (file, photo.sha256, &error));
  assert_int_equal (error->domain, RAKE_JOB_FILE_ERROR);
  g_clear_error (&error);
  assert_false (rake_job_file_verify (file, &error));
}

/* --- carried along ------------------------------------------------------------------------------------------ */

static GBytes *
find_in_table (const char *sha256, gpointer table, GError **error)
{
  GBytes *bytes = g_hash_table_lookup (table, sha256);
  return bytes != NULL ? g_bytes_ref (bytes) : NULL;
}

static gboolean
write_to_table (const RakeEntry *photo, GBytes *bytes, gpointer table, GError **error)
{
  return g_hash_table_insert (table, g_strdup (photo->photo.sha256), g_bytes_ref (bytes));
}

static void
photographs_go_out_and_come_in_with_the_logbook (void **state)
{
  Shop *shop = *state;
  g_autofree char *path = g_strconcat (shop->folder, "/other.rakejob", NULL);
  g_autoptr (GHashTable) table =
      g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_bytes_unref);
  g_autoptr (GHashTable) nothing = g_hash_table_new (g_str_hash, g_str_equal);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL, other_job = rake_job_new ();
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job), other = NULL;
  g_auto (RakePhotoBytes) photo = { 0 }, gone = { 0 };
  g_autofree char *text = NULL, *seal = NULL, *other_seal = NULL, *name = NULL;
  g_autoptr (RakeEntry) entry = NULL;

  make_photo (&photo, NEEDLE, 30000);
  make_photo (&gone, "gone", 3000);
  add_photo (file, job, &photo);
  shop_append (file, job, make_withdrawal (add_photo (file, job, &gone)));
  rake_exchange_export_photos (file, write_to_table, table, &error);
  assert_no_error (error);
  assert_int_equal (g_hash_table_size (table), 1);
  text = shop_export (file);

  other = rake_job_file_create (path, &error);
  assert_int_equal (rake_exchange_import_with_photos (other, other_job, text, strlen (text),
                                                      find_in_table, nothing, &error),
                    -1);
  assert_error_is (error, RAKE_PHOTO_STORE_ERROR, RAKE_PHOTO_STORE_ERROR_MISSING, "line 5");
  g_clear_error (&error);
  assert_int_equal (rake_job_get_n_entries (other_job), 0);
  /* without, by choice; then with: nothing new but the bytes */
  assert_int_equal (rake_exchange_import (other, other_job, text, strlen (text), &error), 7);
  assert_no_error (error);
  assert_false (rake_job_file_verify (other, NULL));
  assert_int_equal (rake_exchange_import_with_photos (other, other_job, text, strlen (text),
                                                      find_in_table, table, &error),
                    0);
  assert_no_error (error);
  rake_job_file_verify (other, &error);
  assert_no_error (error);
  assert_is_kept (other, &photo);
  seal = rake_job_file_get_seal (file, NULL);
  other_seal = rake_job_file_get_seal (other, NULL);
  assert_string_equal (seal, other_seal);
  entry = make_entry (&photo);
  name = rake_exchange_name_photo (&entry->photo);
  assert_true (g_str_has_prefix (name, photo.sha256) && g_str_has_suffix (name, ".jpg"));
}

/* One bench adds, the other withdraws; both ways round the union has the one and not the other. */
static void
merging_carries_photographs_and_withdrawals (void **state)
{
  Shop *shop = *state;
  g_autofree char *path = g_strconcat (shop->folder, "/copy.rakejob", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL, copy_job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job), copy = NULL;
  g_auto (RakePhotoBytes) first = { 0 }, second = { 0 };
  RakeId id;

  make_photo (&first, NEEDLE, 30000);
  make_photo (&second, "the second one", 20000);
  id = add_photo (file, job, &first);
  g_clear_pointer (&file, rake_job_file_close);
  shop_copy (shop->path, path);
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
  copy = rake_job_file_open (path, RAKE_JOB_FILE_WRITE, &error);
  assert_no_error (error);
  g_clear_pointer (&job, rake_job_free);
  job = rake_job_file_load (file, &error);
  copy_job = rake_job_file_load (copy, &error);
  rake_job_file_set_bench (copy, rake_id_new (1));
  shop_append (file, job, make_withdrawal (id));
  add_photo (copy, copy_job, &second);

  assert_int_equal (rake_exchange_merge (copy, copy_job, file, &error), 1);
  assert_no_error (error);
  assert_int_equal (rake_exchange_merge (file, job, copy, &error), 1);
  assert_no_error (error);
  for (int i = 0; i < 2; i++)
    {
      RakeJobFile *either = i == 0 ? file : copy;
      assert_int_equal (find (either, first.sha256), RAKE_PHOTO_WITHDRAWN);
      assert_is_kept (either, &second);
      assert_copy (either, second.sha256, RAKE_PHOTO_COPY_THUMBNAIL, &second.thumbnail);
      rake_job_file_verify (either, &error);
      assert_no_error (error);
    }
  g_clear_pointer (&file, rake_job_file_close);
  g_clear_pointer (&copy, rake_job_file_close);
  assert_false (is_anywhere (shop, NEEDLE));
}

/* An import is to have the bytes of whatever was not withdrawn. */
static void
importing_takes_bytes_for_the_photograph_that_stays (void **state)
{
  Shop *shop = *state;
  g_autofree char *path = g_strconcat (shop->folder, "/other.rakejob", NULL);
  g_autoptr (GHashTable) table =
      g_hash_table_new_full (g_str_hash, g_str_equal, g_free, (GDestroyNotify) g_bytes_unref);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL, other_job = rake_job_new ();
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job), other = NULL;
  g_auto (RakePhotoBytes) photo = { 0 };
  g_autofree char *text = NULL, *more = NULL;
  RakeId first, second;

  make_photo (&photo, NEEDLE, 30000);
  first = add_photo (file, job, &photo);
  second = add_photo (file, job, &photo);
  shop_append (file, job, make_withdrawal (first));
  text = shop_export (file);
  rake_exchange_export_photos (file, write_to_table, table, &error);
  assert_no_error (error);
  assert_int_equal (g_hash_table_size (table), 1);
  other = rake_job_file_create (path, &error);
  assert_true (rake_exchange_import_with_photos (other, other_job, text, strlen (text),
                                                 find_in_table, table, &error) > 0);
  assert_no_error (error);
  assert_is_kept (other, &photo);
  rake_job_file_verify (other, &error);
  assert_no_error (error);
  /* what was withdrawn later arrives later */
  shop_append (file, job, make_withdrawal (second));
  more = shop_export (file);
  assert_int_equal (rake_exchange_import_with_photos (other, other_job, more, strlen (more),
                                                      find_in_table, table, &error),
                    1);
  assert_no_error (error);
  assert_int_equal (find (other, photo.sha256), RAKE_PHOTO_WITHDRAWN);
  rake_job_file_verify (other, &error);
  assert_no_error (error);
}

/* Each bench has a photograph of the same picture, and one of them withdraws its own. The file that lost the bytes
 * does not get them back; the other keeps them for its own photograph, until that is withdrawn too. */
static void
merging_neither_takes_away_nor_brings_back (void **state)
{
  Shop *shop = *state;
  g_autofree char *path = g_strconcat (shop->folder, "/copy.rakejob", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL, copy_job = NULL;
  g_autoptr (RakeJobFile) file = shop_begin (shop, &job), copy = NULL;
  g_auto (RakePhotoBytes) photo = { 0 };
  RakeId ours, theirs;

  make_photo (&photo, NEEDLE, 30000);
  g_clear_pointer (&file, rake_job_file_close);
  shop_copy (shop->path, path);
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
  copy = rake_job_file_open (path, RAKE_JOB_FILE_WRITE, &error);
  assert_no_error (error);
  g_clear_pointer (&job, rake_job_free);
  job = rake_job_file_load (file, &error);
  copy_job = rake_job_file_load (copy, &error);
  rake_job_file_set_bench (copy, rake_id_new (1));
  ours = add_photo (file, job, &photo);
  shop_append (file, job, make_withdrawal (ours));
  theirs = add_photo (copy, copy_job, &photo);

  assert_int_equal (rake_exchange_merge (copy, copy_job, file, &error), 2);
  assert_no_error (error);
  assert_int_equal (rake_exchange_merge (file, job, copy, &error), 1);
  assert_no_error (error);
  assert_is_kept (copy, &photo);
  assert_int_equal (find (file, photo.sha256), RAKE_PHOTO_WITHDRAWN);
  rake_job_file_verify (copy, &error);
  assert_no_error (error);
  rake_job_file_verify (file, &error);
  assert_no_error (error);
  shop_append (file, job, make_withdrawal (theirs));
  assert_int_equal (rake_exchange_merge (copy, copy_job, file, &error), 1);
  assert_no_error (error);
  assert_int_equal (find (copy, photo.sha256), RAKE_PHOTO_WITHDRAWN);
  g_clear_pointer (&file, rake_job_file_close);
  g_clear_pointer (&copy, rake_job_file_close);
  assert_false (is_anywhere (shop, NEEDLE));
}

/* --- faults --------------------------------------------------------------------------------------------------- */

/* Whatever fails while a photograph is added: it is there with its entry, or neither is. */
static gboolean
add_with_fault (Shop *shop, const RakePhotoBytes *photo, guint nth, FaultKind kind)
{
  g_autofree char *pristine = g_strconcat (shop->path, ".pristine", NULL);
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeEntry) entry = make_entry (photo);
  gboolean is_kept, met;

  shop_copy (pristine, shop->path);
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_WRITE, &error);
  assert_no_error (error);
  job = rake_job_file_load (file, &error);
  fault_file_system_fail (nth, kind, TRUE);
  is_kept = rake_job_file_append_photos (file, job, &entry, 1, photo, 1, NULL, &error);
  met = fault_file_system_stop ();
  if (is_kept != (error == NULL) || (!is_kept && error->code != RAKE_JOB_FILE_ERROR_DISK))
    fail_msg ("fault %u: kept %d, %s", nth, is_kept, error != NULL ? error->message : "no error");
  assert_int_equal (rake_job_get_n_photos (job), is_kept);
  g_clear_error (&error);
  g_clear_pointer (&file, rake_job_file_close);
  shop_verify (shop->path, &error);
  assert_no_error (error);
  file = rake_job_file_open (shop->path, RAKE_JOB_FILE_READ_ONLY, &error);
  g_clear_pointer (&job, rake_job_free);
  job = rake_job_file_load (file, &error);
  assert_no_error (error);
  assert_int_equal (find (file, photo->sha256),
                    rake_job_get_n_photos (job) == 1 ? RAKE_PHOTO_KEPT : RAKE_PHOTO_MISSING);
  if (is_kept)
    assert_int_equal (rake_job_get_n_photos (job), 1);
  return met;
}

static void
a_full_disk_keeps_nothing_by_halves (void **state)
{
  Shop *shop = *state;
  g_autofree char *pristine = g_strconcat (shop->path, ".pristine", NULL);
  g_auto (RakePhotoBytes) photo = { 0 };

  make_photo (&photo, NEEDLE, 60000);
  {
    g_autoptr (RakeJob) job = NULL;
    g_autoptr (RakeJobFile) file = shop_begin (shop, &job);
  }
  shop_copy (shop->path, pristine);
  for (int kind = FAULT_MEDIUM; kind <= FAULT_FULL; kind++)
    {
      guint nth = 1;
      while (add_with_fault (shop, &photo, nth, (FaultKind) kind))
        nth++;
      assert_true (nth > 10);
    }
}

int
main (void)
{
#define TEST(name) cmocka_unit_test_setup_teardown (name, shop_open, shop_close)
  const struct CMUnitTest tests[] = {
    TEST (a_photograph_is_kept_to_the_byte),
    TEST (an_entry_without_its_bytes_is_refused),
    TEST (copies_may_come_later_and_anew),
    TEST (a_withdrawn_photograph_is_nowhere_in_the_file),
    TEST (one_in_the_log_only_is_gone_as_well),
    TEST (bytes_stay_while_another_photograph_is_of_them),
    TEST (what_was_done_to_photographs_is_named),
    TEST (opening_does_not_read_photographs),
    TEST (photographs_go_out_and_come_in_with_the_logbook),
    TEST (importing_takes_bytes_for_the_photograph_that_stays),
    TEST (merging_carries_photographs_and_withdrawals),
    TEST (merging_neither_takes_away_nor_brings_back),
    TEST (a_full_disk_keeps_nothing_by_halves),
  };

  fault_file_system_install ();
  return cmocka_run_group_tests (tests, NULL, NULL);
}
