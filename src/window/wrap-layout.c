/* wrap-layout.c - children side by side in rows. */
#include "wrap-layout.h"

struct _RakeWrapLayout
{
  GtkLayoutManager parent_instance;

  int spacing_px;
  gboolean stretches, shrinks;
};

enum
{
  PROP_0,
  PROP_SPACING,
  PROP_STRETCHES,
  PROP_SHRINKS,
  N_PROPS,
};

static GParamSpec *props[N_PROPS];

G_DEFINE_FINAL_TYPE (RakeWrapLayout, rake_wrap_layout, GTK_TYPE_LAYOUT_MANAGER)

typedef struct
{
  GtkWidget *first, *end; /* the row's children: from first up to, without, end */
  int n_children, width_px;
  gboolean shrinks;
} Row;

static GtkWidget *
skip_hidden (GtkWidget *child)
{
  while (child && !gtk_widget_should_layout (child))
    child = gtk_widget_get_next_sibling (child);
  return child;
}

static GtkWidget *
next_child (GtkWidget *child)
{
  return skip_hidden (gtk_widget_get_next_sibling (child));
}

/* What a child takes when rows are filled: as much as it likes, or as little as it can. Never more
 * than the row. */
static GtkRequestedSize
ask_width (GtkWidget *child, int width_px, gboolean shrinks)
{
  int min_px, natural_px;

  gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, &min_px, &natural_px, NULL, NULL);
  natural_px = MAX (min_px, MIN (natural_px, width_px));
  return (GtkRequestedSize){ .data = child,
                             .minimum_size = shrinks ? min_px : natural_px,
                             .natural_size = natural_px };
}

static void
fill_row (RakeWrapLayout *self, GtkWidget *first, int width_px, gboolean shrinks, Row *row)
{
  *row = (Row){ .first = first, .end = first, .shrinks = shrinks };
  while (row->end)
    {
      int child_px = ask_width (row->end, width_px, shrinks).minimum_size;
      int wanted_px = row->width_px + (row->n_children ? self->spacing_px : 0) + child_px;

      if (row->n_children && wanted_px > width_px)
        break;
      row->width_px = wanted_px;
      row->n_children++;
      row->end = next_child (row->end);
    }
}

static int
count_rows (RakeWrapLayout *self, GtkWidget *first, int width_px, gboolean shrinks)
{
  int n_rows = 0;
  Row row = { .end = first };

  for (; row.end; n_rows++)
    fill_row (self, row.end, width_px, shrinks, &row);
  return n_rows;
}

/* Children are made smaller only where that saves a row. */
static gboolean
has_to_shrink (RakeWrapLayout *self, GtkWidget *first, int width_px)
{
  return self->shrinks &&
         count_rows (self, first, width_px, TRUE) < count_rows (self, first, width_px, FALSE);
}

/* The children's widths, as minimum_size: what is left of the row goes to those that would like
 * more, and then, if they stretch, to all alike. */
static void
share_row (RakeWrapLayout *self, const Row *row, int width_px, GtkRequestedSize *sizes)
{
  int left_px = MAX (0, width_px - row->width_px), i = 0;

  for (GtkWidget *child = row->first; child != row->end; child = next_child (child))
    sizes[i++] = ask_width (child, width_px, row->shrinks);
  left_px = gtk_distribute_natural_allocation (left_px, (guint) row->n_children, sizes);
  for (i = 0; self->stretches && i < row->n_children; i++)
    {
      int share_px = left_px / (row->n_children - i);

      sizes[i].minimum_size += share_px;
      left_px -= share_px;
    }
}

static int
measure_row (RakeWrapLayout *self, const Row *row, const GtkRequestedSize *sizes)
{
  int row_px = 0;

  for (int i = 0; i < row->n_children; i++)
    {
      int height_px;

      gtk_widget_measure (sizes[i].data, GTK_ORIENTATION_VERTICAL, sizes[i].minimum_size, NULL,
                          &height_px, NULL, NULL);
      row_px = MAX (row_px, height_px);
    }
  return row_px;
}

static int
measure_height (RakeWrapLayout *self, GtkWidget *widget, int width_px)
{
  GtkWidget *child = skip_hidden (gtk_widget_get_first_child (widget));
  gboolean shrinks = has_to_shrink (self, child, width_px);
  int height_px = 0;

  while (child)
    {
      g_autofree GtkRequestedSize *sizes = NULL;
      Row row;

      fill_row (self, child, width_px, shrinks, &row);
      sizes = g_new0 (GtkRequestedSize, row.n_children);
      share_row (self, &row, width_px, sizes);
      height_px += measure_row (self, &row, sizes) + (height_px ? self->spacing_px : 0);
      child = row.end;
    }
  return height_px;
}

static void
measure_width (RakeWrapLayout *self, GtkWidget *widget, int *minimum_px, int *natural_px)
{
  *minimum_px = *natural_px = 0;
  for (GtkWidget *child = skip_hidden (gtk_widget_get_first_child (widget)); child;
       child = next_child (child))
    {
      int child_min_px, child_natural_px;

      gtk_widget_measure (child, GTK_ORIENTATION_HORIZONTAL, -1, &child_min_px, &child_natural_px,
                          NULL, NULL);
      *minimum_px = MAX (*minimum_px, child_min_px);
      *natural_px += child_natural_px + (*natural_px ? self->spacing_px : 0);
    }
}

static void
rake_wrap_layout_measure (GtkLayoutManager *manager, GtkWidget *widget, GtkOrientation orientation,
                          int for_size_px, int *minimum_px, int *natural_px, int *minimum_baseline,
                          int *natural_baseline)
{
  RakeWrapLayout *self = RAKE_WRAP_LAYOUT (manager);
  int width_min_px, width_natural_px;

  measure_width (self, widget, &width_min_px, &width_natural_px);
  if (orientation == GTK_ORIENTATION_HORIZONTAL)
    {
      *minimum_px = width_min_px;
      *natural_px = width_natural_px;
      return;
    }
  *minimum_px = *natural_px =
      measure_height (self, widget, for_size_px < 0 ? width_natural_px : for_size_px);
}

static void
allocate_row (RakeWrapLayout *self, GtkWidget *widget, const Row *row,
              const GtkRequestedSize *sizes, int width_px, int y_px, int row_px)
{
  gboolean is_mirrored = gtk_widget_get_direction (widget) == GTK_TEXT_DIR_RTL;
  int x_px = 0;

  for (int i = 0; i < row->n_children; i++)
    {
      int child_px = sizes[i].minimum_size;
      GtkAllocation place = { is_mirrored ? width_px - x_px - child_px : x_px, y_px, child_px,
                              row_px };

      gtk_widget_size_allocate (sizes[i].data, &place, -1);
      x_px += child_px + self->spacing_px;
    }
}

static void
rake_wrap_layout_allocate (GtkLayoutManager *manager, GtkWidget *widget, int width_px,
                           int height_px, int baseline)
{
  RakeWrapLayout *self = RAKE_WRAP_LAYOUT (manager);
  GtkWidget *child = skip_hidden (gtk_widget_get_first_child (widget));
  gboolean shrinks = has_to_shrink (self, child, width_px);
  int y_px = 0;

  while (child)
    {
      g_autofree GtkRequestedSize *sizes = NULL;
      Row row;
      int row_px;

      fill_row (self, child, width_px, shrinks, &row);
      sizes = g_new0 (GtkRequestedSize, row.n_children);
      share_row (self, &row, width_px, sizes);
      row_px = measure_row (self, &row, sizes);
      allocate_row (self, widget, &row, sizes, width_px, y_px, row_px);
      y_px += row_px + self->spacing_px;
      child = row.end;
    }
}

static GtkSizeRequestMode
rake_wrap_layout_get_request_mode (GtkLayoutManager *manager, GtkWidget *widget)
{
  return GTK_SIZE_REQUEST_HEIGHT_FOR_WIDTH;
}

static void
rake_wrap_layout_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  RakeWrapLayout *self = RAKE_WRAP_LAYOUT (object);

  if (id == PROP_SPACING)
    g_value_set_int (value, self->spacing_px);
  else if (id == PROP_STRETCHES)
    g_value_set_boolean (value, self->stretches);
  else if (id == PROP_SHRINKS)
    g_value_set_boolean (value, self->shrinks);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_wrap_layout_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  RakeWrapLayout *self = RAKE_WRAP_LAYOUT (object);

  if (id == PROP_SPACING)
    self->spacing_px = g_value_get_int (value);
  else if (id == PROP_STRETCHES)
    self->stretches = g_value_get_boolean (value);
  else if (id == PROP_SHRINKS)
    self->shrinks = g_value_get_boolean (value);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
  gtk_layout_manager_layout_changed (GTK_LAYOUT_MANAGER (self));
}

GtkLayoutManager *
rake_wrap_layout_new (int spacing_px)
{
  return g_object_new (RAKE_TYPE_WRAP_LAYOUT, "spacing", spacing_px, NULL);
}

static void
rake_wrap_layout_class_init (RakeWrapLayoutClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkLayoutManagerClass *layout_class = GTK_LAYOUT_MANAGER_CLASS (klass);
  GParamFlags flags = G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS;

  object_class->get_property = rake_wrap_layout_get_property;
  object_class->set_property = rake_wrap_layout_set_property;
  layout_class->measure = rake_wrap_layout_measure;
  layout_class->allocate = rake_wrap_layout_allocate;
  layout_class->get_request_mode = rake_wrap_layout_get_request_mode;
  props[PROP_SPACING] = g_param_spec_int ("spacing", NULL, NULL, 0, G_MAXINT, 8, flags);
  props[PROP_STRETCHES] = g_param_spec_boolean ("stretches", NULL, NULL, FALSE, flags);
  props[PROP_SHRINKS] = g_param_spec_boolean ("shrinks", NULL, NULL, FALSE, flags);
  g_object_class_install_properties (object_class, N_PROPS, props);
}

static void
rake_wrap_layout_init (RakeWrapLayout *self)
{
  self->spacing_px = 8;
}
