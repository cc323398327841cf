/* print-photo.c - PICTURE COPY: what the camera wrote, as JSON; the picture without what is private into
 * COPY, its working copy into COPY.working. For photo-against-exiftool.py. */
#include <rakelight/photo-intake.h>

int
main (int argc, char **argv)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakePhotoIntake) intake = NULL;
  g_autoptr (GBytes) copy = NULL;
  g_autofree char *working = NULL;

  if (argc != 3)
    return 2;
  intake = rake_photo_intake_new (argv[1], 60, 20, NULL, NULL, NULL, &error);
  if (intake != NULL)
    copy = rake_photo_without_private (intake->original, &error);
  if (copy == NULL)
    {
      g_printerr ("%s\n", error->message);
      return 1;
    }
  working = g_strconcat (argv[2], ".working", NULL);
  g_file_set_contents (argv[2], g_bytes_get_data (copy, NULL), (gssize) g_bytes_get_size (copy),
                       NULL);
  g_file_set_contents (working, g_bytes_get_data (intake->working, NULL),
                       (gssize) g_bytes_get_size (intake->working), NULL);
  g_print ("{\"turn\": %d, \"has_time\": %d, \"local_ms\": %" G_GINT64_FORMAT
           ", \"has_offset\": %d, \"offset_minutes\": %d, \"has_location\": %d, \"width\": %d, "
           "\"height\": %d}\n",
           intake->exif.turn, intake->exif.has_time, intake->exif.local_ms, intake->exif.has_offset,
           intake->exif.offset_minutes, intake->exif.has_location, intake->width_px,
           intake->height_px);
  return 0;
}
