/* report-paper.c - see report-paper.h. A page is drawn when it comes into sight: sixty of them with
 * photographs, all kept as pixels, would be a gigabyte. */
#include "report-paper.h"

#include <math.h>

#include "words.h"

#define GAP_PX 18
#define NEARBY_PX 600 /* above and below what is in sight */
#define STEP 1.25
#define LEAST_SCALE 0.3
#define LARGEST_SCALE 4.0

struct _RakeReportPaper
{
  GtkWidget parent_instance;

  GtkWidget *scroller, *column;
  RakeReportPages *pages;
  double scale; /* pixels a point; 0: as wide as the room */
  int room_px;  /* what that was reckoned for */
};

G_DEFINE_FINAL_TYPE (RakeReportPaper, rake_report_paper, GTK_TYPE_WIDGET)

/* --- one page ----------------------------------------------------------------------------------- */

static gboolean
is_near (RakeReportPaper *self, GtkWidget *sheet)
{
  graphene_rect_t bounds;

  if (!gtk_widget_compute_bounds (sheet, self->scroller, &bounds))
    return FALSE;
  return bounds.origin.y < gtk_widget_get_height (self->scroller) + NEARBY_PX &&
         bounds.origin.y + bounds.size.height > -NEARBY_PX;
}

static guint
get_index (GtkWidget *sheet)
{
  return GPOINTER_TO_UINT (g_object_get_data (G_OBJECT (sheet), "index"));
}

static void
set_drawn (GtkWidget *sheet, gboolean is_drawn)
{
  g_object_set_data (G_OBJECT (sheet), "drawn", GINT_TO_POINTER (is_drawn));
}

static gboolean
was_drawn (GtkWidget *sheet)
{
  return GPOINTER_TO_INT (g_object_get_data (G_OBJECT (sheet), "drawn"));
}

static void
draw_sheet (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer user_data)
{
  RakeReportPaper *self = user_data;
  double page_width, page_height;
  gboolean is_shown = self->pages && is_near (self, GTK_WIDGET (area));

  cairo_set_source_rgb (cr, 1, 1, 1);
  cairo_paint (cr);
  set_drawn (GTK_WIDGET (area), is_shown);
  if (!is_shown)
    return;
  rake_report_pages_get_size (self->pages, &page_width, &page_height);
  cairo_scale (cr, width / page_width, height / page_height);
  rake_report_pages_draw (self->pages, get_index (GTK_WIDGET (area)), cr);
}

static void
scrolled (RakeReportPaper *self)
{
  for (GtkWidget *sheet = gtk_widget_get_first_child (self->column); sheet;
       sheet = gtk_widget_get_next_sibling (sheet))
    if (is_near (self, sheet) != was_drawn (sheet))
      gtk_widget_queue_draw (sheet);
}

/* --- all of them -------------------------------------------------------------------------------- */

static void
size_sheets (RakeReportPaper *self)
{
  double width, height, scale;
  int room = MAX (gtk_widget_get_width (GTK_WIDGET (self)) - 2 * GAP_PX - 16, 100);

  if (!self->pages)
    return;
  rake_report_pages_get_size (self->pages, &width, &height);
  scale = self->scale > 0 ? self->scale : MIN (room / width, 1.6);
  self->room_px = room;
  for (GtkWidget *sheet = gtk_widget_get_first_child (self->column); sheet;
       sheet = gtk_widget_get_next_sibling (sheet))
    {
      gtk_drawing_area_set_content_width (GTK_DRAWING_AREA (sheet), (int) round (width * scale));
      gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (sheet), (int) round (height * scale));
      gtk_widget_queue_draw (sheet);
    }
}

static void
add_sheet (RakeReportPaper *self, guint index, guint n)
{
  GtkWidget *sheet = gtk_drawing_area_new ();
  /* Translators: the number of a page, and of how many. */
  g_autofree char *name = g_strdup_printf (_ ("Page %u of %u"), index + 1, n);

  g_object_set_data (G_OBJECT (sheet), "index", GUINT_TO_POINTER (index));
  gtk_widget_set_halign (sheet, GTK_ALIGN_CENTER);
  gtk_widget_add_css_class (sheet, "report-sheet");
  gtk_accessible_update_property (GTK_ACCESSIBLE (sheet), GTK_ACCESSIBLE_PROPERTY_LABEL, name, -1);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (sheet), draw_sheet, self, NULL);
  gtk_box_append (GTK_BOX (self->column), sheet);
}

static void
empty (RakeReportPaper *self)
{
  GtkWidget *sheet;

  while ((sheet = gtk_widget_get_first_child (self->column)))
    gtk_box_remove (GTK_BOX (self->column), sheet);
  g_clear_pointer (&self->pages, rake_report_pages_free);
}

void
rake_report_paper_show (RakeReportPaper *self, RakeReportPages *pages)
{
  guint n = pages ? rake_report_pages_get_n (pages) : 0;

  empty (self);
  self->pages = pages;
  for (guint i = 0; i < n; i++)
    add_sheet (self, i, n);
  size_sheets (self);
}

const RakeReportPages *
rake_report_paper_get_pages (RakeReportPaper *self)
{
  return self->pages;
}

void
rake_report_paper_zoom (RakeReportPaper *self, int steps)
{
  double width, height, now;

  if (!self->pages)
    return;
  rake_report_pages_get_size (self->pages, &width, &height);
  now = self->scale > 0 ? self->scale : MIN (self->room_px / width, 1.6);
  self->scale = steps == 0 ? 0 : CLAMP (now * pow (STEP, steps), LEAST_SCALE, LARGEST_SCALE);
  size_sheets (self);
}

/* --- class -------------------------------------------------------------------------------------- */

/* Another width is another size of the pages, told when the layout is over. */
static gboolean
fit_again (gpointer data)
{
  RakeReportPaper *self = data;

  size_sheets (self);
  return G_SOURCE_REMOVE;
}

static void
rake_report_paper_size_allocate (GtkWidget *widget, int width, int height, int baseline)
{
  RakeReportPaper *self = RAKE_REPORT_PAPER (widget);
  int room = MAX (width - 2 * GAP_PX - 16, 100);

  gtk_widget_size_allocate (self->scroller, &(GtkAllocation){ 0, 0, width, height }, baseline);
  if (self->scale <= 0 && self->pages && room != self->room_px)
    g_idle_add_full (G_PRIORITY_HIGH_IDLE, fit_again, g_object_ref (self), g_object_unref);
}

static void
rake_report_paper_measure (GtkWidget *widget, GtkOrientation orientation, int for_size,
                           int *minimum, int *natural, int *minimum_baseline, int *natural_baseline)
{
  *minimum = orientation == GTK_ORIENTATION_HORIZONTAL ? 320 : 200;
  *natural = orientation == GTK_ORIENTATION_HORIZONTAL ? 700 : 600;
}

static void
rake_report_paper_dispose (GObject *object)
{
  RakeReportPaper *self = RAKE_REPORT_PAPER (object);

  if (self->scroller)
    empty (self);
  g_clear_pointer (&self->scroller, gtk_widget_unparent);
  G_OBJECT_CLASS (rake_report_paper_parent_class)->dispose (object);
}

static void
rake_report_paper_class_init (RakeReportPaperClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_report_paper_dispose;
  widget_class->measure = rake_report_paper_measure;
  widget_class->size_allocate = rake_report_paper_size_allocate;
  gtk_widget_class_set_css_name (widget_class, "reportpaper");
}

static void
rake_report_paper_init (RakeReportPaper *self)
{
  GtkAdjustment *along;

  self->scroller = gtk_scrolled_window_new ();
  self->column = gtk_box_new (GTK_ORIENTATION_VERTICAL, GAP_PX);
  gtk_widget_set_margin_top (self->column, GAP_PX);
  gtk_widget_set_margin_bottom (self->column, GAP_PX);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scroller), self->column);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->scroller), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  _ ("The report’s pages"), -1);
  gtk_widget_set_parent (self->scroller, GTK_WIDGET (self));
  along = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scroller));
  g_signal_connect_swapped (along, "value-changed", G_CALLBACK (scrolled), self);
}
