/* bench-page.c - the page where the work is done. */
#include "bench-page.h"
#include "bench-bar.h"
#include "face-list.h"
#include "say.h"
#include "stage-rail.h"
#include "timeline.h"
#include "zone-slip.h"

#include <rakelight/record.h>
#include "words.h"

#define SLIP_PX 300
#define WIDE_SLIP_PX 332
#define PAD_PX 16
#define GAP_PX 10
#define SETTINGS_PX 150   /* whatever they say: the map must not jump when a word gets longer */
#define SETTINGS_OUT_PX 8 /* into the padding: the chips have their own */

struct _RakeBenchPage
{
  GtkWidget parent_instance;

  RakeSession *session;
  GtkWidget *faces, *rail, *map, *settings, *notice, *brushes, *timeline, *slip;
  GtkWidget *notice_label, *to_now, *to_record;
  gboolean is_narrow, is_tight;
  int brushes_px; /* the width that they would like where there is room */
  guint folding;
};

enum
{
  PROP_0,
  PROP_SESSION,
  N_PROPS,
};

static GParamSpec *props[N_PROPS];

G_DEFINE_FINAL_TYPE (RakeBenchPage, rake_bench_page, GTK_TYPE_WIDGET)

/* --- layout ---------------------------------------------------------------------------------- */

static int
get_minimum (GtkWidget *child, GtkOrientation orientation, int for_size)
{
  int minimum;

  gtk_widget_measure (child, orientation, for_size, &minimum, NULL, NULL, NULL);
  return minimum;
}

static int
get_natural_height (GtkWidget *child, int width)
{
  int natural;

  gtk_widget_measure (child, GTK_ORIENTATION_VERTICAL,
                      MAX (width, get_minimum (child, GTK_ORIENTATION_HORIZONTAL, -1)), NULL,
                      &natural, NULL, NULL);
  return natural;
}

/* Faces and slip never need more than this page gives; the middle column is what counts. */
static void
rake_bench_page_measure (GtkWidget *widget, GtkOrientation orientation, int for_size, int *minimum,
                         int *natural, int *minimum_baseline, int *natural_baseline)
{
  RakeBenchPage *self = RAKE_BENCH_PAGE (widget);

  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      int middle = MAX (get_minimum (self->brushes, orientation, -1),
                        get_minimum (self->rail, orientation, -1));
      middle = MAX (middle, get_minimum (self->map, orientation, -1) + SETTINGS_PX);
      *minimum = middle + 2 * PAD_PX + MAX (SLIP_PX, get_minimum (self->slip, orientation, -1));
      *natural = MAX (*minimum, 1440);
    }
  else
    {
      *minimum = MAX (get_minimum (self->map, orientation, -1),
                      get_minimum (self->settings, orientation, -1)) +
                 get_minimum (self->brushes, orientation, -1) +
                 get_minimum (self->rail, orientation, -1) +
                 get_minimum (self->timeline, orientation, -1) + 5 * GAP_PX;
      *natural = MAX (*minimum, 850);
    }
}

static void
place (GtkWidget *child, int x, int y, int width, int height)
{
  GtkAllocation allocation = { x, y, MAX (width, get_minimum (child, GTK_ORIENTATION_HORIZONTAL, -1)),
                               height };

  allocation.height = MAX (height, get_minimum (child, GTK_ORIENTATION_VERTICAL, allocation.width));
  gtk_widget_size_allocate (child, &allocation, -1);
}

/* Turning the faces from a column to a strip rebuilds them, which a widget may not do while it is
 * being given its place. */
static gboolean
fold (gpointer user_data)
{
  RakeBenchPage *self = user_data;

  self->folding = 0;
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self->faces), self->is_narrow
                                                                    ? GTK_ORIENTATION_HORIZONTAL
                                                                    : GTK_ORIENTATION_VERTICAL);
  if (self->is_tight)
    gtk_widget_add_css_class (self->brushes, "tight");
  else
    gtk_widget_remove_css_class (self->brushes, "tight");
  gtk_widget_queue_resize (GTK_WIDGET (self));
  return G_SOURCE_REMOVE;
}

/* Long words come before air. Asked where they have their air, for without it they want less. */
static gboolean
wants_tight (RakeBenchPage *self, int width)
{
  if (!gtk_widget_has_css_class (self->brushes, "tight"))
    gtk_widget_measure (self->brushes, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &self->brushes_px,
                        NULL, NULL);
  return width < self->brushes_px;
}

static gboolean
is_strip (RakeBenchPage *self)
{
  return gtk_orientable_get_orientation (GTK_ORIENTABLE (self->faces)) ==
         GTK_ORIENTATION_HORIZONTAL;
}

/* From the top down as far as @bottom; the map gets what is left. */
static void
place_middle (RakeBenchPage *self, int x, int top, int width, int height)
{
  int bottom = top + height - GAP_PX / 2;
  int rail_height = get_natural_height (self->rail, width);
  int brushes_height = get_natural_height (self->brushes, width);
  int timeline_height = self->is_narrow ? get_minimum (self->timeline, GTK_ORIENTATION_VERTICAL, -1)
                                        : get_natural_height (self->timeline, width);

  place (self->rail, x, top, width, rail_height);
  if (rail_height > 0)
    top += rail_height + GAP_PX;
  bottom -= timeline_height;
  place (self->timeline, x, bottom, width, timeline_height);
  bottom -= GAP_PX + brushes_height;
  place (self->brushes, x, bottom, width, brushes_height);
  bottom -= GAP_PX;
  place (self->map, x - PAD_PX, top, width + PAD_PX - SETTINGS_PX, bottom - top);
  place (self->settings, x + width + SETTINGS_OUT_PX - SETTINGS_PX, top, SETTINGS_PX, bottom - top);
  place (self->notice, x, top, width, get_natural_height (self->notice, width));
}

static void
rake_bench_page_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  RakeBenchPage *self = RAKE_BENCH_PAGE (widget);
  int slip_width = MAX (width < RAKE_BENCH_NARROW_PX ? SLIP_PX : WIDE_SLIP_PX,
                        get_minimum (self->slip, GTK_ORIENTATION_HORIZONTAL, -1));
  int left = 0, top = 0, middle_width;

  self->is_narrow = width < RAKE_BENCH_NARROW_PX;
  place (self->slip, width - slip_width, 0, slip_width, height);
  if (!is_strip (self))
    {
      gtk_widget_measure (self->faces, GTK_ORIENTATION_HORIZONTAL, -1, NULL, &left, NULL, NULL);
      place (self->faces, 0, 0, left, height);
    }
  else
    {
      int strip_width = width - slip_width;
      top = get_natural_height (self->faces, strip_width);
      place (self->faces, 0, 0, strip_width, top);
    }
  middle_width = width - left - slip_width - 2 * PAD_PX;
  place_middle (self, left + PAD_PX, top + GAP_PX, middle_width, height - top - GAP_PX);
  self->is_tight = wants_tight (self, middle_width);
  if (!self->folding && (self->is_narrow != is_strip (self) ||
                         self->is_tight != gtk_widget_has_css_class (self->brushes, "tight")))
    self->folding = g_idle_add_full (G_PRIORITY_HIGH_IDLE, fold, self, NULL);
}

/* --- what is said over the map ----------------------------------------------------------------- */

/* What keeps anything from being recorded, or closes the job for work; NULL when nothing does. */
static char *
say_notice (RakeBenchPage *self)
{
  g_autofree char *place = NULL;
  g_autofree char *day = NULL;
  const RakeEntry *hand_over;

  if (rake_session_is_in_the_past (self->session))
    {
      place = rake_timeline_describe (RAKE_TIMELINE (self->timeline));
      /* Translators: %s is a time and a line of the logbook: "09:41, Pass at P800 on Lower bass". */
      return g_strdup_printf (_ ("You are looking at %s"), place ? place : "");
    }
  if (rake_session_is_newer (self->session))
    return g_strdup (_ ("A newer version made this job: it can only be read here, without what is "
                        "new in it."));
  if (rake_session_is_read_only (self->session))
    return g_strdup (_ ("This job file can only be read."));
  hand_over = rake_job_find_hand_over (rake_session_get_job (self->session), NULL);
  if (!hand_over)
    return NULL;
  day = rake_say_when (hand_over, rake_session_now_ms ());
  return rake_job_is_closed (rake_session_get_job (self->session))
             /* Translators: %s is a day and time. */
             ? g_strdup_printf (_ ("Handed over %s: closed for work, open for claims"), day)
             : g_strdup_printf (_ ("Handed over %s: a claim is open"), day);
}

/* Said over the map, with the way on beside it. */
static void
show_notice (RakeBenchPage *self)
{
  g_autofree char *notice = self->session ? say_notice (self) : NULL;
  gboolean is_past = self->session && rake_session_is_in_the_past (self->session);
  gboolean is_fixed = is_past || (self->session && rake_session_is_read_only (self->session));

  gtk_label_set_label (GTK_LABEL (self->notice_label), notice ? notice : "");
  gtk_widget_set_visible (self->notice, notice != NULL);
  gtk_widget_set_visible (self->to_now, is_past);
  gtk_widget_set_visible (self->to_record, notice && !is_fixed);
}

static void
set_session (RakeBenchPage *self, RakeSession *session)
{
  if (self->session)
    g_signal_handlers_disconnect_by_data (self->session, self);
  g_set_object (&self->session, session);
  if (session)
    g_signal_connect_swapped (session, "changed", G_CALLBACK (show_notice), self);
  g_object_set (self->faces, "session", session, NULL);
  g_object_set (self->rail, "session", session, NULL);
  g_object_set (self->map, "session", session, NULL);
  g_object_set (self->settings, "session", session, NULL);
  g_object_set (self->brushes, "session", session, NULL);
  g_object_set (self->timeline, "session", session, NULL);
  g_object_set (self->slip, "session", session, NULL);
  show_notice (self);
}

RakeFaceMap *
rake_bench_page_get_map (RakeBenchPage *self)
{
  return RAKE_FACE_MAP (self->map);
}

RakeBrushBar *
rake_bench_page_get_brushes (RakeBenchPage *self)
{
  return RAKE_BRUSH_BAR (self->brushes);
}

/* --- class ----------------------------------------------------------------------------------- */

static void
rake_bench_page_dispose (GObject *object)
{
  RakeBenchPage *self = RAKE_BENCH_PAGE (object);

  g_clear_handle_id (&self->folding, g_source_remove);
  if (self->session)
    g_signal_handlers_disconnect_by_data (self->session, self);
  g_clear_object (&self->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_BENCH_PAGE);
  G_OBJECT_CLASS (rake_bench_page_parent_class)->dispose (object);
}

static void
rake_bench_page_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_value_set_object (value, RAKE_BENCH_PAGE (object)->session);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_bench_page_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    set_session (RAKE_BENCH_PAGE (object), g_value_get_object (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_bench_page_class_init (RakeBenchPageClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  g_type_ensure (RAKE_TYPE_BENCH_BAR);
  g_type_ensure (RAKE_TYPE_BRUSH_BAR);
  g_type_ensure (RAKE_TYPE_FACE_LIST);
  g_type_ensure (RAKE_TYPE_FACE_MAP);
  g_type_ensure (RAKE_TYPE_STAGE_RAIL);
  g_type_ensure (RAKE_TYPE_TIMELINE);
  g_type_ensure (RAKE_TYPE_ZONE_SLIP);
  object_class->dispose = rake_bench_page_dispose;
  object_class->get_property = rake_bench_page_get_property;
  object_class->set_property = rake_bench_page_set_property;
  widget_class->measure = rake_bench_page_measure;
  widget_class->size_allocate = rake_bench_page_size_allocate;
  props[PROP_SESSION] = g_param_spec_object ("session", NULL, NULL, RAKE_TYPE_SESSION,
                                             G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
  gtk_widget_class_set_css_name (widget_class, "benchpage");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "bench-page.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeBenchPage, faces);
  gtk_widget_class_bind_template_child (widget_class, RakeBenchPage, rail);
  gtk_widget_class_bind_template_child (widget_class, RakeBenchPage, map);
  gtk_widget_class_bind_template_child (widget_class, RakeBenchPage, settings);
  gtk_widget_class_bind_template_child (widget_class, RakeBenchPage, notice);
  gtk_widget_class_bind_template_child (widget_class, RakeBenchPage, notice_label);
  gtk_widget_class_bind_template_child (widget_class, RakeBenchPage, to_now);
  gtk_widget_class_bind_template_child (widget_class, RakeBenchPage, to_record);
  gtk_widget_class_bind_template_child (widget_class, RakeBenchPage, brushes);
  gtk_widget_class_bind_template_child (widget_class, RakeBenchPage, timeline);
  gtk_widget_class_bind_template_child (widget_class, RakeBenchPage, slip);
}

static void
rake_bench_page_init (RakeBenchPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
