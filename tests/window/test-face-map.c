/* test-face-map.c - what hand and keys do on the map becomes what they meant, and nothing else does.
 *
 * The map stands alone in a window; gestures' handlers are one line each, so the functions they call
 * are called here. That GTK calls them is for test-hand-on-map.py, with a real pointer. */
#include "face-map-private.h"
#include "ghost-chip.h"
#include "mark-place.h"
#include "side-window.h"
#include "zone-place.h"

#include <math.h>
#include <sqlite3.h>

typedef struct
{
  Bench *bench;
  SideWindow *window;
  RakeFaceMap *map;
} Shown;

static int
set_up (void **state)
{
  Shown *shown = g_new0 (Shown, 1);
  RakeBench set;

  bench_set_up ((void **) &shown->bench);
  set = *rake_session_get_bench (shown->bench->session);
  set.surface = RAKE_SURFACE_DRY;
  set.wiped_with = RAKE_WIPE_DRY_CLOTH;
  set.light = RAKE_LIGHT_LAMP;
  set.lamp_deg = 90;
  set.stroke_deg = 0;
  set.brush_radius_mm = 6;
  rake_session_set_bench (shown->bench->session, &set);
  bench_select (shown->bench, shown->bench->left);
  shown->map = rake_face_map_new ();
  rake_face_map_set_session (shown->map, shown->bench->session);
  shown->window = side_window_show (GTK_WIDGET (shown->map), 900, 600);
  *state = shown;
  return 0;
}

static int
take_down (void **state)
{
  Shown *shown = *state;
  void *bench = shown->bench;

  side_window_close (shown->window);
  bench_take_down (&bench);
  g_free (shown);
  return 0;
}

/* --- helpers --------------------------------------------------------------------------------- */

static void
to_px (Shown *shown, double x_mm, double y_mm, double *x, double *y)
{
  rake_map_view_to_px (&shown->map->view, x_mm, y_mm, x, y);
}

static void
down_at (Shown *shown, double x_mm, double y_mm)
{
  double x, y;

  to_px (shown, x_mm, y_mm, &x, &y);
  rake_face_map_hand_down (shown->map, x, y);
}

static void
move_to (Shown *shown, double x_mm, double y_mm)
{
  double x, y;

  to_px (shown, x_mm, y_mm, &x, &y);
  rake_face_map_hand_move (shown->map, x, y);
}

static void
up_at (Shown *shown, double x_mm, double y_mm, GdkModifierType modifiers)
{
  double x, y;

  to_px (shown, x_mm, y_mm, &x, &y);
  rake_face_map_hand_up (shown->map, x, y, modifiers);
}

static void
tap_at (Shown *shown, double x_mm, double y_mm, GdkModifierType modifiers)
{
  down_at (shown, x_mm, y_mm);
  up_at (shown, x_mm, y_mm, modifiers);
}

static void
take_brush (Shown *shown, RakeMarkKind brush, gboolean is_uniform)
{
  RakeBench set = *rake_session_get_bench (shown->bench->session);

  set.brush = brush;
  set.brush_is_uniform = is_uniform;
  rake_session_set_bench (shown->bench->session, &set);
}

static gboolean
is_selected (Shown *shown, RakeId zone)
{
  return rake_session_is_selected (shown->bench->session, zone);
}

static const RakeMark *
get_only_mark (Shown *shown, RakeId zone)
{
  const RakeZone *found = bench_get_zone (shown->bench, zone);

  assert_int_equal (found->marks->len, 1);
  return found->marks->pdata[0];
}

static void
wait_ms (guint ms)
{
  gint64 end = g_get_monotonic_time () + ms * 1000;

  while (g_get_monotonic_time () < end)
    {
      while (g_main_context_iteration (NULL, FALSE))
        ;
      g_usleep (2000);
    }
}

/* --- taps ------------------------------------------------------------------------------------ */

static void
a_tap_selects_when_the_finger_lifts (void **state)
{
  Shown *shown = *state;
  guint before = bench_count_entries (shown->bench);

  down_at (shown, 160, 60);
  assert_false (is_selected (shown, shown->bench->right));
  up_at (shown, 160, 60, 0);
  assert_true (is_selected (shown, shown->bench->right));
  assert_false (is_selected (shown, shown->bench->left));
  assert_int_equal (bench_count_entries (shown->bench), before);
}

static void
a_tap_with_shift_or_control_takes_a_zone_along (void **state)
{
  Shown *shown = *state;

  tap_at (shown, 90, 60, GDK_SHIFT_MASK);
  tap_at (shown, 160, 60, GDK_CONTROL_MASK);
  assert_true (is_selected (shown, shown->bench->left));
  assert_true (is_selected (shown, shown->bench->middle));
  assert_true (is_selected (shown, shown->bench->right));
  tap_at (shown, 90, 60, GDK_CONTROL_MASK);
  assert_false (is_selected (shown, shown->bench->middle));
}

static void
a_tap_with_a_brush_says_it_of_the_whole_zone (void **state)
{
  static const struct
  {
    RakeMarkKind brush;
    RakeState state;
  } cases[] = {
    { RAKE_MARK_UNSAID, RAKE_STATE_UNIFORM },
    { RAKE_MARK_LOW_SPOT, RAKE_STATE_LOW_SPOT },
    { RAKE_MARK_SCRATCH, RAKE_STATE_SCRATCH },
    { RAKE_MARK_WITNESS_LINE, RAKE_STATE_WITNESS_LINE },
    { RAKE_MARK_BURN, RAKE_STATE_BURN },
    { RAKE_MARK_SAND_THROUGH, RAKE_STATE_SAND_THROUGH },
  };
  Shown *shown = *state;

  for (guint i = 0; i < G_N_ELEMENTS (cases); i++)
    {
      const RakeEntry *entry;
      take_brush (shown, cases[i].brush, cases[i].brush == RAKE_MARK_UNSAID);
      tap_at (shown, 160, 60, 0);
      entry = bench_get_last (shown->bench, 0);
      assert_int_equal (entry->kind, RAKE_ENTRY_STATE);
      assert_int_equal (entry->state.state, cases[i].state);
      assert_true (is_selected (shown, shown->bench->right));
    }
}

static void
a_tap_with_another_fault_marks_the_place (void **state)
{
  Shown *shown = *state;
  const RakeMark *mark;
  double x, y;

  take_brush (shown, RAKE_MARK_NIB, FALSE);
  tap_at (shown, 160, 60, 0);
  mark = get_only_mark (shown, shown->bench->right);
  assert_int_equal (mark->kind, RAKE_MARK_NIB);
  rake_shape_get_inner_point (mark->shape, &x, &y);
  assert_true (hypot (x - 160, y - 60) < 6);
}

/* --- drawing --------------------------------------------------------------------------------- */

static void
a_painted_patch_is_one_gesture_when_the_hand_lifts (void **state)
{
  Shown *shown = *state;
  guint before = bench_count_entries (shown->bench);
  const RakeMark *mark;
  double area_mm2;

  take_brush (shown, RAKE_MARK_LOW_SPOT, FALSE);
  down_at (shown, 20, 60);
  for (double x = 22; x <= 40; x += 2)
    move_to (shown, x, 60);
  assert_int_equal (bench_count_entries (shown->bench), before);
  up_at (shown, 40, 60, 0);
  assert_int_equal (bench_count_entries (shown->bench), before + 2); /* a look and its mark */
  mark = get_only_mark (shown, shown->bench->left);
  /* A stadium: 20 mm between two half discs of 6 mm. */
  area_mm2 = rake_shape_get_area_mm2 (mark->shape);
  assert_true (fabs (area_mm2 - (20 * 12 + G_PI * 36)) < 0.02 * area_mm2);
}

static void
a_scratch_is_drawn_as_a_line (void **state)
{
  Shown *shown = *state;
  const RakeMark *mark;

  take_brush (shown, RAKE_MARK_SCRATCH, FALSE);
  down_at (shown, 10, 20);
  move_to (shown, 25, 30);
  move_to (shown, 50, 20);
  up_at (shown, 50, 20, 0);
  mark = get_only_mark (shown, shown->bench->left);
  assert_int_equal (rake_shape_get_kind (mark->shape), RAKE_SHAPE_LINE);
  assert_true (fabs (rake_shape_get_length_mm (mark->shape) - (hypot (15, 10) + hypot (25, 10))) <
               0.1);
}

static void
a_wobble_is_a_tap_and_no_patch (void **state)
{
  Shown *shown = *state;
  double x, y;

  take_brush (shown, RAKE_MARK_LOW_SPOT, FALSE);
  to_px (shown, 30, 60, &x, &y);
  rake_face_map_hand_down (shown->map, x, y);
  assert_false (rake_face_map_hand_move (shown->map, x + 5, y + 5)); /* 7.1 px; 8 is a drag */
  rake_face_map_hand_up (shown->map, x + 5, y + 5, 0);
  assert_int_equal (bench_get_last (shown->bench, 0)->kind, RAKE_ENTRY_STATE);
  assert_int_equal (bench_get_zone (shown->bench, shown->bench->left)->marks->len, 0);
}

static void
escape_gives_up_the_mark_then_the_brush (void **state)
{
  Shown *shown = *state;
  guint before = bench_count_entries (shown->bench);

  take_brush (shown, RAKE_MARK_SCRATCH, FALSE);
  down_at (shown, 10, 20);
  move_to (shown, 50, 20);
  assert_true (rake_face_map_key_down (shown->map, GDK_KEY_Escape, 0));
  move_to (shown, 55, 40);
  up_at (shown, 55, 40, 0);
  assert_int_equal (bench_count_entries (shown->bench), before);
  assert_int_equal (rake_session_get_bench (shown->bench->session)->brush, RAKE_MARK_SCRATCH);
  assert_true (rake_face_map_key_down (shown->map, GDK_KEY_Escape, 0));
  assert_int_equal (rake_session_get_bench (shown->bench->session)->brush, RAKE_MARK_UNSAID);
  assert_false (rake_face_map_key_down (shown->map, GDK_KEY_Escape, 0));
}

/* The first finger of a pinch presses like any other; what it began is given up. */
static void
a_pinch_marks_nothing (void **state)
{
  Shown *shown = *state;
  guint before = bench_count_entries (shown->bench);

  take_brush (shown, RAKE_MARK_BURN, FALSE);
  down_at (shown, 30, 60);
  rake_face_map_hand_cancel (shown->map);
  rake_face_map_zoom_at (shown->map, 1.5, 400, 300);
  up_at (shown, 30, 60, 0);
  assert_int_equal (bench_count_entries (shown->bench), before);
}

static void
what_could_not_be_recorded_does_not_stay_on_the_map (void **state)
{
  Shown *shown = *state;
  sqlite3 *other = NULL;
  RakeMarkKind kind;

  assert_int_equal (sqlite3_open (shown->bench->path, &other), SQLITE_OK);
  assert_int_equal (sqlite3_exec (other, "BEGIN IMMEDIATE", NULL, NULL, NULL), SQLITE_OK);
  take_brush (shown, RAKE_MARK_SCRATCH, FALSE);
  down_at (shown, 10, 20);
  move_to (shown, 50, 20);
  assert_non_null (rake_face_map_get_preview (shown->map, &kind));
  up_at (shown, 50, 20, 0);
  assert_null (rake_face_map_get_preview (shown->map, &kind));
  assert_int_equal (bench_get_zone (shown->bench, shown->bench->left)->marks->len, 0);
  assert_string_not_equal (bench_get_message (shown->bench), "");
  sqlite3_exec (other, "ROLLBACK", NULL, NULL, NULL);
  sqlite3_close (other);
}

/* --- the view -------------------------------------------------------------------------------- */

static void
without_a_brush_a_drag_moves_the_map (void **state)
{
  Shown *shown = *state;
  double before = shown->map->view.origin_x_px;
  double x, y;

  to_px (shown, 90, 60, &x, &y);
  rake_face_map_hand_down (shown->map, x, y);
  rake_face_map_hand_move (shown->map, x + 30, y);
  rake_face_map_hand_move (shown->map, x + 50, y);
  rake_face_map_hand_up (shown->map, x + 50, y, 0);
  assert_true (fabs (shown->map->view.origin_x_px - before - 50) < 1e-9);
  assert_non_null (shown->map->still);
  wait_ms (250);
  assert_false (rake_face_map_is_moving (shown->map));
  rake_face_map_finish (shown->map);
  assert_null (shown->map->still);
  assert_true (is_selected (shown, shown->bench->left));
}

static void
zooming_keeps_the_place_under_the_pointer_and_has_ends (void **state)
{
  Shown *shown = *state;
  double whole = shown->map->view.px_per_mm, before_x, before_y, after_x, after_y;

  rake_map_view_to_mm (&shown->map->view, 500, 250, &before_x, &before_y);
  rake_face_map_zoom_at (shown->map, 1.7, 500, 250);
  rake_map_view_to_mm (&shown->map->view, 500, 250, &after_x, &after_y);
  assert_true (hypot (after_x - before_x, after_y - before_y) < 1e-6);
  for (int i = 0; i < 60; i++)
    rake_face_map_zoom_at (shown->map, 2, 500, 250);
  assert_true (shown->map->view.px_per_mm <= 60 + 1e-9);
  for (int i = 0; i < 60; i++)
    rake_face_map_zoom_at (shown->map, 0.5, 500, 250);
  assert_true (shown->map->view.px_per_mm >= 0.5 * whole - 1e-9);
  rake_face_map_fit (shown->map);
  assert_true (fabs (shown->map->view.px_per_mm - whole) < 1e-9);
}

static void
only_the_marked_zone_is_drawn_anew (void **state)
{
  Shown *shown = *state;
  gconstpointer left, right;

  rake_face_map_finish (shown->map);
  left = rake_face_map_peek_surface (shown->map, shown->bench->left);
  right = rake_face_map_peek_surface (shown->map, shown->bench->right);
  assert_non_null (left);
  assert_non_null (right);
  take_brush (shown, RAKE_MARK_LOW_SPOT, FALSE);
  tap_at (shown, 30, 60, 0);
  rake_face_map_finish (shown->map);
  assert_ptr_not_equal (rake_face_map_peek_surface (shown->map, shown->bench->left), left);
  assert_ptr_equal (rake_face_map_peek_surface (shown->map, shown->bench->right), right);
}

/* --- the picture ----------------------------------------------------------------------------- */

static const RakeId *
get_zones (Shown *shown)
{
  static RakeId zones[3];

  zones[0] = shown->bench->left;
  zones[1] = shown->bench->middle;
  zones[2] = shown->bench->right;
  return zones;
}

/* The pixels of every zone, to tell whether they are drawn anew. They are kept, so that new ones
 * cannot come to lie where the old ones were. */
static void
peek_surfaces (Shown *shown, cairo_surface_t *surfaces[3])
{
  for (guint i = 0; i < 3; i++)
    {
      surfaces[i] =
          (cairo_surface_t *) rake_face_map_peek_surface (shown->map, get_zones (shown)[i]);
      assert_non_null (surfaces[i]);
      cairo_surface_reference (surfaces[i]);
    }
}

/* Which zones have other pixels than @before, which goes: 1 the left one, 2 the middle, 4 the right. */
static guint
find_drawn_anew (Shown *shown, cairo_surface_t *before[3])
{
  guint drawn = 0;

  for (guint i = 0; i < 3; i++)
    {
      if (rake_face_map_peek_surface (shown->map, get_zones (shown)[i]) != before[i])
        drawn |= 1u << i;
      g_clear_pointer (&before[i], cairo_surface_destroy);
    }
  return drawn;
}

/* What the map shows in a frame, as pixels. */
static cairo_surface_t *
take_frame (Shown *shown)
{
  GtkSnapshot *snapshot = gtk_snapshot_new ();
  cairo_surface_t *pixels = cairo_image_surface_create (CAIRO_FORMAT_ARGB32, 900, 600);
  cairo_t *cr = cairo_create (pixels);
  GskRenderNode *node;

  rake_face_map_paint (shown->map, snapshot);
  node = gtk_snapshot_free_to_node (snapshot);
  gsk_render_node_draw (node, cr);
  gsk_render_node_unref (node);
  cairo_destroy (cr);
  cairo_surface_flush (pixels);
  return pixels;
}

/* Whether the map shows what it would if it had never shown anything before. */
static gboolean
is_right (Shown *shown)
{
  cairo_surface_t *is = take_frame (shown), *should_be;
  gboolean is_same;

  rake_face_map_forget_paint (shown->map);
  rake_face_map_finish (shown->map);
  should_be = take_frame (shown);
  is_same = memcmp (cairo_image_surface_get_data (is), cairo_image_surface_get_data (should_be),
                    (gsize) cairo_image_surface_get_stride (is) * 600) == 0;
  cairo_surface_destroy (is);
  cairo_surface_destroy (should_be);
  return is_same;
}

static void
stop_animations (void)
{
  g_object_set (gtk_settings_get_default (), "gtk-enable-animations", FALSE, NULL);
}

static void
a_step_on_the_timeline_draws_the_zones_that_changed (void **state)
{
  Shown *shown = *state;
  RakeSession *session = shown->bench->session;
  cairo_surface_t *before[3];
  guint n_entries;

  stop_animations ();
  rake_face_map_finish (shown->map);
  n_entries = bench_count_entries (shown->bench);
  take_brush (shown, RAKE_MARK_BURN, FALSE);
  tap_at (shown, 30, 60, 0);
  take_brush (shown, RAKE_MARK_NIB, FALSE);
  tap_at (shown, 160, 60, 0);
  take_brush (shown, RAKE_MARK_UNSAID, FALSE);
  rake_face_map_finish (shown->map);
  peek_surfaces (shown, before);
  rake_session_show_entries (session,
                             n_entries + 2); /* the right one's look and mark are not yet */
  rake_face_map_finish (shown->map);
  assert_int_equal (find_drawn_anew (shown, before), 4);
  peek_surfaces (shown, before);
  rake_session_show_entries (session, n_entries);
  rake_face_map_finish (shown->map);
  assert_int_equal (find_drawn_anew (shown, before), 1);
  peek_surfaces (shown, before);
  rake_session_show_entries (session, G_MAXUINT);
  rake_face_map_finish (shown->map);
  assert_int_equal (find_drawn_anew (shown, before), 1 | 4);
  assert_true (is_right (shown));
}

/* With time for none, a frame still draws one. */
static void
what_there_is_no_time_for_follows_in_the_next_frames (void **state)
{
  Shown *shown = *state;
  RakeBench set = *rake_session_get_bench (shown->bench->session);
  cairo_surface_t *before[3];
  guint drawn = 0;

  stop_animations ();
  rake_face_map_finish (shown->map);
  shown->map->drawing_us = 0;
  set.lamp_deg = 200;
  rake_session_set_bench (shown->bench->session, &set);
  for (guint i = 1; i <= 3; i++)
    {
      guint more;
      peek_surfaces (shown, before);
      cairo_surface_destroy (take_frame (shown));
      more = find_drawn_anew (shown, before);
      assert_int_equal (drawn & more, 0);
      assert_true (more == 1 || more == 2 || more == 4);
      drawn |= more;
    }
  assert_int_equal (drawn, 7);
  assert_true (is_right (shown));
}

/* Until then what was shown elsewhere stands in. */
static void
a_view_that_is_drawn_over_several_frames_is_right_in_the_end (void **state)
{
  Shown *shown = *state;

  stop_animations ();
  rake_face_map_finish (shown->map);
  shown->map->drawing_us = 0;
  rake_face_map_zoom_at (shown->map, 1.5, 450, 300);
  rake_face_map_make_sharp (shown->map);
  cairo_surface_destroy (take_frame (shown));
  assert_non_null (shown->map->still);
  cairo_surface_destroy (take_frame (shown));
  assert_non_null (shown->map->still);
  cairo_surface_destroy (take_frame (shown));
  assert_null (shown->map->still);
  assert_true (is_right (shown));
}

/* --- the lamp -------------------------------------------------------------------------------- */

static void
the_lamp_is_dragged_and_the_ring_tapped (void **state)
{
  Shown *shown = *state;
  const RakeFace *face = rake_session_get_face (shown->bench->session);
  RakeMapView view = shown->map->view;
  double lamp_x, lamp_y, to_x, to_y;

  assert_true (rake_map_get_lamp (&view, face, &lamp_x, &lamp_y));
  view.lamp_deg = 180;
  assert_true (rake_map_get_lamp (&view, face, &to_x, &to_y));
  rake_face_map_hand_down (shown->map, lamp_x, lamp_y);
  assert_true (rake_face_map_hand_move (shown->map, to_x, to_y));
  assert_true (rake_session_get_bench (shown->bench->session)->lamp_deg == 180);
  assert_true (shown->map->view.lamp_deg == 180);
  rake_face_map_hand_up (shown->map, to_x, to_y, 0);

  view.lamp_deg = 270;
  assert_true (rake_map_get_lamp (&view, face, &to_x, &to_y));
  rake_face_map_hand_down (shown->map, to_x, to_y);
  rake_face_map_hand_up (shown->map, to_x, to_y, 0);
  assert_true (rake_session_get_bench (shown->bench->session)->lamp_deg == 270);
  rake_face_map_key_down (shown->map, GDK_KEY_bracketright, 0);
  assert_true (rake_session_get_bench (shown->bench->session)->lamp_deg == 285);
}

/* --- keys ------------------------------------------------------------------------------------ */

static void
arrows_go_to_the_zone_that_way (void **state)
{
  static const struct
  {
    guint key;
    int zone; /* 0 left, 1 middle, 2 right */
  } steps[] = {
    { GDK_KEY_Right, 1 }, { GDK_KEY_Right, 2 }, { GDK_KEY_Right, 2 }, { GDK_KEY_Up, 2 },
    { GDK_KEY_Left, 1 },  { GDK_KEY_End, 2 },   { GDK_KEY_Home, 0 },
  };
  Shown *shown = *state;
  const RakeId zones[] = { shown->bench->left, shown->bench->middle, shown->bench->right };

  for (guint i = 0; i < G_N_ELEMENTS (steps); i++)
    {
      assert_true (rake_face_map_key_down (shown->map, steps[i].key, 0));
      if (!rake_id_equal (rake_session_get_zone (shown->bench->session)->id, zones[steps[i].zone]))
        fail_msg ("step %u went to %s", i, rake_session_get_zone (shown->bench->session)->name);
    }
}

static void
the_cross_marks_without_a_pointer (void **state)
{
  Shown *shown = *state;
  const RakeMark *mark;

  take_brush (shown, RAKE_MARK_SCRATCH, FALSE);
  assert_true (rake_face_map_key_down (shown->map, GDK_KEY_m, 0)); /* the cross is laid */
  assert_true (rake_face_map_key_down (shown->map, GDK_KEY_m, 0)); /* the brush comes down */
  assert_true (rake_face_map_key_down (shown->map, GDK_KEY_Right, 0));
  assert_true (rake_face_map_key_down (shown->map, GDK_KEY_Right, 0));
  assert_true (rake_face_map_key_down (shown->map, GDK_KEY_Down, GDK_CONTROL_MASK));
  assert_int_equal (bench_get_zone (shown->bench, shown->bench->left)->marks->len, 0);
  assert_true (rake_face_map_key_down (shown->map, GDK_KEY_m, 0)); /* and up */
  mark = get_only_mark (shown, shown->bench->left);
  assert_true (fabs (rake_shape_get_length_mm (mark->shape) - 30) < 0.01); /* 5 + 5 + 20 mm */
  assert_true (rake_face_map_key_down (shown->map, GDK_KEY_Escape, 0));
  assert_false (shown->map->has_cross);
}

static GtkWidget *
find_zone_place (Shown *shown, RakeId zone)
{
  for (guint i = 0; i < shown->map->places->len; i++)
    {
      const RakePlaces *places = shown->map->places->pdata[i];
      if (rake_id_equal (rake_zone_place_get_zone (RAKE_ZONE_PLACE (places->place)), zone))
        return places->place;
    }
  fail_msg ("a zone has no place in the map");
  return NULL;
}

/* --- for those who do not see it ------------------------------------------------------------- */

static void
every_zone_is_an_option_that_says_its_verdict (void **state)
{
  Shown *shown = *state;
  GtkWidget *left = find_zone_place (shown, shown->bench->left);
  g_autofree char *problem = NULL;

  gtk_test_accessible_assert_role (left, GTK_ACCESSIBLE_ROLE_OPTION);
  assert_true (
      gtk_test_accessible_has_state (GTK_ACCESSIBLE (left), GTK_ACCESSIBLE_STATE_SELECTED));
  take_brush (shown, RAKE_MARK_BURN, FALSE);
  tap_at (shown, 30, 60, 0);
  problem = gtk_test_accessible_check_property (GTK_ACCESSIBLE (left),
                                                GTK_ACCESSIBLE_PROPERTY_LABEL, "Left: Repair.");
  /* The check wants the whole label and says what it is; its beginning is ours. */
  assert_non_null (problem);
  assert_non_null (strstr (problem, "Left: Repair. A heat mark"));
}

static void
a_mark_from_before_has_a_chip_while_its_zone_is_selected (void **state)
{
  Shown *shown = *state;

  take_brush (shown, RAKE_MARK_SCRATCH, FALSE);
  down_at (shown, 10, 20);
  move_to (shown, 50, 20);
  up_at (shown, 50, 20, 0);
  assert_int_equal (shown->map->chips->len, 0);
  side_window_settle (shown->window);
  assert_int_equal (rake_face_map_get_n_mark_places (shown->map), 1);
  assert_true (rake_session_pass_done (shown->bench->session));
  side_window_settle (shown->window);
  assert_int_equal (shown->map->chips->len, 1);
  assert_true (gtk_widget_get_height (shown->map->chips->pdata[0]) >= 44);
  bench_select (shown->bench, shown->bench->right);
  assert_int_equal (shown->map->chips->len, 0);
}

static void
an_invisible_place_leaves_the_pointer_to_the_map (void **state)
{
  Shown *shown = *state;
  double x, y;

  to_px (shown, 30, 60, &x, &y);
  assert_ptr_equal (gtk_widget_pick (GTK_WIDGET (shown->map), x, y, GTK_PICK_DEFAULT), shown->map);
}

#define TEST(claim) cmocka_unit_test_setup_teardown (claim, set_up, take_down)

int
main (void)
{
  const struct CMUnitTest tests[] = {
    TEST (a_tap_selects_when_the_finger_lifts),
    TEST (a_tap_with_shift_or_control_takes_a_zone_along),
    TEST (a_tap_with_a_brush_says_it_of_the_whole_zone),
    TEST (a_tap_with_another_fault_marks_the_place),
    TEST (a_painted_patch_is_one_gesture_when_the_hand_lifts),
    TEST (a_scratch_is_drawn_as_a_line),
    TEST (a_wobble_is_a_tap_and_no_patch),
    TEST (escape_gives_up_the_mark_then_the_brush),
    TEST (a_pinch_marks_nothing),
    TEST (what_could_not_be_recorded_does_not_stay_on_the_map),
    TEST (without_a_brush_a_drag_moves_the_map),
    TEST (zooming_keeps_the_place_under_the_pointer_and_has_ends),
    TEST (only_the_marked_zone_is_drawn_anew),
    TEST (a_step_on_the_timeline_draws_the_zones_that_changed),
    TEST (what_there_is_no_time_for_follows_in_the_next_frames),
    TEST (a_view_that_is_drawn_over_several_frames_is_right_in_the_end),
    TEST (the_lamp_is_dragged_and_the_ring_tapped),
    TEST (arrows_go_to_the_zone_that_way),
    TEST (the_cross_marks_without_a_pointer),
    TEST (every_zone_is_an_option_that_says_its_verdict),
    TEST (a_mark_from_before_has_a_chip_while_its_zone_is_selected),
    TEST (an_invisible_place_leaves_the_pointer_to_the_map),
  };

  bench_use_own_folders ();
  return cmocka_run_group_tests (tests, side_set_up_group, NULL);
}
