/* test-job-photos.c - photographs in the job: where they belong, what becomes of them, what is
 * guessed, and how they lie on their face. */
#include "job-support.h"

#include <rakelight/photo.h>

#define HOUR_MS G_GINT64_CONSTANT (3600000)

static RakeEntry *
new_photo (const Bench *bench, RakeId zone)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_PHOTO);

  entry->photo.sha256 = g_strnfill (64, 'a');
  entry->photo.media_type = RAKE_MEDIA_JPEG;
  entry->photo.n_bytes = 1000;
  entry->photo.width_px = 4000;
  entry->photo.height_px = 3000;
  if (!rake_id_is_nil (zone))
    {
      entry->photo.face = bench->face;
      g_array_append_val (entry->photo.zones, zone);
    }
  return entry;
}

static RakeEntry *
new_moved_photo (const Bench *bench, RakeId photo, RakeId zone)
{
  RakeEntry *entry = new_photo (bench, zone);

  entry->photo.photo = photo;
  return entry;
}

/* Ten pixels a millimetre, or what a tilted camera made of it. */
static RakeEntry *
new_registration (const Bench *bench, RakeId photo)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_REGISTRATION);
  RakeRegistrationBody *body = &entry->registration;

  body->face = bench->face;
  body->photo = photo;
  for (int i = 0; i < 4; i++)
    {
      const RakePairSpec pair = { i % 2 * 3000, i / 2 * 2000, i % 2 * 300, i / 2 * 200 };
      g_array_append_val (body->pairs, pair);
    }
  body->m11 = body->m22 = 10;
  body->m12 = body->m13 = body->m21 = body->m23 = body->m31 = body->m32 = 0;
  body->m33 = 1;
  return entry;
}

static RakeEntry *
new_withdrawal (RakeId photo)
{
  RakeEntry *entry = rake_entry_new (RAKE_ENTRY_WITHDRAWAL);

  entry->withdrawal.photo = photo;
  entry->withdrawal.reason = g_strdup ("shows a person");
  return entry;
}

static guint
count_about (const Bench *bench, RakeId about)
{
  g_autoptr (GPtrArray) photos = rake_job_list_photos (bench->bench->job, about);
  return photos->len;
}

/* --- where they belong ------------------------------------------------------------------------------ */

static void
a_photograph_is_found_by_all_it_belongs_to (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId look = bench_write (bench, new_look (bench->left));
  RakeId mark = bench_write (bench, new_mark (look, RAKE_MARK_SCRATCH, point_at (10, 10)));
  RakeId pass = bench_write (bench, new_pass (bench->stages[0], bench->left)), photo;
  RakeEntry *entry = new_photo (bench, bench->left);

  entry->photo.stage = bench->stages[0];
  entry->photo.pass = pass;
  g_array_append_val (entry->photo.marks, mark);
  photo = bench_write (bench, entry);
  bench_write (bench, new_photo (bench, RAKE_ID_NIL));

  assert_int_equal (rake_job_get_n_photos (bench->bench->job), 2);
  assert_int_equal (count_about (bench, RAKE_ID_NIL), 2);
  assert_int_equal (count_about (bench, bench->face), 1);
  assert_int_equal (count_about (bench, bench->left), 1);
  assert_int_equal (count_about (bench, bench->right), 0);
  assert_int_equal (count_about (bench, bench->stages[0]), 1);
  assert_int_equal (count_about (bench, bench->stages[1]), 0);
  assert_int_equal (count_about (bench, pass), 1);
  assert_int_equal (count_about (bench, mark), 1);
  assert_int_equal (count_in_history (zone_of (bench, bench->left), RAKE_ENTRY_PHOTO), 1);
  assert_int_equal (count_in_history (zone_of (bench, bench->right), RAKE_ENTRY_PHOTO), 0);
  assert_true (rake_job_find_photo (bench->bench->job, photo)->face->entry->id.bytes[0] ==
               bench->face.bytes[0]);
  assert_null (rake_job_find_photo (bench->bench->job, pass));
}

static void
a_part_has_the_photographs_of_the_whole (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId upper, lower, late;
  RakeEntry *cut = new_cut_of_left (bench, &upper, &lower);

  bench_write (bench, new_photo (bench, bench->left));
  bench_write (bench, cut);
  assert_int_equal (count_about (bench, upper), 1);
  assert_int_equal (count_about (bench, lower), 1);
  assert_int_equal (count_about (bench, bench->right), 0);
  late = bench_write (bench, new_photo (bench, upper));
  assert_int_equal (count_about (bench, upper), 2);
  assert_int_equal (count_about (bench, lower), 1);
  bench_refuses (bench, new_photo (bench, bench->left), RAKE_JOB_ERROR_REFERENCE);
  bench_write (bench, new_strike (late));
  assert_int_equal (count_about (bench, upper), 1);
}

static void
the_one_taken_last_comes_first (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId ids[3];
  g_autoptr (GPtrArray) photos = NULL;

  for (int i = 0; i < 3; i++)
    {
      RakeEntry *entry = new_photo (bench, bench->left);
      entry->happened_ms = bench->bench->now_ms - (i == 1 ? 1 : 5) * HOUR_MS;
      entry->photo.view = g_strdup (i == 2 ? "door" : "window");
      ids[i] = bench_write (bench, entry);
    }
  photos = rake_job_list_photos (bench->bench->job, bench->left);
  assert_true (rake_id_equal (((RakePhoto *) photos->pdata[0])->id, ids[1]));
  assert_true (rake_id_equal (((RakePhoto *) photos->pdata[2])->id, ids[0]));
  g_ptr_array_unref (photos);
  photos = rake_job_list_view (bench->bench->job, bench->face, "window");
  assert_int_equal (photos->len, 2);
  assert_true (rake_id_equal (((RakePhoto *) photos->pdata[0])->id, ids[1]));
}

static void
a_photograph_is_placed_anew (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId photo = bench_write (bench, new_photo (bench, bench->left)), moved;
  RakeEntry *other_bytes = new_moved_photo (bench, photo, bench->right);

  other_bytes->photo.sha256[0] = 'b';
  bench_refuses (bench, other_bytes, RAKE_JOB_ERROR_RULE);
  moved = bench_write (bench, new_moved_photo (bench, photo, bench->right));
  assert_int_equal (rake_job_get_n_photos (bench->bench->job), 1);
  assert_int_equal (count_about (bench, bench->left), 0);
  assert_int_equal (count_about (bench, bench->right), 1);
  assert_true (rake_id_equal (rake_job_find_photo (bench->bench->job, moved)->id, photo));
  /* what is placed anew is placed by its first entry's name */
  bench_refuses (bench, new_moved_photo (bench, moved, bench->left), RAKE_JOB_ERROR_REFERENCE);
  bench_refuses (bench, new_strike (photo), RAKE_JOB_ERROR_RULE);
  bench_write (bench, new_strike (moved));
  assert_int_equal (count_about (bench, bench->left), 1);
}

/* --- withdrawal --------------------------------------------------------------------------------------- */

static void
a_new_placement_says_again_what_was_said (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  const RakeId zones[] = { RAKE_ID_NIL, bench->right };

  for (guint i = 0; i < G_N_ELEMENTS (zones); i++)
    {
      RakeEntry *entry = new_photo (bench, zones[i]), *anew;
      RakeId photo;

      entry->photo.lamp_deg = 300;
      entry->photo.is_look = RAKE_ANSWER_YES;
      entry->photo.view = g_strdup ("from the door");
      entry->photo.note = g_strdup ("the run by the edge");
      photo = bench_write (bench, entry);
      anew = rake_photo_new_placement (bench->bench->job,
                                       rake_job_find_photo (bench->bench->job, photo));
      assert_true (rake_id_equal (anew->photo.photo, photo));
      assert_true (anew->photo.lamp_deg > 299 && anew->photo.lamp_deg < 301);
      assert_int_equal (anew->photo.is_look, RAKE_ANSWER_YES);
      assert_string_equal (anew->photo.view, "from the door");
      assert_string_equal (anew->photo.note, "the run by the edge");
      bench_write (bench, anew);
      assert_int_equal (count_about (bench, bench->right), i);
    }
}

static void
a_withdrawn_photograph_stays_and_says_so (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId photo = bench_write (bench, new_photo (bench, bench->left)), withdrawal, struck;

  withdrawal = bench_write (bench, new_withdrawal (photo));
  assert_int_equal (count_about (bench, bench->left), 1);
  assert_true (
      rake_id_equal (rake_job_find_photo (bench->bench->job, photo)->withdrawal->id, withdrawal));
  bench_refuses (bench, new_withdrawal (photo), RAKE_JOB_ERROR_RULE);
  bench_refuses (bench, new_strike (withdrawal), RAKE_JOB_ERROR_RULE);
  /* what was struck out has its bytes still, and may be withdrawn */
  struck = bench_write (bench, new_photo (bench, bench->left));
  bench_write (bench, new_strike (struck));
  bench_write (bench, new_withdrawal (struck));
  assert_int_equal (rake_job_get_n_photos (bench->bench->job), 1);
}

/* Two of three are of the same bytes, and one more that was struck out. */
static void
the_same_picture_is_withdrawn_once_or_everywhere (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  const RakeJob *job = bench->bench->job;
  RakeEntry *other = new_photo (bench, bench->left);
  RakeId struck = bench_write (bench, new_photo (bench, bench->left)), ids[3];
  g_autofree char *sha256 = g_strnfill (64, 'a');

  bench_write (bench, new_strike (struck));
  g_free (other->photo.sha256);
  other->photo.sha256 = g_strnfill (64, 'b');
  assert_int_equal (rake_job_find_same_photo (job, sha256), 0);
  ids[0] = bench_write (bench, other);
  ids[1] = bench_write (bench, new_photo (bench, bench->left));
  ids[2] = bench_write (bench, new_photo (bench, bench->right));
  bench_write (bench, new_moved_photo (bench, ids[2], bench->left)); /* none of its own */
  assert_int_equal (rake_job_find_same_photo (job, sha256), 2);
  for (int everywhere = 0; everywhere < 2; everywhere++)
    {
      g_autoptr (GPtrArray) entries = rake_photo_new_withdrawals (
          job, rake_job_find_photo (job, ids[1]), "shows a person", everywhere);

      assert_int_equal (entries->len, 2 + everywhere);
      for (guint i = 0; i < entries->len; i++)
        {
          const RakeEntry *entry = entries->pdata[i];
          RakeId expected = i == 0 ? ids[1] : i == 1 ? struck : ids[2];

          assert_true (rake_id_equal (entry->withdrawal.photo, expected));
          assert_string_equal (entry->withdrawal.reason, "shows a person");
        }
    }
  for (int i = 1; i < 3; i++)
    {
      g_autoptr (GPtrArray) same = rake_job_list_same_photos (job, sha256);

      assert_int_equal (same->len, 4 - i);
      bench_write (bench, new_withdrawal (ids[i]));
    }
  assert_int_equal (rake_job_find_same_photo (job, sha256), 0);
  assert_null (rake_job_find_photo (job, ids[0])->withdrawal);
}

static void
undo_passes_a_withdrawal_by (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId pass = bench_write (bench, new_pass (bench->stages[0], bench->left));
  RakeId photo = bench_write (bench, new_photo (bench, bench->left));

  bench_write (bench, new_withdrawal (photo));
  assert_true (random_bench_undo (bench->bench));
  assert_true (rake_job_is_struck (bench->bench->job, photo));
  assert_true (random_bench_undo (bench->bench));
  assert_true (rake_job_is_struck (bench->bench->job, pass));
  assert_true (random_bench_redo (bench->bench));
  assert_true (random_bench_redo (bench->bench));
  assert_non_null (rake_job_find_photo (bench->bench->job, photo)->withdrawal);
}

/* --- on the face --------------------------------------------------------------------------------------- */

static void
a_registration_tells_the_zone_at_a_place (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId photo = bench_write (bench, new_photo (bench, bench->left)), registration;
  const RakePhoto *shown;
  RakeEntry *flat = new_registration (bench, photo);

  flat->registration.m22 = 0;
  bench_refuses (bench, flat, RAKE_JOB_ERROR_RULE);
  assert_null (rake_photo_find_zone_at (rake_job_find_photo (bench->bench->job, photo), 10, 10));
  registration = bench_write (bench, new_registration (bench, photo));
  shown = rake_job_find_photo (bench->bench->job, photo);
  assert_ptr_equal (rake_photo_find_zone_at (shown, 1499, 10), zone_of (bench, bench->left));
  assert_ptr_equal (rake_photo_find_zone_at (shown, 1501, 10), zone_of (bench, bench->right));
  assert_null (rake_photo_find_zone_at (shown, 3001, 10));
  bench_write (bench, new_strike (registration));
  assert_null (rake_job_find_photo (bench->bench->job, photo)->registration);
}

/* The new place is no face: the registration lies on none. */
static void
a_registration_goes_with_the_face (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId photo = bench_write (bench, new_photo (bench, bench->left));

  bench_write (bench, new_registration (bench, photo));
  bench_write (bench, new_moved_photo (bench, photo, bench->right));
  assert_non_null (rake_job_find_photo (bench->bench->job, photo)->registration);
  bench_write (bench, new_moved_photo (bench, photo, RAKE_ID_NIL));
  assert_null (rake_job_find_photo (bench->bench->job, photo)->registration);
  bench_refuses (bench, new_registration (bench, photo), RAKE_JOB_ERROR_RULE);
}

static void
a_fit_of_the_same_view_is_offered (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId photos[4], fits[2];

  for (int i = 0; i < 4; i++)
    {
      RakeEntry *entry = new_photo (bench, bench->left);
      entry->photo.view = g_strdup (i < 3 ? "window" : "door");
      if (i == 1)
        entry->photo.width_px = 2000;
      photos[i] = bench_write (bench, entry);
    }
  for (int i = 0; i < 2; i++)
    fits[i] = bench_write (bench, new_registration (bench, photos[i]));
  /* the second has another size, the fourth another view */
  assert_true (
      rake_id_equal (rake_job_find_fit_of_view (bench->bench->job,
                                                rake_job_find_photo (bench->bench->job, photos[2]))
                         ->id,
                     fits[0]));
  assert_null (rake_job_find_fit_of_view (bench->bench->job,
                                          rake_job_find_photo (bench->bench->job, photos[3])));
  assert_null (rake_job_find_fit_of_view (bench->bench->job,
                                          rake_job_find_photo (bench->bench->job, photos[0])));
}

/* --- the guess ------------------------------------------------------------------------------------------ */

static void
the_guess_is_what_was_done_last_before (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  gint64 begin_ms = bench->bench->now_ms, pass_ms, look_ms;
  RakeId upper, lower, pass;
  RakeEntry *cut = new_cut_of_left (bench, &upper, &lower);

  {
    g_auto (RakePhotoGuess) guess = { 0 };
    rake_job_guess_photo_place (bench->bench->job, begin_ms - HOUR_MS, &guess);
    assert_null (guess.face);
    assert_true (isnan (guess.hours_before));
  }
  bench->bench->now_ms += HOUR_MS;
  pass = bench_write (bench, new_pass (bench->stages[1], bench->left));
  pass_ms = bench->bench->now_ms;
  bench->bench->now_ms += HOUR_MS;
  bench_write (bench, new_look (bench->right));
  look_ms = bench->bench->now_ms;
  bench_write (bench, cut);
  {
    /* between the two: the pass, whose zone was cut meanwhile */
    g_auto (RakePhotoGuess) guess = { 0 };
    rake_job_guess_photo_place (bench->bench->job, pass_ms + HOUR_MS / 2, &guess);
    assert_ptr_equal (guess.face, rake_job_get_face (bench->bench->job, 0));
    assert_true (rake_id_equal (guess.pass->id, pass));
    assert_int_equal (stage_number (bench, guess.stage), 1);
    assert_int_equal (guess.zones->len, 2);
    assert_true (ABS (guess.hours_before - 0.5) < 0.001);
  }
  {
    g_auto (RakePhotoGuess) guess = { 0 };
    rake_job_guess_photo_place (bench->bench->job, look_ms + 2 * HOUR_MS, &guess);
    assert_null (guess.pass);
    assert_int_equal (guess.zones->len, 1);
    assert_ptr_equal (guess.zones->pdata[0], zone_of (bench, bench->right));
    assert_int_equal (stage_number (bench, guess.stage), 1);
    assert_true (ABS (guess.hours_before - 2) < 0.001);
  }
}

static void
photographs_are_told_in_a_line (void **state)
{
  g_autoptr (Bench) bench = bench_new ();
  RakeId ids[5];
  static const char *const lines[] = { "Photograph of Left", "Photograph of the piece",
                                       "Photograph placed at Right", "Photograph laid on Front",
                                       "Photograph withdrawn: shows a person" };

  ids[0] = bench_write (bench, new_photo (bench, bench->left));
  ids[1] = bench_write (bench, new_photo (bench, RAKE_ID_NIL));
  ids[2] = bench_write (bench, new_moved_photo (bench, ids[0], bench->right));
  ids[3] = bench_write (bench, new_registration (bench, ids[0]));
  ids[4] = bench_write (bench, new_withdrawal (ids[0]));
  for (guint i = 0; i < 5; i++)
    {
      g_autofree char *line = rake_job_describe_entry (
          bench->bench->job, rake_job_find_entry (bench->bench->job, ids[i]));
      assert_string_equal (line, lines[i]);
    }
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (a_photograph_is_found_by_all_it_belongs_to),
    cmocka_unit_test (a_part_has_the_photographs_of_the_whole),
    cmocka_unit_test (the_one_taken_last_comes_first),
    cmocka_unit_test (a_photograph_is_placed_anew),
    cmocka_unit_test (a_new_placement_says_again_what_was_said),
    cmocka_unit_test (a_withdrawn_photograph_stays_and_says_so),
    cmocka_unit_test (the_same_picture_is_withdrawn_once_or_everywhere),
    cmocka_unit_test (undo_passes_a_withdrawal_by),
    cmocka_unit_test (a_registration_tells_the_zone_at_a_place),
    cmocka_unit_test (a_registration_goes_with_the_face),
    cmocka_unit_test (a_fit_of_the_same_view_is_offered),
    cmocka_unit_test (the_guess_is_what_was_done_last_before),
    cmocka_unit_test (photographs_are_told_in_a_line),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
