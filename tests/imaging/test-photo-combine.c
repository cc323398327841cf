/* test-photo-combine.c - several photographs of one face read together: each gives what it can see,
 * agreement makes surer, and where they differ nothing is guessed. */
#include "raking-maker.h"

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <math.h>
#include <string.h>
#include <cmocka.h>

static RakePhotoReading *
read_it (Raking *raking)
{
  RakePhotoQuestion question;
  g_autoptr (GError) error = NULL;
  RakePhotoReading *reading;

  raking_make (raking);
  question = raking_ask (raking);
  reading = rake_photo_read (&question, NULL, NULL, NULL, &error);
  if (reading == NULL)
    fail_msg ("%s", error->message);
  return reading;
}

static RakePhotoReading *
combine (const RakePhotoReading *a, const RakePhotoReading *b)
{
  const RakePhotoReading *both[] = { a, b };
  g_autoptr (GError) error = NULL;
  RakePhotoReading *together = rake_photo_reading_combine (both, 2, &error);

  if (together == NULL)
    fail_msg ("%s", error->message);
  return together;
}

/* The second photograph is taken from the other side. */
static void
init_two (Raking *a, Raking *b)
{
  raking_init (a);
  raking_init (b);
  b->shot = 1;
  b->camera.place_mm[1] = -240;
}

static double
get_mean_confidence (const RakePhotoReading *reading)
{
  double sum = 0;

  for (guint i = 0; i < reading->spots->len; i++)
    sum += ((const RakePhotoSpot *) reading->spots->pdata[i])->confidence;
  return sum / fmax (reading->spots->len, 1);
}

static void
two_that_agree_are_surer_and_find_no_less (void **state)
{
  for (guint seed = 1; seed <= 2; seed++)
    {
      Raking a, b;
      g_autoptr (RakePhotoReading) one = NULL;
      g_autoptr (RakePhotoReading) other = NULL;
      g_autoptr (RakePhotoReading) together = NULL;
      double found[3], right[3];

      init_two (&a, &b);
      a.seed = b.seed = seed;
      a.contrast = b.contrast = 0.3;
      one = read_it (&a);
      other = read_it (&b);
      together = combine (one, other);
      raking_compare (&a, one, &found[0], &right[0]);
      raking_compare (&a, other, &found[1], &right[1]);
      raking_compare (&a, together, &found[2], &right[2]);
      print_message ("seed %u: found %.3f and %.3f, together %.3f; right %.3f and %.3f, together "
                     "%.3f\n",
                     seed, found[0], found[1], found[2], right[0], right[1], right[2]);
      if (found[2] < fmax (found[0], found[1]) - 0.02 ||
          right[2] < fmin (right[0], right[1]) - 0.02)
        fail_msg ("together worse than alone");
      assert_true (get_mean_confidence (together) > get_mean_confidence (one));
      for (guint zone = 0; zone < 2; zone++)
        {
          assert_int_equal (together->zones[zone].obstacle, RAKE_PHOTO_READABLE);
          assert_true (
              fabs (together->zones[zone].glossy_fraction - raking_get_fraction (&a, zone)) < 0.03);
        }
      raking_clear (&a);
      raking_clear (&b);
    }
}

static void
what_one_cannot_see_is_taken_from_the_other (void **state)
{
  Raking a, b;
  g_autoptr (RakePhotoReading) one = NULL;
  g_autoptr (RakePhotoReading) other = NULL;
  g_autoptr (RakePhotoReading) together = NULL;
  double found, right;

  init_two (&a, &b);
  a.glare_to_mm = 120;
  b.glare_from_mm = 150;
  b.glare_to_mm = 260;
  one = read_it (&a);
  other = read_it (&b);
  assert_int_equal (one->zones[0].obstacle, RAKE_PHOTO_CLIPPED);
  assert_int_equal (other->zones[1].obstacle, RAKE_PHOTO_CLIPPED);
  together = combine (one, other);
  raking_compare (&a, together, &found, &right);
  if (found < 0.8 || right < 0.75)
    fail_msg ("%.2f of the islands found, %.2f of the spots right", found, right);
  for (guint zone = 0; zone < 2; zone++)
    {
      assert_int_equal (together->zones[zone].obstacle, RAKE_PHOTO_READABLE);
      assert_null (together->zones[zone].advice);
      assert_true (fabs (together->zones[zone].glossy_fraction - raking_get_fraction (&a, zone)) <
                   0.03);
    }
  raking_clear (&a);
  raking_clear (&b);
}

/* A lamp along a scratch does not show it. */
static void
a_scratch_seen_once_is_enough_and_seen_twice_is_one (void **state)
{
  double confidence = 0;

  for (int is_twice = FALSE; is_twice <= TRUE; is_twice++)
    {
      Raking a, b;
      g_autoptr (RakePhotoReading) one = NULL;
      g_autoptr (RakePhotoReading) other = NULL;
      g_autoptr (RakePhotoReading) together = NULL;
      const RakePhotoScratch *scratch;

      init_two (&a, &b);
      b.camera = a.camera;
      a.n_islands = b.n_islands = 12;
      a.scratch_mm = 60;
      b.scratch_mm = is_twice ? 60 : 0;
      one = read_it (&a);
      other = read_it (&b);
      together = combine (one, other);
      assert_int_equal (one->scratches->len, 1);
      assert_int_equal (other->scratches->len, is_twice);
      assert_int_equal (together->scratches->len, 1);
      scratch = together->scratches->pdata[0];
      assert_int_equal (scratch->n_showing, 1 + is_twice);
      assert_int_equal (scratch->showing, is_twice ? 3 : 1);
      assert_true (scratch->confidence > confidence);
      confidence = scratch->confidence;
      raking_clear (&a);
      raking_clear (&b);
    }
}

static void
an_island_that_only_one_shows_is_said_to_be_so (void **state)
{
  Raking a, b;
  g_autoptr (RakePhotoReading) one = NULL;
  g_autoptr (RakePhotoReading) other = NULL;
  g_autoptr (RakePhotoReading) together = NULL;
  guint n_lonely = 0;
  double sum[2] = { 0 }, n[2] = { 0 };

  init_two (&a, &b);
  b.n_hidden = 10;
  one = read_it (&a);
  other = read_it (&b);
  together = combine (one, other);
  for (guint i = 0; i < together->spots->len; i++)
    {
      const RakePhotoSpot *spot = together->spots->pdata[i];
      gboolean is_lonely = spot->n_able == 2 && spot->n_showing == 1;

      assert_int_equal ((spot->showing & 1) + (spot->showing >> 1), spot->n_showing);
      n_lonely += is_lonely ? 1 : 0;
      sum[is_lonely] += spot->confidence;
      n[is_lonely]++;
      assert_true (!is_lonely || strstr (spot->why, "1 of the 2 photographs") != NULL);
    }
  /* Ten are hidden; a few of the others are missed by one of the two. */
  assert_in_range (n_lonely, 8, 18);
  assert_true (sum[TRUE] / n[TRUE] < 0.7 * sum[FALSE] / n[FALSE]);
  raking_clear (&a);
  raking_clear (&b);
}

static void
two_that_differ_are_declined (void **state)
{
  Raking a, b;
  g_autoptr (RakePhotoReading) one = NULL;
  g_autoptr (RakePhotoReading) other = NULL;
  g_autoptr (RakePhotoReading) together = NULL;

  init_two (&a, &b);
  a.n_islands = b.n_islands = 160;
  b.seed = 7;
  one = read_it (&a);
  other = read_it (&b);
  together = combine (one, other);
  assert_int_equal (together->obstacle, RAKE_PHOTO_READABLE);
  assert_int_equal (together->zones[0].obstacle, RAKE_PHOTO_DISAGREE);
  assert_non_null (together->zones[0].advice);
  raking_clear (&a);
  raking_clear (&b);
}

static gboolean
is_same (const RakePhotoReading *a, const RakePhotoReading *b)
{
  if (a->spots->len != b->spots->len || a->scratches->len != b->scratches->len)
    return FALSE;
  for (guint i = 0; i < a->spots->len; i++)
    {
      const RakePhotoSpot *x = a->spots->pdata[i], *y = b->spots->pdata[i];

      if (!rake_shape_equal (x->area, y->area) || strcmp (x->why, y->why) != 0 ||
          x->confidence != y->confidence)
        return FALSE;
    }
  for (guint k = 0; k < a->n_zones; k++)
    if (fabs (a->zones[k].glossy_fraction - b->zones[k].glossy_fraction) > 1e-9 ||
        a->zones[k].obstacle != b->zones[k].obstacle || a->zones[k].regime != b->zones[k].regime)
      return FALSE;
  return TRUE;
}

static void
the_order_is_of_no_account_and_one_alone_stays_itself (void **state)
{
  Raking a, b;
  g_autoptr (RakePhotoReading) one = NULL;
  g_autoptr (RakePhotoReading) other = NULL;
  g_autoptr (RakePhotoReading) first = NULL;
  g_autoptr (RakePhotoReading) second = NULL;
  g_autoptr (RakePhotoReading) alone = NULL;

  init_two (&a, &b);
  one = read_it (&a);
  other = read_it (&b);
  first = combine (one, other);
  second = combine (other, one);
  assert_true (is_same (first, second));
  alone = rake_photo_reading_combine ((const RakePhotoReading *const *) &one, 1, NULL);
  assert_int_equal (alone->spots->len, one->spots->len);
  for (guint k = 0; k < 2; k++)
    assert_true (fabs (alone->zones[k].glossy_fraction - one->zones[k].glossy_fraction) < 1e-9);
  raking_clear (&a);
  raking_clear (&b);
}

static void
a_declined_one_is_left_out_and_all_declined_are_declined (void **state)
{
  Raking a, b;
  g_autoptr (RakePhotoReading) one = NULL;
  g_autoptr (RakePhotoReading) other = NULL;
  g_autoptr (RakePhotoReading) together = NULL;
  g_autoptr (RakePhotoReading) none = NULL;

  init_two (&a, &b);
  b.blur_px = 6;
  one = read_it (&a);
  other = read_it (&b);
  together = combine (other, one);
  assert_int_equal (together->obstacle, RAKE_PHOTO_READABLE);
  assert_int_equal (together->spots->len, one->spots->len);
  for (guint i = 0; i < together->spots->len; i++)
    assert_int_equal (((const RakePhotoSpot *) together->spots->pdata[i])->showing, 2);
  none = combine (other, other);
  assert_int_equal (none->obstacle, RAKE_PHOTO_BLURRED);
  assert_non_null (none->zones[1].advice);
  raking_clear (&a);
  raking_clear (&b);
}

static void
another_face_is_refused (void **state)
{
  Raking a, b;
  RakePhotoQuestion question;
  g_autoptr (RakePhotoReading) one = NULL;
  g_autoptr (RakePhotoReading) other = NULL;
  const RakePhotoReading *both[2];
  g_autoptr (GError) error = NULL;

  init_two (&a, &b);
  one = read_it (&a);
  raking_make (&b);
  question = raking_ask (&b);
  question.zones++;
  question.n_zones = 1;
  other = rake_photo_read (&question, NULL, NULL, NULL, NULL);
  both[0] = one;
  both[1] = other;
  assert_null (rake_photo_reading_combine (both, 2, &error));
  assert_true (
      g_error_matches (error, RAKE_PHOTO_READING_ERROR, RAKE_PHOTO_READING_ERROR_TOGETHER));
  raking_clear (&a);
  raking_clear (&b);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (two_that_agree_are_surer_and_find_no_less),
    cmocka_unit_test (what_one_cannot_see_is_taken_from_the_other),
    cmocka_unit_test (a_scratch_seen_once_is_enough_and_seen_twice_is_one),
    cmocka_unit_test (an_island_that_only_one_shows_is_said_to_be_so),
    cmocka_unit_test (two_that_differ_are_declined),
    cmocka_unit_test (the_order_is_of_no_account_and_one_alone_stays_itself),
    cmocka_unit_test (a_declined_one_is_left_out_and_all_declined_are_declined),
    cmocka_unit_test (another_face_is_refused),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
