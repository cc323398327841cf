/* zone-editor.c - divides the shown face into zones, and says each zone's facts. */
#include "zone-editor.h"

struct _RakeZoneEditor
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

G_DEFINE_FINAL_TYPE (RakeZoneEditor, rake_zone_editor, GTK_TYPE_WIDGET)

static void
rake_zone_editor_dispose (GObject *object)
{
  g_clear_object (&RAKE_ZONE_EDITOR (object)->session);
  G_OBJECT_CLASS (rake_zone_editor_parent_class)->dispose (object);
}

static void
rake_zone_editor_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_value_set_object (value, RAKE_ZONE_EDITOR (object)->session);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_zone_editor_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_set_object (&RAKE_ZONE_EDITOR (object)->session, g_value_get_object (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_zone_editor_class_init (RakeZoneEditorClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->dispose = rake_zone_editor_dispose;
  object_class->get_property = rake_zone_editor_get_property;
  object_class->set_property = rake_zone_editor_set_property;
  props[PROP_SESSION] = g_param_spec_object ("session", NULL, NULL, RAKE_TYPE_SESSION,
                                             G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
}

static void
rake_zone_editor_init (RakeZoneEditor *self)
{
}
