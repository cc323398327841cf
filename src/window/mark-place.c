/* mark-place.c - where a mark lies on the map, for those who do not see the map. */
#include "mark-place.h"
#include "say.h"
#include "words.h"

#include <rakelight/map.h>

struct _RakeMarkPlace
{
  GtkWidget parent_instance;

  RakeId mark;
  char *label;
};

G_DEFINE_FINAL_TYPE (RakeMarkPlace, rake_mark_place, GTK_TYPE_WIDGET)

static void
activate_for_mark (GtkWidget *widget, const char *name)
{
  char text[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (RAKE_MARK_PLACE (widget)->mark, text);
  gtk_widget_activate_action (widget, name, "s", text);
}

static void
say_still_there (GtkWidget *widget, const char *name, GVariant *parameter)
{
  activate_for_mark (widget, "win.still-there");
}

static void
say_gone (GtkWidget *widget, const char *name, GVariant *parameter)
{
  activate_for_mark (widget, "win.gone");
}

static void
keep_mark (GtkWidget *widget, const char *name, GVariant *parameter)
{
  activate_for_mark (widget, "win.keep");
}

static void
strike_mark (GtkWidget *widget, const char *name, GVariant *parameter)
{
  activate_for_mark (widget, "win.strike");
}

static const char *
find_standing (const RakeZone *zone, const RakeMark *mark)
{
  if (mark->was_repaired)
    return _ ("repaired");
  if (mark->closed_by)
    return _ ("gone");
  if (rake_session_wants_another_look (zone, mark))
    return _ ("from before: wants another look");
  if (rake_mark_is_ghost (zone, mark))
    return _ ("from before the last pass");
  if (rake_mark_is_carried (zone, mark))
    return _ ("carried from an earlier stage");
  return NULL;
}

/* "Scratch, 49 mm, Lower bass, from before: wants another look" */
static char *
say_mark (const RakeZone *zone, const RakeMark *mark)
{
  g_autofree char *what = rake_say_mark (mark);
  const char *standing = find_standing (zone, mark);

  return standing ? g_strdup_printf (C_ ("mark, zone, standing", "%s, %s, %s"), what, zone->name,
                                     standing)
                  : g_strdup_printf (C_ ("mark, zone", "%s, %s"), what, zone->name);
}

static gboolean
rake_mark_place_contains (GtkWidget *widget, double x, double y)
{
  return FALSE;
}

static void
rake_mark_place_finalize (GObject *object)
{
  g_free (RAKE_MARK_PLACE (object)->label);
  G_OBJECT_CLASS (rake_mark_place_parent_class)->finalize (object);
}

static void
rake_mark_place_class_init (RakeMarkPlaceClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = rake_mark_place_finalize;
  widget_class->contains = rake_mark_place_contains;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_LIST_ITEM);
  gtk_widget_class_install_action (widget_class, "mark.still-there", NULL, say_still_there);
  gtk_widget_class_install_action (widget_class, "mark.gone", NULL, say_gone);
  gtk_widget_class_install_action (widget_class, "mark.keep", NULL, keep_mark);
  gtk_widget_class_install_action (widget_class, "mark.strike", NULL, strike_mark);
}

static void
rake_mark_place_init (RakeMarkPlace *self)
{
}

RakeMarkPlace *
rake_mark_place_new (RakeId mark)
{
  RakeMarkPlace *self = g_object_new (RAKE_TYPE_MARK_PLACE, NULL);

  self->mark = mark;
  return self;
}

RakeId
rake_mark_place_get_mark (RakeMarkPlace *self)
{
  return self->mark;
}

void
rake_mark_place_show (RakeMarkPlace *self, const RakeZone *zone, const RakeMark *mark)
{
  g_autofree char *label = say_mark (zone, mark);

  if (g_strcmp0 (label, self->label) == 0)
    return;
  g_free (self->label);
  self->label = g_steal_pointer (&label);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, self->label,
                                  -1);
}
