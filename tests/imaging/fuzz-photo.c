/* fuzz-photo.c - whatever bytes come in as a picture or as a scene: something read, or an error.
 *
 * Bytes that begin with a brace are a scene, and if they are one, a small picture is read by it; all
 * else is a picture. As a test it runs over the files of a folder and some damaged copies of each:
 *
 *   fuzz-photo FOLDER
 *
 * For libFuzzer, built with clang (see tests/imaging/meson.build):
 *
 *   fuzz-photo-libfuzzer -max_len=4096 WORK-FOLDER tests/imaging/fuzz-photo */
#include "photo-scene.h"

#include <rakelight/photo-reading.h>

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

/* A larger face takes a second to read, which is too long for the many. */
#define LONGEST_MM 120

int LLVMFuzzerTestOneInput (const uint8_t *data, size_t size);

static RakePhotoPicture *
new_picture (int width, int height)
{
  g_autofree guint8 *rgb = g_new (guint8, 3 * (gsize) width * (gsize) height);

  for (int i = 0; i < 3 * width * height; i++)
    rgb[i] = (guint8) (60 + i % 7 * 20 + (i / 300 % 11 == 0 ? 80 : 0));
  return rake_photo_picture_new_from_rgb (rgb, width, height);
}

static void
read_by (const PhotoScene *scene)
{
  RakeBounds bounds = rake_shape_get_bounds (scene->outline);
  g_autoptr (RakePhotoPicture) picture = NULL;
  g_autoptr (RakePhotoFit) fit = NULL;
  g_autoptr (RakePhotoReading) reading = NULL;
  g_autoptr (RakePhotoReading) together = NULL;
  g_autoptr (GError) error = NULL;
  RakePhotoQuestion question;

  if (bounds.max_x_mm - bounds.min_x_mm > LONGEST_MM ||
      bounds.max_y_mm - bounds.min_y_mm > LONGEST_MM || scene->width > 200 || scene->height > 200)
    return;
  picture = new_picture (scene->width, scene->height);
  fit = rake_photo_fit_new ((const RakePhotoPair *) (const void *) scene->pairs->data,
                            scene->pairs->len, scene->width, scene->height, RAKE_PHOTO_FIT_RADIAL,
                            NULL);
  if (fit == NULL)
    return;
  question = (RakePhotoQuestion){ .picture = picture,
                                  .fit = fit,
                                  .outline = scene->outline,
                                  .holes = (const RakeShape *const *) scene->holes->pdata,
                                  .n_holes = scene->holes->len,
                                  .zones = (const RakeShape *const *) scene->zones->pdata,
                                  .n_zones = scene->zones->len,
                                  .stroke_deg = 30,
                                  .sensitivity = 1 };
  reading = rake_photo_read (&question, NULL, NULL, NULL, &error);
  if ((reading == NULL) == (error == NULL))
    g_error ("neither a reading nor an error, or both");
  if (reading != NULL)
    {
      const RakePhotoReading *twice[] = { reading, reading };

      together = rake_photo_reading_combine (twice, 2, NULL);
      if (together == NULL || together->obstacle != reading->obstacle)
        g_error ("a reading that does not go with itself");
    }
}

int
LLVMFuzzerTestOneInput (const uint8_t *data, size_t size)
{
  g_autoptr (GError) error = NULL;

  if (size > 0 && data[0] == '{')
    {
      g_autoptr (PhotoScene) scene = photo_scene_new_from_text ((const char *) data, size, &error);

      if ((scene == NULL) == (error == NULL))
        g_error ("neither a scene nor an error, or both");
      if (scene != NULL)
        read_by (scene);
    }
  else
    {
      g_autoptr (RakePhotoPicture) picture =
          rake_photo_picture_new (data, size, 1 << (size % 4), &error);

      if ((picture == NULL) == (error == NULL))
        g_error ("neither a picture nor an error, or both");
    }
  return 0;
}

#ifndef RAKE_LIBFUZZER
#define N_DAMAGED 150 /* copies of each file */

static void
run_damaged (GRand *random, const char *bytes, gsize n_bytes)
{
  /* A copy of just the right size, so that reading past it is seen. */
  g_autofree uint8_t *damaged = g_memdup2 (bytes, n_bytes);
  int n_changes = g_rand_int_range (random, 1, 4);

  for (int i = 0; i < n_changes && n_bytes > 0; i++)
    {
      gsize at = (gsize) g_rand_int_range (random, 0, (gint32) n_bytes);
      damaged[at] = g_rand_boolean (random)
                        ? (uint8_t) g_rand_int_range (random, 0, 256)
                        : (uint8_t) bytes[g_rand_int_range (random, 0, (gint32) n_bytes)];
    }
  LLVMFuzzerTestOneInput (damaged, n_bytes);
}

int
main (int argc, char **argv)
{
  const char *given = g_getenv ("RAKE_TEST_SEED");
  guint32 seed = given != NULL ? (guint32) g_ascii_strtoull (given, NULL, 10) : 1;
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);
  g_autoptr (GDir) folder = argc == 2 ? g_dir_open (argv[1], 0, NULL) : NULL;
  g_autoptr (GPtrArray) names = g_ptr_array_new_with_free_func (g_free);
  const char *name;

  g_print ("seed %u\n", seed);
  while (folder != NULL && (name = g_dir_read_name (folder)) != NULL)
    g_ptr_array_add (names, g_strdup (name));
  for (guint i = 0; i < names->len; i++)
    {
      g_autofree char *path = g_build_filename (argv[1], (char *) names->pdata[i], NULL);
      g_autofree char *bytes = NULL;
      gsize n_bytes;

      if (!g_file_get_contents (path, &bytes, &n_bytes, NULL))
        return 1;
      LLVMFuzzerTestOneInput ((const uint8_t *) bytes, n_bytes);
      for (int k = 0; k < N_DAMAGED; k++)
        run_damaged (random, bytes, n_bytes);
    }
  g_print ("%u files\n", names->len);
  return names->len > 0 ? 0 : 1;
}
#endif
