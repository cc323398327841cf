/* timeline.c - the logbook as a ribbon that can be drawn back to any entry. */
#include "timeline.h"
#include "moments.h"
#include "ribbon-draw.h"
#include "say.h"
#include "theme.h"

#include <math.h>
#include "words.h"

#define MIN_HEIGHT_PX 28
#define HEIGHT_PX 48
#define MAX_TIP_LINES 4

struct _RakeTimeline
{
  RakeSessionView parent_instance;

  GArray *moments; /* RakeMoment of the live job */
  guint64 revision;
  gboolean has_revision;
  guint shown;     /* where the map stands, in @moments */

  GskRenderNode *dots; /* kept: it changes with the logbook, the width and the theme alone */
  GArray *days;        /* RakeRibbonSpan: the names of days in it */
  RakeRibbonFrame dots_frame;
  guint n_drawn;

  guint wanted; /* where the hand is; shown once a frame, however fast it moves */
  guint tick;
};

G_DEFINE_FINAL_TYPE (RakeTimeline, rake_timeline, RAKE_TYPE_SESSION_VIEW)

static RakeRibbonFrame
get_frame (RakeTimeline *self)
{
  return rake_ribbon_frame_new (gtk_widget_get_width (GTK_WIDGET (self)),
                                gtk_widget_get_height (GTK_WIDGET (self)),
                                gtk_widget_get_direction (GTK_WIDGET (self)) == GTK_TEXT_DIR_RTL);
}

static const RakeMoment *
get_moment (RakeTimeline *self, guint index)
{
  return &g_array_index (self->moments, RakeMoment, index);
}

static gboolean
is_now (RakeTimeline *self)
{
  RakeSession *session = rake_session_view_get_session (self);

  return !session || !rake_session_is_in_the_past (session);
}

static void
drop_dots (RakeTimeline *self)
{
  g_clear_pointer (&self->dots, gsk_render_node_unref);
}

static void
take_moments (RakeTimeline *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeJob *job = session ? rake_session_get_live_job (session) : NULL;
  guint64 revision = job ? rake_job_get_revision (job) : 0;

  if (self->has_revision == (job != NULL) && revision == self->revision)
    return;
  g_array_unref (self->moments);
  self->moments = job ? rake_moments_take (job) : g_array_new (FALSE, FALSE, sizeof (RakeMoment));
  self->revision = revision;
  self->has_revision = job != NULL;
  drop_dots (self);
}

static void
take_place (RakeTimeline *self)
{
  RakeSession *session = rake_session_view_get_session (self);

  take_moments (self);
  if (is_now (self))
    self->shown = self->moments->len ? self->moments->len - 1 : 0;
  else
    self->shown = rake_moments_find (self->moments, rake_session_get_shown_entries (session));
  if (!self->tick)
    self->wanted = self->shown;
}

/* --- words ----------------------------------------------------------------------------------- */

static char *
describe_moment (RakeTimeline *self, guint index)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeMoment *moment = get_moment (self, index);
  g_autofree char *when = rake_say_when (moment->entry, rake_session_now_ms ());
  g_autofree char *what =
      rake_job_describe_entry (rake_session_get_live_job (session), moment->entry);

  if (moment->is_struck)
    /* Translators: a time, and a line of the logbook that was struck out since. */
    return g_strdup_printf (_ ("%s, %s (struck out)"), when, what);
  /* Translators: a time, and a line of the logbook: "09:41, Pass at P800 on Lower bass". */
  return g_strdup_printf (C_ ("timeline", "%s, %s"), when, what);
}

/* Says where the map stands now: its own turn to hear of a change may come after the caller's. */
char *
rake_timeline_describe (RakeTimeline *self)
{
  take_place (self);
  return self->shown < self->moments->len ? describe_moment (self, self->shown) : NULL;
}

static gboolean
on_query_tooltip (RakeTimeline *self, int x, int y, gboolean by_keyboard, GtkTooltip *tooltip)
{
  RakeRibbonFrame frame = get_frame (self);
  g_autoptr (GString) text = g_string_new (NULL);
  RakeCluster cluster;

  if (by_keyboard)
    cluster = (RakeCluster){ .first = self->shown, .n_moments = self->shown < self->moments->len };
  else if (!rake_ribbon_find_cluster (self->moments, &frame, x, &cluster))
    return FALSE;
  for (guint i = 0; i < cluster.n_moments && i < MAX_TIP_LINES; i++)
    {
      g_autofree char *line = describe_moment (self, cluster.first + i);

      g_string_append_printf (text, "%s%s", i ? "\n" : "", line);
    }
  if (cluster.n_moments > MAX_TIP_LINES)
    {
      guint n_more = cluster.n_moments - MAX_TIP_LINES;

      g_string_append_c (text, '\n');
      g_string_append_printf (text, ngettext ("and %u more", "and %u more", n_more), n_more);
    }
  gtk_tooltip_set_text (tooltip, text->str);
  return text->len > 0;
}

/* GTK 4.8 tells the values of its own sliders only, so the place stands in the label as well. */
static void
tell_accessibility (RakeTimeline *self)
{
  g_autofree char *place =
      is_now (self) ? g_strdup (C_ ("timeline", "now")) : rake_timeline_describe (self);
  g_autofree char *label = g_strdup_printf (_ ("Timeline: %s"), place ? place : "");
  double last = self->moments->len ? self->moments->len - 1 : 0;

  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, label,
                                  GTK_ACCESSIBLE_PROPERTY_VALUE_MIN, 0.0,
                                  GTK_ACCESSIBLE_PROPERTY_VALUE_MAX, last,
                                  GTK_ACCESSIBLE_PROPERTY_VALUE_NOW, (double) self->shown,
                                  GTK_ACCESSIBLE_PROPERTY_VALUE_TEXT, place ? place : "", -1);
}

/* --- moving ---------------------------------------------------------------------------------- */

static void
go_to (RakeTimeline *self, guint index)
{
  RakeSession *session = rake_session_view_get_session (self);

  if (!session || self->moments->len == 0)
    return;
  index = MIN (index, self->moments->len - 1);
  self->wanted = index;
  /* The last moment is not the past: what comes next shows by itself. */
  rake_session_show_entries (
      session, index + 1 == self->moments->len ? G_MAXUINT : get_moment (self, index)->n_entries);
}

static gboolean
go_where_wanted (GtkWidget *widget, GdkFrameClock *clock, gpointer user_data)
{
  RakeTimeline *self = RAKE_TIMELINE (widget);

  self->tick = 0;
  if (self->wanted != self->shown)
    go_to (self, self->wanted);
  return G_SOURCE_REMOVE;
}

static guint
find_at (RakeTimeline *self, double x_px)
{
  RakeRibbonFrame frame = get_frame (self);

  return rake_ribbon_find_moment (self->moments, &frame, x_px);
}

static void
want (RakeTimeline *self, double x_px)
{
  guint wanted = find_at (self, x_px);

  if (wanted == self->wanted && self->tick)
    return;
  self->wanted = wanted;
  if (!self->tick)
    self->tick = gtk_widget_add_tick_callback (GTK_WIDGET (self), go_where_wanted, NULL, NULL);
}

void
rake_timeline_move_to (RakeTimeline *self, double x_px)
{
  go_to (self, find_at (self, x_px));
}

static void
on_drag_begin (RakeTimeline *self, double x_px, double y_px, GtkGestureDrag *drag)
{
  gtk_gesture_set_state (GTK_GESTURE (drag), GTK_EVENT_SEQUENCE_CLAIMED);
  gtk_widget_grab_focus (GTK_WIDGET (self));
  want (self, x_px);
}

static void
on_drag_update (RakeTimeline *self, double moved_x_px, double moved_y_px, GtkGestureDrag *drag)
{
  double x_px, y_px;

  if (gtk_gesture_drag_get_start_point (drag, &x_px, &y_px))
    want (self, x_px + moved_x_px);
}

static void
move (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeTimeline *self = RAKE_TIMELINE (widget);

  if (g_str_equal (action, "timeline.earlier"))
    go_to (self, self->shown > 0 ? self->shown - 1 : 0);
  else if (g_str_equal (action, "timeline.later"))
    go_to (self, self->shown + 1);
  else if (g_str_equal (action, "timeline.first"))
    go_to (self, 0);
  else
    go_to (self, G_MAXUINT - 1);
}

/* Left is where earlier lies: to the right in a language that runs so. */
static gboolean
step (GtkWidget *widget, GVariant *arguments, gpointer user_data)
{
  gboolean is_mirrored = gtk_widget_get_direction (widget) == GTK_TEXT_DIR_RTL;
  gboolean is_left = g_variant_get_boolean (arguments);

  gtk_widget_activate_action (widget,
                              is_left == is_mirrored ? "timeline.later" : "timeline.earlier", NULL);
  return TRUE;
}

/* --- showing --------------------------------------------------------------------------------- */

static void
rake_timeline_show (RakeSessionView *view, RakeShow what)
{
  RakeTimeline *self = RAKE_TIMELINE (view);

  if (what == RAKE_SHOW_BENCH || what == RAKE_SHOW_SELECTION)
    return;
  if (what == RAKE_SHOW_THEME)
    drop_dots (self);
  if (what == RAKE_SHOW_SESSION)
    self->has_revision = FALSE;
  take_place (self);
  tell_accessibility (self);
  gtk_widget_queue_draw (GTK_WIDGET (self));
}

static void
rake_timeline_snapshot (GtkWidget *widget, GtkSnapshot *snapshot)
{
  RakeTimeline *self = RAKE_TIMELINE (widget);
  RakeRibbonFrame frame = get_frame (self);

  if (self->moments->len == 0 || frame.width_px <= 0)
    return;
  if (!self->dots || !rake_ribbon_frame_equal (&frame, &self->dots_frame))
    {
      drop_dots (self);
      self->dots = rake_ribbon_draw_moments (widget, &frame, self->moments, self->days);
      self->dots_frame = frame;
      self->n_drawn++;
    }
  rake_ribbon_snapshot (widget, snapshot, &frame, self->moments, self->dots, self->days,
                        self->shown, is_now (self));
}

static void
rake_timeline_measure (GtkWidget *widget, GtkOrientation orientation, int for_size_px,
                       int *minimum_px, int *natural_px, int *minimum_baseline,
                       int *natural_baseline)
{
  *minimum_px = orientation == GTK_ORIENTATION_HORIZONTAL ? 120 : MIN_HEIGHT_PX;
  *natural_px = orientation == GTK_ORIENTATION_HORIZONTAL ? 120 : HEIGHT_PX;
}

static gboolean
rake_timeline_focus (GtkWidget *widget, GtkDirectionType direction)
{
  /* A leaf: arrows move in time, Tab moves on. */
  if (gtk_widget_is_focus (widget))
    return FALSE;
  return gtk_widget_grab_focus (widget);
}

guint
rake_timeline_get_n_drawn (RakeTimeline *self)
{
  return self->n_drawn;
}

static void
rake_timeline_finalize (GObject *object)
{
  RakeTimeline *self = RAKE_TIMELINE (object);

  drop_dots (self);
  g_array_unref (self->moments);
  g_array_unref (self->days);
  G_OBJECT_CLASS (rake_timeline_parent_class)->finalize (object);
}

static void
rake_timeline_class_init (RakeTimelineClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = rake_timeline_finalize;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_timeline_show;
  widget_class->snapshot = rake_timeline_snapshot;
  widget_class->measure = rake_timeline_measure;
  widget_class->focus = rake_timeline_focus;
  gtk_widget_class_set_css_name (widget_class, "timeline");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_SLIDER);
  gtk_widget_class_install_action (widget_class, "timeline.earlier", NULL, move);
  gtk_widget_class_install_action (widget_class, "timeline.later", NULL, move);
  gtk_widget_class_install_action (widget_class, "timeline.first", NULL, move);
  gtk_widget_class_install_action (widget_class, "timeline.now", NULL, move);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_Left, 0, step, "b", TRUE);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_KP_Left, 0, step, "b", TRUE);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_Right, 0, step, "b", FALSE);
  gtk_widget_class_add_binding (widget_class, GDK_KEY_KP_Right, 0, step, "b", FALSE);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Home, 0, "timeline.first", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_KP_Home, 0, "timeline.first", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_End, 0, "timeline.now", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_KP_End, 0, "timeline.now", NULL);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_Escape, 0, "timeline.now", NULL);
}

static void
rake_timeline_init (RakeTimeline *self)
{
  GtkGesture *drag = gtk_gesture_drag_new ();

  self->days = g_array_new (FALSE, FALSE, sizeof (RakeRibbonSpan));
  self->moments = g_array_new (FALSE, FALSE, sizeof (RakeMoment));
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
  gtk_widget_set_has_tooltip (GTK_WIDGET (self), TRUE);
  g_signal_connect (self, "query-tooltip", G_CALLBACK (on_query_tooltip), NULL);
  g_signal_connect_swapped (drag, "drag-begin", G_CALLBACK (on_drag_begin), self);
  g_signal_connect_swapped (drag, "drag-update", G_CALLBACK (on_drag_update), self);
  gtk_widget_add_controller (GTK_WIDGET (self), GTK_EVENT_CONTROLLER (drag));
  tell_accessibility (self);
}
