/* choice-grid.c - a choice of one among a few, as large rows. */
#include "choice-grid.h"

#define MOST_ABREAST 4

struct _RakeChoiceGrid
{
  GtkGrid parent_instance;

  GPtrArray *rows; /* GtkCheckButton *, which are the grid's */
  int abreast, chosen;
};

G_DEFINE_FINAL_TYPE (RakeChoiceGrid, rake_choice_grid, GTK_TYPE_GRID)

enum
{
  PROP_ABREAST = 1,
  PROP_CHOSEN,
  N_PROPS,
};

static GParamSpec *properties[N_PROPS];

static GQuark
value_quark (void)
{
  return g_quark_from_static_string ("rake-choice-value");
}

static int
get_value (gpointer row)
{
  return GPOINTER_TO_INT (g_object_get_qdata (row, value_quark ()));
}

static void
on_row (GtkCheckButton *row, GParamSpec *pspec, RakeChoiceGrid *self)
{
  if (!gtk_check_button_get_active (row) || self->chosen == get_value (row))
    return;
  self->chosen = get_value (row);
  g_object_notify_by_pspec (G_OBJECT (self), properties[PROP_CHOSEN]);
}

void
rake_choice_grid_add (RakeChoiceGrid *self, int value, const char *label)
{
  GtkWidget *row = gtk_check_button_new_with_label (label);
  int index = (int) self->rows->len;

  g_return_if_fail (value != 0);
  g_object_set_qdata (G_OBJECT (row), value_quark (), GINT_TO_POINTER (value));
  if (index > 0)
    gtk_check_button_set_group (GTK_CHECK_BUTTON (row), self->rows->pdata[0]);
  gtk_widget_add_css_class (row, "big-row");
  g_signal_connect_object (row, "notify::active", G_CALLBACK (on_row), self, 0);
  gtk_grid_attach (GTK_GRID (self), row, index % self->abreast, index / self->abreast, 1, 1);
  g_ptr_array_add (self->rows, row);
}

void
rake_choice_grid_choose (RakeChoiceGrid *self, int value)
{
  for (guint i = 0; i < self->rows->len; i++)
    if (get_value (self->rows->pdata[i]) == value)
      gtk_check_button_set_active (self->rows->pdata[i], TRUE);
}

int
rake_choice_grid_get_chosen (RakeChoiceGrid *self)
{
  return self->chosen;
}

/* --- class ----------------------------------------------------------------------------------------- */

static void
rake_choice_grid_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  RakeChoiceGrid *self = RAKE_CHOICE_GRID (object);

  if (id == PROP_ABREAST)
    g_value_set_int (value, self->abreast);
  else if (id == PROP_CHOSEN)
    g_value_set_int (value, self->chosen);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_choice_grid_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_ABREAST)
    RAKE_CHOICE_GRID (object)->abreast = g_value_get_int (value);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_choice_grid_finalize (GObject *object)
{
  g_ptr_array_unref (RAKE_CHOICE_GRID (object)->rows);
  G_OBJECT_CLASS (rake_choice_grid_parent_class)->finalize (object);
}

static void
rake_choice_grid_class_init (RakeChoiceGridClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->get_property = rake_choice_grid_get_property;
  object_class->set_property = rake_choice_grid_set_property;
  object_class->finalize = rake_choice_grid_finalize;
  properties[PROP_ABREAST] =
      g_param_spec_int ("abreast", NULL, NULL, 1, MOST_ABREAST, 2,
                        G_PARAM_READWRITE | G_PARAM_CONSTRUCT_ONLY | G_PARAM_STATIC_STRINGS);
  properties[PROP_CHOSEN] = g_param_spec_int ("chosen", NULL, NULL, G_MININT, G_MAXINT, 0,
                                              G_PARAM_READABLE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, properties);
}

static void
rake_choice_grid_init (RakeChoiceGrid *self)
{
  self->rows = g_ptr_array_new ();
}
