/* slip-section.c - a part of the zone slip behind its heading. */
#include "slip-section.h"

#include "words.h"

struct _RakeSlipSection
{
  GtkWidget parent_instance;

  GtkWidget *expander, *heading, *rows;
};

static guint fill_signal;

G_DEFINE_FINAL_TYPE (RakeSlipSection, rake_slip_section, GTK_TYPE_WIDGET)

static void
fill (RakeSlipSection *self)
{
  GtkWidget *row;

  while ((row = gtk_widget_get_first_child (self->rows)))
    gtk_box_remove (GTK_BOX (self->rows), row);
  if (gtk_expander_get_expanded (GTK_EXPANDER (self->expander)))
    g_signal_emit (self, fill_signal, 0);
}

static void
on_expanded (RakeSlipSection *self)
{
  fill (self);
}

void
rake_slip_section_show (RakeSlipSection *self, const char *heading, guint n_items)
{
  /* Translators: the heading of a list and how many are in it: "Passes 3". */
  g_autofree char *text = g_strdup_printf (C_ ("section", "%s  %u"), heading, n_items);

  gtk_label_set_label (GTK_LABEL (self->heading), text);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self->expander), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  text, -1);
  gtk_widget_set_visible (GTK_WIDGET (self), n_items > 0);
  fill (self);
}

void
rake_slip_section_add (RakeSlipSection *self, GtkWidget *row)
{
  gtk_box_append (GTK_BOX (self->rows), row);
}

void
rake_slip_section_set_open (RakeSlipSection *self, gboolean is_open)
{
  gtk_expander_set_expanded (GTK_EXPANDER (self->expander), is_open);
}

static void
rake_slip_section_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_SLIP_SECTION);
  G_OBJECT_CLASS (rake_slip_section_parent_class)->dispose (object);
}

static void
rake_slip_section_class_init (RakeSlipSectionClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_slip_section_dispose;
  fill_signal = g_signal_new ("fill", G_TYPE_FROM_CLASS (klass), G_SIGNAL_RUN_LAST, 0, NULL, NULL,
                              NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_css_name (widget_class, "slipsection");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_GROUP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "slip-section.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeSlipSection, expander);
  gtk_widget_class_bind_template_child (widget_class, RakeSlipSection, heading);
  gtk_widget_class_bind_template_child (widget_class, RakeSlipSection, rows);
  gtk_widget_class_bind_template_callback (widget_class, on_expanded);
}

static void
rake_slip_section_init (RakeSlipSection *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
