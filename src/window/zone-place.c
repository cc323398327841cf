/* zone-place.c - where a zone lies on the map, for those who do not see the map. */
#include "zone-place.h"
#include "say.h"
#include "words.h"

struct _RakeZonePlace
{
  GtkWidget parent_instance;

  RakeId zone;
  char *label, *description;
  gboolean is_selected;
};

G_DEFINE_FINAL_TYPE (RakeZonePlace, rake_zone_place, GTK_TYPE_WIDGET)

/* An action of the window with this zone as its target. */
static void
activate_for_zone (GtkWidget *widget, const char *name)
{
  char text[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (RAKE_ZONE_PLACE (widget)->zone, text);
  gtk_widget_activate_action (widget, name, "s", text);
}

static void
select_zone (GtkWidget *widget, const char *name, GVariant *parameter)
{
  activate_for_zone (widget, "win.select-zone");
}

static void
say_all_even (GtkWidget *widget, const char *name, GVariant *parameter)
{
  activate_for_zone (widget, "win.select-zone");
  gtk_widget_activate_action (widget, "win.all-even", NULL);
}

static void
say_pass_done (GtkWidget *widget, const char *name, GVariant *parameter)
{
  activate_for_zone (widget, "win.select-zone");
  gtk_widget_activate_action (widget, "win.pass-done", NULL);
}

static void
say_brush (GtkWidget *widget, const char *name, GVariant *parameter)
{
  activate_for_zone (widget, "win.say-brush");
}

static void
accept_zone (GtkWidget *widget, const char *name, GVariant *parameter)
{
  activate_for_zone (widget, "win.accept");
}

static void
tell_facts (GtkWidget *widget, const char *name, GVariant *parameter)
{
  activate_for_zone (widget, "win.zone-facts");
}

static const RakeReason *
find_leading_reason (const RakeJudgement *judgement)
{
  for (guint i = 0; i < judgement->reasons->len; i++)
    {
      const RakeReason *reason = judgement->reasons->pdata[i];
      if (reason->verdict == judgement->verdict && !reason->is_accepted)
        return reason;
    }
  return NULL;
}

/* "Lower bass: Sand again. Low spots cover 14 %; level enough is 10 %." */
static char *
say_zone (const RakeZone *zone, const RakeJudgement *judgement)
{
  const RakeReason *reason = judgement ? find_leading_reason (judgement) : NULL;
  const char *verdict;

  if (!judgement)
    return g_strdup_printf (C_ ("zone: standing", "%s: not judged yet"), zone->name);
  verdict =
      judgement->is_accepted ? _ ("Accepted as it is") : rake_say_verdict (judgement->verdict);
  if (judgement->verdict == RAKE_VERDICT_NONE)
    return g_strdup_printf (C_ ("zone: standing", "%s: no verdict asked"), zone->name);
  if (!reason || !reason->sentence)
    return g_strdup_printf (C_ ("zone: standing", "%s: %s."), zone->name, verdict);
  return g_strdup_printf (C_ ("zone: standing", "%s: %s. %s"), zone->name, verdict,
                          reason->sentence);
}

/* Every further reason and what would clear it, a sentence each; "" when there is none. */
static char *
say_reasons (const RakeJudgement *judgement)
{
  const RakeReason *leading = judgement ? find_leading_reason (judgement) : NULL;
  GString *words = g_string_new (NULL);

  for (guint i = 0; judgement && i < judgement->reasons->len; i++)
    {
      const RakeReason *reason = judgement->reasons->pdata[i];
      if (reason != leading && reason->sentence)
        g_string_append_printf (words, "%s%s", words->len ? " " : "", reason->sentence);
      if (reason->clears && !reason->is_accepted)
        g_string_append_printf (words, "%s%s", words->len ? " " : "", reason->clears);
    }
  return g_string_free (words, FALSE);
}

static gboolean
rake_zone_place_contains (GtkWidget *widget, double x, double y)
{
  return FALSE;
}

static void
rake_zone_place_finalize (GObject *object)
{
  RakeZonePlace *self = RAKE_ZONE_PLACE (object);

  g_free (self->label);
  g_free (self->description);
  G_OBJECT_CLASS (rake_zone_place_parent_class)->finalize (object);
}

static void
rake_zone_place_class_init (RakeZonePlaceClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = rake_zone_place_finalize;
  widget_class->contains = rake_zone_place_contains;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_OPTION);
  gtk_widget_class_install_action (widget_class, "zone.select", NULL, select_zone);
  gtk_widget_class_install_action (widget_class, "zone.all-even", NULL, say_all_even);
  gtk_widget_class_install_action (widget_class, "zone.pass-done", NULL, say_pass_done);
  gtk_widget_class_install_action (widget_class, "zone.mark", NULL, say_brush);
  gtk_widget_class_install_action (widget_class, "zone.accept", NULL, accept_zone);
  gtk_widget_class_install_action (widget_class, "zone.facts", NULL, tell_facts);
}

static void
rake_zone_place_init (RakeZonePlace *self)
{
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
}

RakeZonePlace *
rake_zone_place_new (RakeId zone)
{
  RakeZonePlace *self = g_object_new (RAKE_TYPE_ZONE_PLACE, NULL);

  self->zone = zone;
  gtk_accessible_update_state (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_STATE_SELECTED, FALSE, -1);
  return self;
}

RakeId
rake_zone_place_get_zone (RakeZonePlace *self)
{
  return self->zone;
}

void
rake_zone_place_show (RakeZonePlace *self, const RakeZone *zone, const RakeJudgement *judgement,
                      gboolean is_selected)
{
  g_autofree char *label = say_zone (zone, judgement);
  g_autofree char *description = say_reasons (judgement);

  /* Only what is new: a screen reader says every change aloud. */
  if (g_strcmp0 (label, self->label) != 0)
    {
      g_free (self->label);
      self->label = g_steal_pointer (&label);
      gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                      self->label, -1);
    }
  if (g_strcmp0 (description, self->description) != 0)
    {
      g_free (self->description);
      self->description = g_steal_pointer (&description);
      gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_DESCRIPTION,
                                      self->description, -1);
    }
  if (is_selected != self->is_selected)
    {
      self->is_selected = is_selected;
      gtk_accessible_update_state (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_STATE_SELECTED,
                                   is_selected, -1);
    }
}
