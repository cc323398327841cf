/* fuzz-photo.c - whatever bytes come in as a picture or as a scene: something read, or an error.
 *
 * Bytes that begin with a brace are a scene, and if they are one, a small picture is read by it; all
 * else is a picture. As a test it runs over the files of a folder and some damaged copies of each:
 *
 *   fuzz-photo FOLDER N_COPIES
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
