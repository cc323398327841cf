/* add-photo.c - puts a JPEG into a job, for the tests.
 *
 *   add-photo JOB FILE.jpg WIDTH HEIGHT TURN */
#include <rakelight/photo-store.h>

#include <stdio.h>

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;
  g_autoptr (RakeJob) job = NULL;
  g_auto (RakePhotoBytes) bytes = { 0 };
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_PHOTO);
  g_autoptr (GBytes) original = NULL;
  char *data;
  gsize n_bytes;

  if (argc != 6)
    return 2;
  if (!g_file_get_contents (argv[2], &data, &n_bytes, &error))
    return 4;
  original = g_bytes_new_take (data, n_bytes);
  rake_photo_bytes_init (&bytes, original);
  entry->photo.sha256 = g_strdup (bytes.sha256);
  entry->photo.media_type = RAKE_MEDIA_JPEG;
  entry->photo.n_bytes = (double) n_bytes;
  entry->photo.width_px = g_ascii_strtod (argv[3], NULL);
  entry->photo.height_px = g_ascii_strtod (argv[4], NULL);
  entry->photo.turn = g_ascii_strtod (argv[5], NULL);
  entry->photo.name = g_path_get_basename (argv[2]);
  file = rake_job_file_open (argv[1], RAKE_JOB_FILE_WRITE, &error);
  job = file != NULL ? rake_job_file_load (file, &error) : NULL;
  if (job != NULL && rake_job_file_append_photos (file, job, &entry, 1, &bytes, 1, NULL, &error))
    return 0;
  fprintf (stderr, "%s\n", error->message);
  return 3;
}
