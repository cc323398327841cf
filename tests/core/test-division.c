/* test-division.c - zones divided in a draft tile the face, keep what they were, and can be taken
 * back. */
#include <rakelight/division.h>
#include <rakelight/draft.h>
#include <rakelight/outline.h>
#include <rakelight/schedule.h>
#include <rakelight/zoning.h>

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>
#include <cmocka.h>

static RakeDraft *
new_draft (void)
{
  RakeDraft *draft = rake_draft_new ();
  RakeEntry *face = rake_entry_new (RAKE_ENTRY_FACE);
  RakeEntry *schedule = rake_entry_new (RAKE_ENTRY_SCHEDULE);

  face->face.name = g_strdup ("Front");
  face->face.outline = rake_outline_new (RAKE_OUTLINE_WAISTED, 360, 480, 100, NULL);
  schedule->schedule.face = face->id;
  g_clear_pointer (&schedule->schedule.stages, g_array_unref);
  schedule->schedule.stages = rake_schedule_parse ("P800, P1200, last look, cut", NULL);
  assert_true (rake_draft_append (draft, face, NULL));
  assert_true (rake_draft_append (draft, schedule, NULL));
  return draft;
}

static const RakeFace *
get_face (const RakeDraft *draft)
{
  return rake_job_get_face (rake_draft_get_job (draft), 0);
}

static const RakeZone *
get_zone (const RakeDraft *draft, guint index)
{
  assert_true (index < get_face (draft)->zones->len);
  return get_face (draft)->zones->pdata[index];
}

static void
assert_tiles (const RakeDraft *draft)
{
  const RakeFace *face = get_face (draft);
  g_autoptr (GPtrArray) shapes = g_ptr_array_new ();
  g_autoptr (GError) error = NULL;

  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (shapes, (gpointer) get_zone (draft, i)->shape);
  if (!rake_zoning_check_tiles (face->outline, (RakeShape *const *) shapes->pdata, shapes->len,
                                &error))
    fail_msg ("%s", error->message);
}

static void
an_edge_band_loses_more_and_starts_later (void **state)
{
  g_autoptr (RakeDraft) draft = new_draft ();
  const RakeZone *edge;

  assert_true (rake_draft_append (
      draft, rake_division_new_band (get_zone (draft, 0), 8, FALSE, NULL), NULL));
  edge = get_zone (draft, 0);
  assert_true (edge->is_edge);
  assert_string_equal (edge->name, "Front edge");
  assert_string_equal (edge->first_stage->grade, "P1200");
  assert_true (edge->edge_factor == RAKE_USUAL_EDGE_FACTOR);
  assert_false (get_zone (draft, 1)->is_edge);
  assert_string_equal (get_zone (draft, 1)->name, "Front");
  assert_string_equal (get_zone (draft, 1)->first_stage->grade, "P800");
  assert_tiles (draft);
}

static void
names_are_numbered_and_never_double (void **state)
{
  g_autoptr (RakeDraft) draft = new_draft ();
  g_autoptr (GHashTable) names = g_hash_table_new (g_str_hash, g_str_equal);

  assert_true (
      rake_draft_append (draft, rake_division_new_grid (get_zone (draft, 0), 2, 3, NULL), NULL));
  for (int i = 0; i < 3; i++)
    {
      RakeBounds box = rake_shape_get_bounds (get_zone (draft, (guint) i)->shape);
      double x_mm = (box.min_x_mm + box.max_x_mm) / 2;
      g_autoptr (RakeShape) line =
          rake_shape_new_line ((double[]){ x_mm, box.min_y_mm, x_mm, box.max_y_mm }, 2, NULL);

      assert_true (rake_draft_append (
          draft, rake_division_new_cut (get_zone (draft, (guint) i), line, NULL), NULL));
      assert_tiles (draft);
    }
  for (guint i = 0; i < get_face (draft)->zones->len; i++)
    if (!g_hash_table_add (names, (gpointer) get_zone (draft, i)->name))
      fail_msg ("two zones are called “%s”", get_zone (draft, i)->name);
}

static void
joining_needs_two_zones_that_touch (void **state)
{
  g_autoptr (RakeDraft) draft = new_draft ();
  g_autoptr (GError) error = NULL;
  const RakeZone *zones[2];
  guint n_before;

  assert_true (
      rake_draft_append (draft, rake_division_new_grid (get_zone (draft, 0), 1, 3, NULL), NULL));
  zones[0] = get_zone (draft, 0);
  zones[1] = get_zone (draft, 2);
  assert_null (rake_division_new_join (zones, 1, &error));
  assert_non_null (error);
  g_clear_error (&error);
  assert_null (rake_division_new_join (zones, 2, &error));
  assert_non_null (error);
  zones[1] = get_zone (draft, 1);
  n_before = get_face (draft)->zones->len;
  assert_true (rake_draft_append (draft, rake_division_new_join (zones, 2, NULL), NULL));
  assert_int_equal (get_face (draft)->zones->len, n_before - 1);
  assert_tiles (draft);
}

static void
what_is_taken_back_was_never_there (void **state)
{
  g_autoptr (RakeDraft) draft = new_draft ();
  g_autofree char *before = rake_job_dump (rake_draft_get_job (draft));
  g_autofree char *after = NULL;

  assert_true (
      rake_draft_append (draft, rake_division_new_grid (get_zone (draft, 0), 3, 2, NULL), NULL));
  assert_true (
      rake_draft_append (draft, rake_division_new_band (get_zone (draft, 0), 5, TRUE, NULL), NULL));
  rake_draft_take_back (draft, 2);
  after = rake_job_dump (rake_draft_get_job (draft));
  assert_string_equal (before, after);
}

static void
a_refused_entry_leaves_the_draft_alone (void **state)
{
  g_autoptr (RakeDraft) draft = new_draft ();
  g_autoptr (GError) error = NULL;
  RakeEntry *pass = rake_entry_new (RAKE_ENTRY_PASS);
  guint n_before = rake_draft_get_entries (draft)->len;

  assert_false (rake_draft_append (draft, pass, &error));
  assert_non_null (error);
  assert_int_equal (rake_draft_get_entries (draft)->len, n_before);
}

int
main (void)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test (an_edge_band_loses_more_and_starts_later),
    cmocka_unit_test (names_are_numbered_and_never_double),
    cmocka_unit_test (joining_needs_two_zones_that_touch),
    cmocka_unit_test (what_is_taken_back_was_never_there),
    cmocka_unit_test (a_refused_entry_leaves_the_draft_alone),
  };
  return cmocka_run_group_tests (tests, NULL, NULL);
}
