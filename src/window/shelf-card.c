/* shelf-card.c - one job on the shelf. */
#include "shelf-card.h"

#include "picture.h"
#include "say.h"
#include "theme.h"

#include <adwaita.h>
#include <glib/gi18n.h>
#include <rakelight/job-file.h>
#include <rakelight/map.h>

#define PICTURE_WIDTH_PX 220
#define PICTURE_HEIGHT_PX 180
#define MARGIN_PX 22.0

struct _RakeShelfCard
{
  GtkButton parent_instance;

  char *path;
  gboolean is_read;
  RakeJob *job;
  GPtrArray *judgements; /* of the first face */
  double lamp_deg;
  GtkWidget *map, *name, *piece, *standing, *ring;
};

G_DEFINE_FINAL_TYPE (RakeShelfCard, rake_shelf_card, GTK_TYPE_BUTTON)

static void
draw_map (GtkDrawingArea *area, cairo_t *cr, int width, int height, gpointer user_data)
{
  RakeShelfCard *self = user_data;
  const RakeFace *face;
  RakeMapView view = {
    .theme = rake_theme_now (),
    .width_px = width,
    .height_px = height,
    .lamp_deg = self->lamp_deg,
    .text_px = 0,
  };

  if (self->job == NULL || rake_job_get_n_faces (self->job) == 0)
    return;
  face = rake_job_get_face (self->job, 0);
  rake_map_view_fit (&view, face, MARGIN_PX);
  rake_map_draw_face (cr, &view, face, (RakeJudgement *const *) self->judgements->pdata);
}

/* Where the lamp stood at the last look, so that the card is lit as the piece was. */
static double
find_last_lamp (const RakeJob *job)
{
  for (guint i = rake_job_get_n_entries (job); i > 0; i--)
    {
      const RakeEntry *entry = rake_job_get_entry (job, i - 1);

      if (entry->kind == RAKE_ENTRY_LOOK && entry->look.light == RAKE_LIGHT_LAMP &&
          entry->look.lamp_deg >= 0)
        return entry->look.lamp_deg;
    }
  return 315;
}

static void
show_job (RakeShelfCard *self, RakeRules *ours, gint64 now_ms)
{
  g_autoptr (RakeRules) rules = rake_rules_for_job (self->job, ours);
  const RakeJobFacts *facts = rake_job_find_facts (self->job);
  const RakeFace *face =
      rake_job_get_n_faces (self->job) > 0 ? rake_job_get_face (self->job, 0) : NULL;
  g_autoptr (RakeGate) gate = NULL;
  g_autofree char *stage = NULL;
  g_autofree char *share = NULL;
  g_autofree char *standing = NULL;

  if (facts != NULL)
    {
      gtk_label_set_text (GTK_LABEL (self->name), facts->name);
      gtk_label_set_text (GTK_LABEL (self->piece), facts->piece != NULL ? facts->piece : "");
    }
  if (face == NULL)
    return;
  self->lamp_deg = find_last_lamp (self->job);
  for (guint i = 0; i < face->zones->len; i++)
    g_ptr_array_add (self->judgements,
                     rake_rules_judge (rules, self->job, face->zones->pdata[i], now_ms));
  gate = rake_rules_gate (rules, self->job, face, (RakeJudgement *const *) self->judgements->pdata);
  if (face->stage == NULL)
    return;
  stage = rake_say_stage (face->stage);
  share = rake_say_share (gate->ready_fraction);
  standing =
      g_strdup_printf (_ ("%s: %s, %s ready"), face->name, stage, share != NULL ? share : "0 %");
  gtk_label_set_text (GTK_LABEL (self->standing), standing);
  rake_picture_show_ring (RAKE_PICTURE (self->ring), gate->ready_fraction, FALSE);
}

gboolean
rake_shelf_card_read (RakeShelfCard *self, RakeRules *rules, gint64 now_ms)
{
  g_autoptr (GError) error = NULL;
  g_autoptr (RakeJobFile) file = NULL;

  if (self->is_read)
    return FALSE;
  self->is_read = TRUE;
  file = rake_job_file_open (self->path, RAKE_JOB_FILE_READ_ONLY, &error);
  if (file != NULL)
    self->job = rake_job_file_load (file, &error);
  if (self->job == NULL)
    {
      gtk_label_set_text (GTK_LABEL (self->standing), error->message);
      gtk_widget_add_css_class (self->standing, "verdict-stop");
      return TRUE;
    }
  show_job (self, rules, now_ms);
  gtk_widget_queue_draw (self->map);
  return TRUE;
}

const char *
rake_shelf_card_get_path (RakeShelfCard *self)
{
  return self->path;
}

static void
rake_shelf_card_dispose (GObject *object)
{
  RakeShelfCard *self = RAKE_SHELF_CARD (object);

  g_clear_pointer (&self->path, g_free);
  g_clear_pointer (&self->judgements, g_ptr_array_unref);
  g_clear_pointer (&self->job, rake_job_free);
  G_OBJECT_CLASS (rake_shelf_card_parent_class)->dispose (object);
}

static void
rake_shelf_card_class_init (RakeShelfCardClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = rake_shelf_card_dispose;
}

static GtkWidget *
new_label (const char *style)
{
  GtkWidget *label = gtk_label_new (NULL);

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 26);
  gtk_widget_add_css_class (label, style);
  return label;
}

static void
rake_shelf_card_init (RakeShelfCard *self)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 6);
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  self->lamp_deg = 315;
  self->judgements = g_ptr_array_new_with_free_func ((GDestroyNotify) rake_judgement_free);
  self->map = gtk_drawing_area_new ();
  gtk_drawing_area_set_content_width (GTK_DRAWING_AREA (self->map), PICTURE_WIDTH_PX);
  gtk_drawing_area_set_content_height (GTK_DRAWING_AREA (self->map), PICTURE_HEIGHT_PX);
  gtk_drawing_area_set_draw_func (GTK_DRAWING_AREA (self->map), draw_map, self, NULL);
  self->name = new_label ("heading");
  self->piece = new_label ("soft");
  self->standing = new_label ("soft");
  self->ring = rake_picture_new (20, 20);
  gtk_widget_set_valign (self->ring, GTK_ALIGN_START);
  gtk_box_append (GTK_BOX (row), self->ring);
  gtk_box_append (GTK_BOX (row), self->standing);
  gtk_box_append (GTK_BOX (box), self->map);
  gtk_box_append (GTK_BOX (box), self->name);
  gtk_box_append (GTK_BOX (box), self->piece);
  gtk_box_append (GTK_BOX (box), row);
  gtk_button_set_child (GTK_BUTTON (self), box);
  gtk_widget_add_css_class (GTK_WIDGET (self), "slip");
  gtk_widget_add_css_class (GTK_WIDGET (self), "shelf-card");
  g_signal_connect_object (adw_style_manager_get_default (), "notify::dark",
                           G_CALLBACK (gtk_widget_queue_draw), self->map, G_CONNECT_SWAPPED);
}

GtkWidget *
rake_shelf_card_new (const char *path)
{
  RakeShelfCard *self = g_object_new (RAKE_TYPE_SHELF_CARD, NULL);
  g_autofree char *file_name = g_path_get_basename (path);

  self->path = g_strdup (path);
  gtk_label_set_text (GTK_LABEL (self->name), file_name);
  gtk_accessible_update_relation (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_RELATION_LABELLED_BY,
                                  self->name, NULL, -1);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (self), "win.open-job");
  gtk_actionable_set_action_target (GTK_ACTIONABLE (self), "s", path);
  return GTK_WIDGET (self);
}
