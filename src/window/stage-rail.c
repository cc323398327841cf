/* stage-rail.c - the schedule as a row of steps, each with its share that is ready. */
#include "stage-rail.h"

struct _RakeStageRail
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

G_DEFINE_FINAL_TYPE (RakeStageRail, rake_stage_rail, GTK_TYPE_WIDGET)

static void
rake_stage_rail_dispose (GObject *object)
{
  g_clear_object (&RAKE_STAGE_RAIL (object)->session);
  G_OBJECT_CLASS (rake_stage_rail_parent_class)->dispose (object);
}

static void
rake_stage_rail_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_value_set_object (value, RAKE_STAGE_RAIL (object)->session);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_stage_rail_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  if (id == PROP_SESSION)
    g_set_object (&RAKE_STAGE_RAIL (object)->session, g_value_get_object (value));
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_stage_rail_class_init (RakeStageRailClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);

  object_class->dispose = rake_stage_rail_dispose;
  object_class->get_property = rake_stage_rail_get_property;
  object_class->set_property = rake_stage_rail_set_property;
  props[PROP_SESSION] = g_param_spec_object ("session", NULL, NULL, RAKE_TYPE_SESSION,
                                             G_PARAM_READWRITE | G_PARAM_STATIC_STRINGS);
  g_object_class_install_properties (object_class, N_PROPS, props);
}

static void
rake_stage_rail_init (RakeStageRail *self)
{
}
