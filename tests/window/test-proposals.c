/* test-proposals.c - what a photograph seems to show is proposed, taken one by one, and entered as one
 * gesture with the photograph as its evidence; nothing is entered by itself.
 *
 * The photograph is computed (tests/imaging/raking-maker.h), so where its islands are is known. With
 * RAKE_PICTURES a folder, the page is drawn there. */
#include "photo-desk.h"
#include "picture-maker.h"
#include "proposals-page.h"
#include "proposals.h"
#include "raking-maker.h"
#include "side-window.h"
#include "window.h"

#include <math.h>
#include <string.h>

#define LAMP_DEG 135
#define LONGEST_S 400 /* under sanitizers, beside other work, reading takes minutes */

typedef struct
{
  Bench *bench;
  Raking raking;
  RakeId face, photo;
} Bed;

static RakeSession *
get_session (const Bed *bed)
{
  return bed->bench->session;
}

static const RakeJob *
get_job (const Bed *bed)
{
  return rake_session_get_live_job (get_session (bed));
}

static const RakePhoto *
get_photo (const Bed *bed)
{
  return rake_job_find_photo (get_job (bed), bed->photo);
}

static void
append (Bed *bed, RakeEntry *entry)
{
  if (!rake_session_append (get_session (bed), &entry, 1))
    fail_msg ("%s", bench_get_message (bed->bench));
}

static void
add_face (Bed *bed)
{
  g_autoptr (RakeEntry) face = rake_entry_new (RAKE_ENTRY_FACE);

  face->face.name = g_strdup ("Lid");
  face->face.outline = rake_shape_ref (bed->raking.outline);
  bed->face = face->id;
  append (bed, face);
}

static RakeId
add_photo (Bed *bed, const Raking *raking, double lamp_deg, const char *view, int ago_s)
{
  RakePhotoDesk *desk = rake_photo_desk_get (get_session (bed));
  g_autoptr (GByteArray) png = make_png (rake_photo_picture_get_rgb (raking->picture),
                                         raking->camera.width, raking->camera.height);
  g_autoptr (GBytes) bytes = g_bytes_new (png->data, png->len);
  g_autoptr (RakePhotoPlace) place = rake_photo_place_new ();
  guint n = rake_job_get_n_photos (get_job (bed));

  place->face = bed->face;
  place->lamp_deg = lamp_deg;
  place->view = g_strdup (view);
  assert_true (rake_photo_desk_add_bytes (desk, bytes, "lid.png",
                                          rake_session_now_ms () - 1000 * ago_s, place));
  while (rake_photo_desk_get_n_waiting (desk) > 0)
    g_main_context_iteration (NULL, TRUE);
  assert_int_equal (rake_job_get_n_photos (get_job (bed)), n + 1);
  return rake_job_get_photo (get_job (bed), n)->id;
}

static void
register_to (Bed *bed, RakeId photo, const RakePhotoFit *fit)
{
  static const double places[][2] = { { 0, 0 },   { 260, 0 }, { 260, 180 },
                                      { 0, 180 }, { 130, 0 }, { 130, 180 } };
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_REGISTRATION);
  RakeRegistrationBody *body = &entry->registration;
  double m[9];

  body->face = bed->face;
  body->photo = photo;
  for (gsize i = 0; i < G_N_ELEMENTS (places); i++)
    {
      RakePairSpec pair = { .x_mm = places[i][0], .y_mm = places[i][1] };

      assert_true (rake_photo_fit_to_image (fit, pair.x_mm, pair.y_mm, &pair.x_px, &pair.y_px));
      g_array_append_val (body->pairs, pair);
    }
  rake_photo_fit_get_matrix (fit, m);
  body->m11 = m[0], body->m12 = m[1], body->m13 = m[2];
  body->m21 = m[3], body->m22 = m[4], body->m23 = m[5];
  body->m31 = m[6], body->m32 = m[7], body->m33 = m[8];
  body->radial = rake_photo_fit_get_radial (fit);
  append (bed, entry);
}

static void
register_photo (Bed *bed)
{
  register_to (bed, bed->photo, bed->raking.fit);
}

static int
set_up (void **state)
{
  Bed *bed = g_new0 (Bed, 1);

  bench_set_up ((void **) &bed->bench);
  raking_init (&bed->raking);
  bed->raking.n_islands = 40;
  bed->raking.scratch_mm = 60;
  bed->raking.is_hole_in_outline = TRUE;
  raking_make (&bed->raking);
  add_face (bed);
  /* Taken ten minutes ago. */
  bed->photo = add_photo (bed, &bed->raking, LAMP_DEG, "from the window", 600);
  *state = bed;
  return 0;
}

static int
take_down (void **state)
{
  Bed *bed = *state;
  void *bench = bed->bench;

  raking_clear (&bed->raking);
  bench_take_down (&bench);
  g_free (bed);
  return 0;
}

static void
wait_for (RakeProposals *proposals, RakeProposalsState state)
{
  gint64 end_us = g_get_monotonic_time () + LONGEST_S * G_USEC_PER_SEC;

  while (rake_proposals_get_state (proposals) != state && g_get_monotonic_time () < end_us)
    g_main_context_iteration (NULL, TRUE);
  if (rake_proposals_get_state (proposals) != state)
    fail_msg ("state %d, not %d: %s", rake_proposals_get_state (proposals), state,
              rake_proposals_get_sentence (proposals));
}

static RakeProposals *
read_it (Bed *bed)
{
  RakeProposals *proposals = rake_proposals_new (get_session (bed));

  register_photo (bed);
  rake_proposals_read (proposals, bed->photo);
  assert_int_equal (rake_proposals_get_state (proposals), RAKE_PROPOSALS_READING);
  wait_for (proposals, RAKE_PROPOSALS_READ);
  return proposals;
}

static gboolean
is_near_island (const Raking *raking, const RakeShape *shape)
{
  double x, y;

  rake_shape_get_inner_point (shape, &x, &y);
  for (guint i = 0; i < raking->n_islands; i++)
    if (hypot (x - raking->islands[i].x_mm, y - raking->islands[i].y_mm) <
        1.25 * raking->islands[i].radius_mm)
      return TRUE;
  return FALSE;
}

static guint
count_entries (const Bed *bed, RakeEntryKind kind)
{
  guint n = 0;

  for (guint i = 0; i < rake_job_get_n_entries (get_job (bed)); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (get_job (bed), i);
      n += entry->kind == kind && !rake_job_is_struck (get_job (bed), entry->id) ? 1 : 0;
    }
  return n;
}

static void
a_photograph_that_does_not_lie_on_its_face_is_not_read (void **state)
{
  Bed *bed = *state;
  g_autoptr (RakeProposals) proposals = rake_proposals_new (get_session (bed));

  rake_proposals_read (proposals, bed->photo);
  assert_int_equal (rake_proposals_get_state (proposals), RAKE_PROPOSALS_FAILED);
  assert_non_null (rake_proposals_get_sentence (proposals));
}

static void
what_is_taken_is_entered_with_its_look_and_undone_as_one (void **state)
{
  Bed *bed = *state;
  g_autoptr (RakeProposals) proposals = read_it (bed);
  GListModel *list = rake_proposals_get_list (proposals);
  guint n = g_list_model_get_n_items (list), n_before, n_right = 0, n_low = 0, n_scratches = 0;
  const RakeEntry *look = NULL;

  assert_in_range (n, 30, 50);
  assert_int_equal (rake_proposals_count_taken (proposals), 0);
  assert_null (rake_proposals_find_at (proposals, RAKING_HOLE_X_MM, RAKING_HOLE_Y_MM, 16));
  n_before = rake_job_get_n_entries (get_job (bed));
  assert_false (rake_proposals_enter (proposals));
  assert_int_equal (rake_job_get_n_entries (get_job (bed)), n_before);
  rake_proposals_take_all (proposals, TRUE);
  {
    g_autoptr (RakeProposal) first = g_list_model_get_item (list, 0);
    rake_proposals_take (proposals, first, FALSE);
  }
  assert_int_equal (rake_proposals_count_taken (proposals), n - 1);
  assert_true (rake_proposals_enter (proposals));
  for (guint i = n_before; i < rake_job_get_n_entries (get_job (bed)); i++)
    {
      const RakeEntry *entry = rake_job_get_entry (get_job (bed), i);

      if (entry->kind == RAKE_ENTRY_LOOK)
        look = entry;
      else if (entry->kind == RAKE_ENTRY_MARK && entry->mark.mark == RAKE_MARK_LOW_SPOT)
        n_low++, n_right += is_near_island (&bed->raking, entry->mark.shape) ? 1 : 0;
      else if (entry->kind == RAKE_ENTRY_MARK)
        n_scratches++;
    }
  assert_non_null (look);
  assert_int_equal (look->look.surface, RAKE_SURFACE_DRY);
  assert_int_equal (look->look.light, RAKE_LIGHT_LAMP);
  assert_true (look->look.lamp_deg == LAMP_DEG);
  assert_true (look->happened_ms == get_photo (bed)->entry->happened_ms);
  assert_int_equal (n_low + n_scratches, n - 1);
  assert_in_range (n_scratches, 1, 2);
  assert_true (n_right >= 0.9 * n_low);
  assert_int_equal (get_photo (bed)->placed->photo.marks->len, n - 1);
  assert_int_equal (get_photo (bed)->placed->photo.is_look, RAKE_ANSWER_YES);
  assert_true (get_photo (bed)->placed->photo.lamp_deg == LAMP_DEG);
  assert_string_equal (get_photo (bed)->placed->photo.view, "from the window");
  assert_non_null (get_photo (bed)->registration);
  assert_true (rake_session_undo (get_session (bed)));
  assert_int_equal (count_entries (bed, RAKE_ENTRY_MARK), 0);
  assert_int_equal (count_entries (bed, RAKE_ENTRY_LOOK), 0);
  assert_int_equal (get_photo (bed)->placed->photo.marks->len, 0);
}

static void
what_was_taken_stays_taken_at_another_sensitivity (void **state)
{
  Bed *bed = *state;
  g_autoptr (RakeProposals) proposals = read_it (bed);
  GListModel *list = rake_proposals_get_list (proposals);
  double x[2], y[2];

  for (guint i = 0; i < 2; i++)
    {
      g_autoptr (RakeProposal) proposal = g_list_model_get_item (list, 3 + 5 * i);

      rake_shape_get_inner_point (rake_proposal_get_shape (proposal), &x[i], &y[i]);
      rake_proposals_take (proposals, proposal, TRUE);
    }
  rake_proposals_set_sensitivity (proposals, 0.9);
  rake_proposals_set_sensitivity (proposals, 0.8);
  wait_for (proposals, RAKE_PROPOSALS_READING);
  wait_for (proposals, RAKE_PROPOSALS_READ);
  assert_int_equal (rake_proposals_count_taken (proposals), 2);
  for (guint i = 0; i < 2; i++)
    {
      RakeProposal *proposal = rake_proposals_find_at (proposals, x[i], y[i], 1);
      assert_true (proposal != NULL && rake_proposal_is_taken (proposal));
    }
}

static void
a_reading_can_be_stopped (void **state)
{
  Bed *bed = *state;
  g_autoptr (RakeProposals) proposals = rake_proposals_new (get_session (bed));

  register_photo (bed);
  rake_proposals_read (proposals, bed->photo);
  rake_proposals_cancel (proposals);
  assert_int_equal (rake_proposals_get_state (proposals), RAKE_PROPOSALS_NONE);
  for (guint i = 0; i < 20; i++)
    g_main_context_iteration (NULL, FALSE);
  assert_int_equal (g_list_model_get_n_items (rake_proposals_get_list (proposals)), 0);
  rake_proposals_read (proposals, bed->photo);
  wait_for (proposals, RAKE_PROPOSALS_READ);
}

/* --- several photographs ------------------------------------------------------------------------------ */

/* Five minutes later the lamp stands on the other side, and of the islands the first six do not show. */
static RakeId
add_other_side (Bed *bed, Raking *other)
{
  RakeId id;

  raking_init (other);
  other->n_islands = bed->raking.n_islands;
  other->scratch_mm = bed->raking.scratch_mm;
  other->is_hole_in_outline = TRUE;
  other->is_lamp_left = TRUE;
  other->shot = 1;
  other->n_hidden = 6;
  raking_make (other);
  id = add_photo (bed, other, LAMP_DEG + 180, NULL, 300);
  register_to (bed, id, other->fit);
  return id;
}

static guint
count_seen_in (RakeProposals *proposals, const char *first, const char *second)
{
  GListModel *list = rake_proposals_get_list (proposals);
  guint n = 0;

  for (guint i = 0; i < g_list_model_get_n_items (list); i++)
    {
      g_autoptr (RakeProposal) proposal = g_list_model_get_item (list, i);
      const char *why = rake_proposal_get_why (proposal);

      if (!first && !second && !strstr (why, "; "))
        continue; /* read alone, it says nothing of photographs */
      n += (first != NULL) == (strstr (why, "from the window, lamp at 135°") != NULL) &&
                   (second != NULL) == (strstr (why, "lamp at 315°") != NULL)
               ? 1
               : 0;
    }
  return n;
}

static guint
count_others (RakeProposals *proposals)
{
  g_autoptr (GPtrArray) others = rake_proposals_list_others (proposals);

  return others->len;
}

static void
photographs_of_one_time_are_read_as_one (void **state)
{
  Bed *bed = *state;
  Raking raking;
  RakeId other = add_other_side (bed, &raking);
  g_autoptr (RakeProposals) proposals = read_it (bed);
  guint n_first = count_seen_in (proposals, "", NULL),
        n_second = count_seen_in (proposals, NULL, "");
  guint n_both = count_seen_in (proposals, NULL, NULL);
  guint n = g_list_model_get_n_items (rake_proposals_get_list (proposals));

  assert_int_equal (count_others (proposals), 1);
  assert_int_equal (n_both + n_first + n_second, n);
  assert_in_range (n_both, 28, 40);
  assert_in_range (n_first, 5, 12);
  rake_proposals_take_all (proposals, TRUE);
  assert_true (rake_proposals_enter (proposals));
  assert_int_equal (count_entries (bed, RAKE_ENTRY_MARK), n);
  assert_int_equal (get_photo (bed)->placed->photo.marks->len, n_both + n_first);
  assert_int_equal (rake_job_find_photo (get_job (bed), other)->placed->photo.marks->len,
                    n_both + n_second);
  assert_true (rake_session_undo (get_session (bed)));
  assert_int_equal (rake_job_find_photo (get_job (bed), other)->placed->photo.marks->len, 0);
  rake_proposals_read_with (proposals, other, FALSE);
  wait_for (proposals, RAKE_PROPOSALS_READING);
  wait_for (proposals, RAKE_PROPOSALS_READ);
  assert_false (rake_proposals_is_read_with (proposals, other));
  assert_int_equal (count_seen_in (proposals, NULL, NULL), 0);
  assert_int_equal (count_seen_in (proposals, "", NULL), 0);
  assert_in_range (g_list_model_get_n_items (rake_proposals_get_list (proposals)), 30, 50);
  raking_clear (&raking);
}

static void
add_pass (Bed *bed, gint64 happened_ms)
{
  g_autoptr (RakeEntry) schedule = rake_entry_new (RAKE_ENTRY_SCHEDULE);
  g_autoptr (RakeEntry) pass = rake_entry_new (RAKE_ENTRY_PASS);
  RakeStageSpec spec = { .id = rake_id_new (happened_ms),
                         .action = RAKE_ACTION_LEVEL,
                         .grade = g_strdup ("P800"),
                         .d50_um = NAN };
  RakeId zone = ((const RakeZone *) get_photo (bed)->face->zones->pdata[0])->id;

  schedule->schedule.face = bed->face;
  g_array_append_val (schedule->schedule.stages, spec);
  append (bed, schedule);
  pass->happened_ms = happened_ms;
  pass->pass.stage = spec.id;
  g_array_append_val (pass->pass.zones, zone);
  append (bed, pass);
}

static void
a_pass_between_keeps_photographs_apart (void **state)
{
  Bed *bed = *state;
  Raking raking;
  RakeId other = add_other_side (bed, &raking);
  g_autoptr (RakeProposals) proposals = rake_proposals_new (get_session (bed));

  register_photo (bed);
  rake_proposals_read (proposals, bed->photo);
  assert_int_equal (count_others (proposals), 1);
  add_pass (bed, rake_job_find_photo (get_job (bed), other)->entry->happened_ms - 60000);
  assert_int_equal (count_others (proposals), 0);
  rake_proposals_cancel (proposals);
  raking_clear (&raking);
}

/* --- on the screen ---------------------------------------------------------------------------------- */

static void
settle (GtkWidget *window)
{
  for (int i = 0; i < 3; i++)
    {
      while (g_main_context_iteration (NULL, FALSE))
        ;
      gtk_widget_queue_draw (window);
      gtk_test_widget_wait_for_draw (window);
    }
}

static void
draw_picture (GtkWidget *window, const char *name)
{
  const char *folder = g_getenv ("RAKE_PICTURES");
  g_autofree char *path = NULL;
  g_autoptr (GdkPaintable) paintable = NULL;
  g_autoptr (GtkSnapshot) snapshot = NULL;
  g_autoptr (GskRenderNode) node = NULL;
  g_autoptr (GdkTexture) texture = NULL;

  if (!folder)
    return;
  settle (window);
  path = g_build_filename (folder, name, NULL);
  paintable = gtk_widget_paintable_new (window);
  snapshot = gtk_snapshot_new ();
  gdk_paintable_snapshot (paintable, snapshot, gtk_widget_get_width (window),
                          gtk_widget_get_height (window));
  node = gtk_snapshot_to_node (snapshot);
  texture = gsk_renderer_render_texture (gtk_native_get_renderer (GTK_NATIVE (window)), node, NULL);
  assert_true (gdk_texture_save_to_png (texture, path));
}

static GtkWidget *
wait_for_check (GtkWidget *page)
{
  gint64 end_us = g_get_monotonic_time () + LONGEST_S * G_USEC_PER_SEC;
  GtkWidget *check = NULL;

  while (!check && g_get_monotonic_time () < end_us)
    {
      g_main_context_iteration (NULL, TRUE);
      check = side_find (page, GTK_TYPE_CHECK_BUTTON);
    }
  assert_non_null (check);
  return check;
}

static void
the_page_proposes_and_enters_what_was_ticked (void **state)
{
  Bed *bed = *state;
  char id[RAKE_ID_TEXT_LENGTH + 1];
  GtkWidget *window = GTK_WIDGET (rake_window_new (GTK_APPLICATION (g_application_get_default ())));
  GtkWidget *page, *check;
  Raking other;

  add_other_side (bed, &other);
  rake_id_to_text (bed->photo, id);
  adw_style_manager_set_color_scheme (adw_style_manager_get_default (),
                                      ADW_COLOR_SCHEME_FORCE_DARK);
  gtk_window_set_default_size (GTK_WINDOW (window), 1280, 720);
  gtk_window_present (GTK_WINDOW (window));
  rake_window_set_session (RAKE_WINDOW (window), get_session (bed));
  settle (window);
  gtk_widget_activate_action (window, "win.read-photo", "s", id);
  settle (window);
  assert_null (side_find (window, RAKE_TYPE_PROPOSALS_PAGE));
  register_photo (bed);
  gtk_widget_activate_action (window, "win.read-photo", "s", id);
  settle (window);
  page = side_find (window, RAKE_TYPE_PROPOSALS_PAGE);
  assert_non_null (page);
  check = wait_for_check (page);
  settle (window);
  assert_true (gtk_widget_get_height (check) >= 44);
  side_assert_reads (page, "places are proposed");
  side_assert_reads (page, "glossy; gloss looks dark here");
  side_assert_reads (page, "shown by 2 of the 2 photographs");
  side_assert_reads (page, "Read with 1 More Photograph");
  gtk_check_button_set_active (GTK_CHECK_BUTTON (check), TRUE);
  gtk_widget_grab_focus (check);
  settle (window);
  side_assert_reads (page, ": taken");
  side_assert_reads (page, "Enter This One");
  draw_picture (window, "proposals-dark.png");
  adw_style_manager_set_color_scheme (adw_style_manager_get_default (),
                                      ADW_COLOR_SCHEME_FORCE_LIGHT);
  gtk_widget_activate_action (page, "proposals.take-all", NULL);
  draw_picture (window, "proposals-light.png");
  gtk_widget_activate_action (page, "proposals.take-none", NULL);
  assert_false (gtk_check_button_get_active (GTK_CHECK_BUTTON (check)));
  gtk_check_button_set_active (GTK_CHECK_BUTTON (check), TRUE);
  gtk_widget_activate_action (page, "proposals.enter", NULL);
  settle (window);
  assert_int_equal (count_entries (bed, RAKE_ENTRY_MARK), 1);
  assert_null (side_find (window, RAKE_TYPE_PROPOSALS_PAGE));
  raking_clear (&other);
  gtk_window_destroy (GTK_WINDOW (window));
  for (int i = 0; i < 50; i++)
    g_main_context_iteration (NULL, FALSE);
}

int
main (int argc, char **argv)
{
  const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown (a_photograph_that_does_not_lie_on_its_face_is_not_read, set_up,
                                     take_down),
    cmocka_unit_test_setup_teardown (what_is_taken_is_entered_with_its_look_and_undone_as_one,
                                     set_up, take_down),
    cmocka_unit_test_setup_teardown (what_was_taken_stays_taken_at_another_sensitivity, set_up,
                                     take_down),
    cmocka_unit_test_setup_teardown (a_reading_can_be_stopped, set_up, take_down),
    cmocka_unit_test_setup_teardown (photographs_of_one_time_are_read_as_one, set_up, take_down),
    cmocka_unit_test_setup_teardown (a_pass_between_keeps_photographs_apart, set_up, take_down),
    cmocka_unit_test_setup_teardown (the_page_proposes_and_enters_what_was_ticked, set_up,
                                     take_down),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, side_set_up_group, NULL);
}
