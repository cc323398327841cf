/* zones-summary.c - several selected zones at once. */
#include "zones-summary.h"
#include "picture.h"
#include "say.h"

#include "words.h"

#define GLYPH_PX 18

struct _RakeZonesSummary
{
  GtkWidget parent_instance;

  GtkWidget *content, *heading, *facts, *rows;
};

G_DEFINE_FINAL_TYPE (RakeZonesSummary, rake_zones_summary, GTK_TYPE_WIDGET)

static GtkWidget *
new_row (RakeSession *session, const RakeZone *zone)
{
  const RakeJudgement *judgement = rake_session_get_judgement (session, zone);
  const char *word =
      judgement->is_accepted ? C_ ("verdict", "Accepted") : rake_say_verdict (judgement->verdict);
  GtkWidget *button = gtk_button_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 10);
  GtkWidget *glyph = rake_picture_new (GLYPH_PX, GLYPH_PX);
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkWidget *name = gtk_label_new (zone->name), *verdict = gtk_label_new (word);
  char id[RAKE_ID_TEXT_LENGTH + 1];

  rake_picture_show_verdict (RAKE_PICTURE (glyph), judgement->verdict);
  gtk_label_set_xalign (GTK_LABEL (name), 0);
  gtk_label_set_wrap (GTK_LABEL (name), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (name), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_xalign (GTK_LABEL (verdict), 0);
  gtk_widget_add_css_class (verdict, rake_say_verdict_class (judgement->verdict));
  gtk_widget_add_css_class (verdict, "small");
  gtk_widget_set_visible (verdict, *word != '\0');
  gtk_widget_set_valign (words, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (words), name);
  gtk_box_append (GTK_BOX (words), verdict);
  gtk_box_append (GTK_BOX (box), glyph);
  gtk_box_append (GTK_BOX (box), words);
  gtk_button_set_child (GTK_BUTTON (button), box);
  gtk_widget_set_focus_on_click (button, FALSE);
  gtk_widget_add_css_class (button, "zone-row");
  gtk_accessible_update_relation (GTK_ACCESSIBLE (button), GTK_ACCESSIBLE_RELATION_LABELLED_BY,
                                  name, verdict, NULL, -1);
  rake_id_to_text (zone->id, id);
  gtk_actionable_set_action_target (GTK_ACTIONABLE (button), "s", id);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (button), "slip.select-zone");
  return button;
}

void
rake_zones_summary_show (RakeZonesSummary *self, RakeSession *session, GPtrArray *zones)
{
  guint n_zones = zones ? zones->len : 0, n_settled = 0;
  double area_mm2 = 0;
  g_autofree char *heading = NULL;
  g_autofree char *area = NULL;
  g_autofree char *facts = NULL;
  GtkWidget *row;

  while ((row = gtk_widget_get_first_child (self->rows)))
    gtk_box_remove (GTK_BOX (self->rows), row);
  for (guint i = 0; i < n_zones; i++)
    {
      const RakeZone *zone = zones->pdata[i];

      area_mm2 += rake_shape_get_area_mm2 (zone->shape);
      n_settled += rake_judgement_is_settled (rake_session_get_judgement (session, zone)) != 0;
      gtk_box_append (GTK_BOX (self->rows), new_row (session, zone));
    }
  heading = g_strdup_printf (ngettext ("%u zone", "%u zones", n_zones), n_zones);
  area = rake_say_area (area_mm2);
  /* Translators: an area, and how many of the selected zones are ready: "640 cm² · 2 ready". */
  facts = g_strdup_printf (ngettext ("%s · %u ready", "%s · %u ready", n_settled), area, n_settled);
  gtk_label_set_label (GTK_LABEL (self->heading), heading);
  gtk_label_set_label (GTK_LABEL (self->facts), facts);
}

static void
rake_zones_summary_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_ZONES_SUMMARY);
  G_OBJECT_CLASS (rake_zones_summary_parent_class)->dispose (object);
}

static void
rake_zones_summary_class_init (RakeZonesSummaryClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_zones_summary_dispose;
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "zones-summary.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeZonesSummary, content);
  gtk_widget_class_bind_template_child (widget_class, RakeZonesSummary, heading);
  gtk_widget_class_bind_template_child (widget_class, RakeZonesSummary, facts);
  gtk_widget_class_bind_template_child (widget_class, RakeZonesSummary, rows);
}

static void
rake_zones_summary_init (RakeZonesSummary *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
