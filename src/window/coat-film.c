/* coat-film.c - how thick one coat is. */
#include "coat-film.h"
#include "wrap-layout.h"

#include <math.h>
#include <rakelight/coating.h>
#include <rakelight/units.h>

#include "words.h"

#define MOST_FILM_UM 2000

struct _RakeCoatFilm
{
  GtkBox parent_instance;

  GtkWidget *wet, *film, *solids, *solids_row, *answer;
};

G_DEFINE_FINAL_TYPE (RakeCoatFilm, rake_coat_film, GTK_TYPE_BOX)

static gboolean
is_wet (RakeCoatFilm *self)
{
  return gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->wet));
}

static gboolean
read_number (GtkWidget *entry, RakeMeasure measure, double most, double *value, GError **error)
{
  const char *text = gtk_editable_get_text (GTK_EDITABLE (entry));

  *value = NAN;
  return *text == '\0' || rake_units_parse (measure, text, 0, most, value, error);
}

gboolean
rake_coat_film_take (RakeCoatFilm *self, RakeCoatBody *coat, GError **error)
{
  double film_um, solids = NAN;

  if (!read_number (self->film, RAKE_MEASURE_FILM, MOST_FILM_UM, &film_um, error) ||
      (is_wet (self) && !read_number (self->solids, RAKE_MEASURE_SHARE, 1, &solids, error)))
    return FALSE;
  coat->wet_um = is_wet (self) ? film_um : NAN;
  coat->dry_um = is_wet (self) ? NAN : film_um;
  coat->volume_solids_fraction = solids;
  return TRUE;
}

/* What the numbers come to, as they are typed. */
static void
on_typed (RakeCoatFilm *self)
{
  g_autoptr (RakeEntry) entry = rake_entry_new (RAKE_ENTRY_COAT);
  g_autoptr (GError) error = NULL;
  g_autofree char *film = NULL, *text = NULL;
  gboolean is_empty = *gtk_editable_get_text (GTK_EDITABLE (self->film)) == '\0';
  RakeNormal dry = { NAN, NAN };

  gtk_widget_set_visible (self->solids_row, is_wet (self));
  if (!is_empty && rake_coat_film_take (self, &entry->coat, &error))
    rake_coating_take (&entry->coat, &dry, &error);
  if (isfinite (dry.mean))
    {
      film = rake_units_to_text_with_doubt (RAKE_MEASURE_FILM, dry.mean, dry.sd);
      /* Translators: %s is a film: "One coat dries to 18 ± 3 µm." */
      text = g_strdup_printf (_ ("One coat dries to %s."), film);
    }
  else
    text =
        g_strdup (error ? error->message
                        : _ ("Left empty, the film is not known until you read it with a gauge."));
  gtk_label_set_label (GTK_LABEL (self->answer), text);
}

static GtkWidget *
add_entry (RakeCoatFilm *self, GtkWidget *row, const char *name, const char *hint)
{
  GtkWidget *label = gtk_label_new (name), *entry = gtk_entry_new ();

  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_entry_set_placeholder_text (GTK_ENTRY (entry), hint);
  gtk_widget_add_css_class (entry, "wide");
  gtk_accessible_update_relation (GTK_ACCESSIBLE (entry), GTK_ACCESSIBLE_RELATION_LABELLED_BY,
                                  label, NULL, -1);
  g_signal_connect_swapped (entry, "changed", G_CALLBACK (on_typed), self);
  gtk_box_append (GTK_BOX (row), label);
  gtk_box_append (GTK_BOX (row), entry);
  return entry;
}

static GtkWidget *
add_choice (RakeCoatFilm *self, GtkWidget *row, const char *label, GtkWidget *group)
{
  GtkWidget *button = gtk_toggle_button_new_with_label (label);

  gtk_widget_add_css_class (button, "wide");
  if (group)
    gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (button), GTK_TOGGLE_BUTTON (group));
  else
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), TRUE);
  g_signal_connect_swapped (button, "toggled", G_CALLBACK (on_typed), self);
  gtk_box_append (GTK_BOX (row), button);
  return button;
}

static void
rake_coat_film_class_init (RakeCoatFilmClass *klass)
{
}

static void
rake_coat_film_init (RakeCoatFilm *self)
{
  GtkWidget *film_row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  gtk_orientable_set_orientation (GTK_ORIENTABLE (self), GTK_ORIENTATION_VERTICAL);
  gtk_box_set_spacing (GTK_BOX (self), 8);
  self->solids_row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  self->answer = gtk_label_new ("");
  gtk_label_set_xalign (GTK_LABEL (self->answer), 0);
  gtk_label_set_wrap (GTK_LABEL (self->answer), TRUE);
  gtk_widget_add_css_class (self->answer, "soft");
  self->film = add_entry (self, film_row, _ ("Thickness of one coat"), C_ ("hint", "90 µm"));
  self->wet = add_choice (self, film_row, C_ ("coat", "wet"), NULL);
  add_choice (self, film_row, C_ ("coat", "dry"), self->wet);
  self->solids =
      add_entry (self, self->solids_row, _ ("Solids by volume, as sprayed"), C_ ("hint", "20 %"));
  gtk_box_append (GTK_BOX (self), film_row);
  gtk_box_append (GTK_BOX (self), self->solids_row);
  gtk_box_append (GTK_BOX (self), self->answer);
  on_typed (self);
}
