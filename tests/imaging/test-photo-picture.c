/* test-photo-picture.c - pictures are read as they are, and what is no picture is refused. */
#include <rakelight/photo-picture.h>

#include "picture-maker.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <cmocka.h>

#define WIDTH 203
#define HEIGHT 117

/* The same picture as a JPEG in one pass, one in several, and a PNG. */
static GPtrArray *
make_files (int width, int height)
{
  GPtrArray *files = g_ptr_array_new_with_free_func ((GDestroyNotify) g_byte_array_unref);
  g_autofree guint8 *rgb = make_colours (width, height);

  g_ptr_array_add (files, make_jpeg (rgb, width, height, 90, FALSE));
  g_ptr_array_add (files, make_jpeg (rgb, width, height, 90, TRUE));
  g_ptr_array_add (files, make_png (rgb, width, height));
  return files;
}

/* The largest difference of any colour of the picture from @rgb taken @shrink apart. */
static int
largest_difference (const RakePhotoPicture *picture, const guint8 *rgb, int shrink)
{
  const guint8 *read = rake_photo_picture_get_rgb (picture);
  int largest = 0, width = rake_photo_picture_get_width (picture);

  /* The last column and row of a shrunk picture stand for less than a whole pixel. */
  for (int y = 0; y < HEIGHT / shrink; y++)
    for (int x = 0; x < WIDTH / shrink; x++)
      for (int c = 0; c < 3; c++)
        {
          int at = (y * shrink + shrink / 2) * WIDTH + x * shrink + shrink / 2;
          largest = MAX (largest, abs (read[3 * (y * width + x) + c] - rgb[3 * at + c]));
        }
  return largest;
}

static void
a_png_reads_back_to_the_byte (void **state)
{
  g_autofree guint8 *rgb = make_colours (WIDTH, HEIGHT);
  g_autoptr (GByteArray) png = make_png (rgb, WIDTH, HEIGHT);
  g_autoptr (RakePhotoPicture) picture = rake_photo_picture_new (png->data, png->len, 1, NULL);
  RakePhotoFormat format;
  int width, height;

  assert_non_null (picture);
  assert_memory_equal (rake_photo_picture_get_rgb (picture), rgb, 3 * WIDTH * HEIGHT);
  assert_true (
      rake_photo_picture_read_header (png->data, png->len, &format, &width, &height, NULL));
  assert_int_equal (format, RAKE_PHOTO_FORMAT_PNG);
  assert_int_equal (width, WIDTH);
  assert_int_equal (height, HEIGHT);
}

static void
a_jpeg_reads_back_nearly_and_shrunk (void **state)
{
  g_autofree guint8 *rgb = make_colours (WIDTH, HEIGHT);

  for (int is_progressive = 0; is_progressive <= 1; is_progressive++)
    {
      g_autoptr (GByteArray) jpeg = make_jpeg (rgb, WIDTH, HEIGHT, 95, is_progressive);

      for (int shrink = 1; shrink <= 8; shrink *= 2)
        {
          g_autoptr (GError) error = NULL;
          g_autoptr (RakePhotoPicture) picture =
              rake_photo_picture_new (jpeg->data, jpeg->len, shrink, &error);

          assert_null (error);
          assert_int_equal (rake_photo_picture_get_width (picture), (WIDTH + shrink - 1) / shrink);
          assert_int_equal (rake_photo_picture_get_height (picture),
                            (HEIGHT + shrink - 1) / shrink);
          /* A pixel's step of the run of colours is 2.2 at most, and JPEG adds its own. */
          assert_in_range (largest_difference (picture, rgb, shrink), 0, 8 + 2 * shrink);
        }
    }
}

static void
a_png_is_shrunk_by_its_mean (void **state)
{
  const guint8 rgb[] = { 10, 20, 30, 20, 30, 40, 100, 0, 0, 30, 40, 50, 40, 50, 60, 101, 0, 0 };
  const guint8 expected[] = { 25, 35, 45, 101, 0, 0 };
  g_autoptr (GByteArray) png = make_png (rgb, 3, 2);
  g_autoptr (RakePhotoPicture) picture = rake_photo_picture_new (png->data, png->len, 2, NULL);

  assert_int_equal (rake_photo_picture_get_width (picture), 2);
  assert_int_equal (rake_photo_picture_get_height (picture), 1);
  assert_memory_equal (rake_photo_picture_get_rgb (picture), expected, sizeof expected);
}

static void
refuse (const void *bytes, gsize n_bytes, RakePhotoPictureError code)
{
  g_autoptr (GError) error = NULL;
  /* A copy of just the right size, so that reading past it is seen. */
  g_autofree guint8 *copy = g_memdup2 (bytes, n_bytes);

  assert_null (rake_photo_picture_new (copy, n_bytes, 1, &error));
  if (!g_error_matches (error, RAKE_PHOTO_PICTURE_ERROR, (int) code))
    fail_msg ("%s", error->message);
}

static void
what_is_no_picture_is_refused (void **state)
{
  static const char gif[] = "GIF89a\1\0\1\0\200\0\0", tiff[] = "II*\0\10\0\0\0\0\0\0\0";
  static const char text[] = "This is a note called photograph.jpg";

  refuse (text, strlen (text), RAKE_PHOTO_PICTURE_ERROR_NOT_A_PICTURE);
  refuse (gif, sizeof gif, RAKE_PHOTO_PICTURE_ERROR_NOT_A_PICTURE);
  refuse (tiff, sizeof tiff, RAKE_PHOTO_PICTURE_ERROR_NOT_A_PICTURE);
  refuse (text, 0, RAKE_PHOTO_PICTURE_ERROR_NOT_A_PICTURE);
  refuse ("\xff\xd8\xff", 3, RAKE_PHOTO_PICTURE_ERROR_NOT_A_PICTURE);
  refuse ("\xff\xd8\xff\xe0 and then words", 20, RAKE_PHOTO_PICTURE_ERROR_DAMAGED);
}

static void
a_picture_cut_short_anywhere_is_refused (void **state)
{
  g_autoptr (GPtrArray) files = make_files (WIDTH, HEIGHT);

  for (guint i = 0; i < files->len; i++)
    for (guint share = 1; share < 40; share++)
      {
        const GByteArray *file = files->pdata[i];
        guint length = file->len * share / 40;
        refuse (file->data, MAX (length, 12), RAKE_PHOTO_PICTURE_ERROR_DAMAGED);
      }
}

/* Where a JPEG tells its height and width: after the marker of the frame (ITU-T T.81, B.2.2). */
static guint8 *
find_frame (GByteArray *jpeg)
{
  for (guint i = 2; i + 9 < jpeg->len;)
    {
      if (jpeg->data[i + 1] == 0xc0 || jpeg->data[i + 1] == 0xc2)
        return jpeg->data + i + 5;
      i += 2u + 256u * jpeg->data[i + 2] + jpeg->data[i + 3];
    }
  fail_msg ("no frame");
  return NULL;
}

static void
a_header_that_asks_for_gigabytes_is_refused (void **state)
{
  g_autofree guint8 *rgb = make_colours (16, 16);
  g_autoptr (GByteArray) jpeg = make_jpeg (rgb, 16, 16, 90, FALSE);
  g_autoptr (GByteArray) png = make_png (rgb, 16, 16);

  memcpy (find_frame (jpeg), "\xff\x00\xff\x00", 4);
  refuse (jpeg->data, jpeg->len, RAKE_PHOTO_PICTURE_ERROR_TOO_LARGE);
  /* Within our limit, but not what follows: found out without waiting for it. */
  memcpy (find_frame (jpeg), "\x20\x00\x20\x00", 4);
  refuse (jpeg->data, jpeg->len, RAKE_PHOTO_PICTURE_ERROR_DAMAGED);

  /* Width, height in the first chunk; its sum is then wrong, which the size is refused before. */
  memcpy (png->data + 16, "\0\0\xff\xff\0\0\xff\xff", 8);
  assert_null (rake_photo_picture_new (png->data, png->len, 1, NULL));
}

static void
a_large_but_true_png_is_refused_by_its_header (void **state)
{
  /* 10 001 × 10 000, all zeros, in a handful of kilobytes. */
  g_autofree guint8 *rgb = g_malloc0 (3 * (gsize) 10001 * 10000);
  g_autoptr (GByteArray) png = make_png (rgb, 10001, 10000);

  g_clear_pointer (&rgb, g_free);
  assert_in_range (png->len, 1, 2000000);
  refuse (png->data, png->len, RAKE_PHOTO_PICTURE_ERROR_TOO_LARGE);
}

/* Whatever is done to the bytes: a picture or an error. */
static void
damaged_bytes_give_a_picture_or_an_error (void **state)
{
  const char *given = g_getenv ("RAKE_TEST_SEED");
  guint32 seed = given != NULL ? (guint32) g_ascii_strtoull (given, NULL, 10) : 1;
  g_autoptr (GRand) random = g_rand_new_with_seed (seed);
  g_autoptr (GPtrArray) files = make_files (64, 48);
  guint n_refused = 0;

  print_message ("seed %u\n", seed);
  for (guint round = 0; round < 1500; round++)
    {
      const GByteArray *file = files->pdata[round % files->len];
      g_autofree guint8 *bytes = g_memdup2 (file->data, file->len);
      g_autoptr (GError) error = NULL;
      g_autoptr (RakePhotoPicture) picture = NULL;

      for (int change = g_rand_int_range (random, 1, 4); change > 0; change--)
        bytes[g_rand_int_range (random, 0, (gint32) file->len)] =
            (guint8) g_rand_int_range (random, 0, 256);
      picture = rake_photo_picture_new (bytes, file->len, 1 << (round % 4), &error);
      assert_true ((picture == NULL) == (error != NULL));
      n_refused += picture == NULL;
    }
  assert_in_range (n_refused, 1, 1499);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_png_reads_back_to_the_byte),
    cmocka_unit_test (a_jpeg_reads_back_nearly_and_shrunk),
    cmocka_unit_test (a_png_is_shrunk_by_its_mean),
    cmocka_unit_test (what_is_no_picture_is_refused),
    cmocka_unit_test (a_picture_cut_short_anywhere_is_refused),
    cmocka_unit_test (a_header_that_asks_for_gigabytes_is_refused),
    cmocka_unit_test (a_large_but_true_png_is_refused_by_its_header),
    cmocka_unit_test (damaged_bytes_give_a_picture_or_an_error),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
