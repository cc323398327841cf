/* shelf.c - the job files of the shop's folder as cards. */
#include "shelf.h"

struct _RakeShelf
{
  GtkWidget parent_instance;

  RakeSession *session;
};

enum
{
  PROP_0,
  PROP_SESSION,
  N_PROPS,
};

static GParamSpec *props[N_PROPS];

G_DEFINE_FINAL_TYPE (RakeShelf, rake_shelf, GTK_TYPE_WIDGET)

static void
rake_shelf_dispose (GObject *object)
{
  g_clear_object (&RAKE_SHELF (object)->session);
  G_OBJECT_CLASS (rake_shelf_parent_class)->dispose (object);
}

static void
rake_shelf_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_value_set_object (value, RAKE_SHELF (object)->session);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_shelf_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_set_object (&RAKE_SHELF (object)->session, g_value_get_object (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_shelf_class_init (RakeShelfClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->dispose = rake_shelf_dispose;
  object_class->get_property = rake_shelf_get_property;
  object_class->set_property = rake_shelf_set_property;
  props[PROP_SESSION] = g_param_spec_object ("session", NULL, NULL, RAKE_TYPE_SESSION,
                                             G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
}

static void
rake_shelf_init (RakeShelf *self)
{
}
