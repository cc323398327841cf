/* share-entry.c - how much of a zone is still glossy, by eye. */
#include "share-entry.h"

#include <math.h>
#include "words.h"

struct _RakeShareEntry
{
  GtkWidget parent_instance;

  RakeSession *session;
  RakeId zone;
  GtkWidget *content, *island_row;
  GtkAdjustment *share, *island;
};

G_DEFINE_FINAL_TYPE (RakeShareEntry, rake_share_entry, GTK_TYPE_WIDGET)

/* An eye tells 3 % from 4 %, but not 43 from 44. */
static double
find_step (double percent)
{
  return percent < 12 ? 1 : percent < 30 ? 2 : 5;
}

static void
on_share_changed (RakeShareEntry *self)
{
  double percent = gtk_adjustment_get_value (self->share);

  gtk_adjustment_set_step_increment (self->share, find_step (percent));
  gtk_widget_set_sensitive (self->island_row, percent > 0);
}

void
rake_share_entry_get (RakeShareEntry *self, double *fraction, double *island_mm)
{
  *fraction = gtk_adjustment_get_value (self->share) / 100;
  *island_mm = gtk_adjustment_get_value (self->island);
}

void
rake_share_entry_set (RakeShareEntry *self, double fraction, double island_mm)
{
  gtk_adjustment_set_value (self->share, isfinite (fraction) ? round (fraction * 100) : 0);
  gtk_adjustment_set_value (self->island, isfinite (island_mm) ? round (island_mm) : 0);
  on_share_changed (self);
}

void
rake_share_entry_show (RakeShareEntry *self, RakeSession *session, RakeId zone_id)
{
  const RakeZone *zone = rake_job_find_zone (rake_session_get_job (session), zone_id);
  const RakeJudgement *judgement = zone ? rake_session_get_judgement (session, zone) : NULL;
  double fraction = 0, island_mm = 0;

  if (g_set_object (&self->session, session) | !rake_id_equal (self->zone, zone_id))
    {
      self->zone = zone_id;
      if (judgement && judgement->facts.knowledge[RAKE_FACT_LOW_SPOT_FRACTION] == RAKE_KNOWN)
        fraction = judgement->facts.value[RAKE_FACT_LOW_SPOT_FRACTION];
      if (judgement && judgement->facts.knowledge[RAKE_FACT_LARGEST_ISLAND_MM] == RAKE_KNOWN)
        island_mm = judgement->facts.value[RAKE_FACT_LARGEST_ISLAND_MM];
      rake_share_entry_set (self, fraction, island_mm);
    }
}

gboolean
rake_share_entry_record (RakeShareEntry *self)
{
  double fraction, island_mm;

  if (!self->session)
    return FALSE;
  rake_share_entry_get (self, &fraction, &island_mm);
  if (fraction <= 0)
    return rake_session_say_state (self->session, self->zone, RAKE_STATE_UNIFORM, NAN, NAN);
  /* 0 mm is an island that was not measured. */
  return rake_session_say_state (self->session, self->zone, RAKE_STATE_LOW_SPOT, fraction,
                                 island_mm > 0 ? island_mm : NAN);
}

GtkWidget *
rake_share_entry_new (void)
{
  return g_object_new (RAKE_TYPE_SHARE_ENTRY, NULL);
}

static void
rake_share_entry_dispose (GObject *object)
{
  g_clear_object (&RAKE_SHARE_ENTRY (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_SHARE_ENTRY);
  G_OBJECT_CLASS (rake_share_entry_parent_class)->dispose (object);
}

static void
rake_share_entry_class_init (RakeShareEntryClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_share_entry_dispose;
  gtk_widget_class_set_css_name (widget_class, "shareentry");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "share-entry.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeShareEntry, content);
  gtk_widget_class_bind_template_child (widget_class, RakeShareEntry, island_row);
  gtk_widget_class_bind_template_child (widget_class, RakeShareEntry, share);
  gtk_widget_class_bind_template_child (widget_class, RakeShareEntry, island);
  gtk_widget_class_bind_template_callback (widget_class, on_share_changed);
}

static void
rake_share_entry_init (RakeShareEntry *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
