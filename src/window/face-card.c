/* face-card.c - one face in the list of faces. */
#include "face-card.h"
#include "face-thumb.h"
#include "say.h"
#include "wrap-layout.h"

#include "words.h"

struct _RakeFaceCard
{
  GtkWidget parent_instance;

  RakeSession *session;
  RakeId face;
  GtkWidget *content, *words, *name, *share;
  RakeFaceThumb *thumb;
  gboolean is_low;
};

G_DEFINE_FINAL_TYPE (RakeFaceCard, rake_face_card, GTK_TYPE_WIDGET)

static void
select_face (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeFaceCard *self = RAKE_FACE_CARD (widget);

  if (self->session)
    rake_session_select_face (self->session, self->face);
}

/* The focus stays where it was, on the map most of all: Space and Enter are the bench's. */
static void
on_released (RakeFaceCard *self)
{
  gtk_widget_activate_action (GTK_WIDGET (self), "face.select", NULL);
}

static GtkLayoutManager *
new_row_layout (void)
{
  return g_object_new (RAKE_TYPE_WRAP_LAYOUT, "spacing", 4, "stretches", TRUE, NULL);
}

/* Side by side the strip stays 64 px low, with the share under the name; the column shows a larger
 * map over the words, which stand in one row where they fit. */
static void
lay_out (RakeFaceCard *self, gboolean is_low)
{
  gtk_orientable_set_orientation (GTK_ORIENTABLE (self->content),
                                  is_low ? GTK_ORIENTATION_HORIZONTAL : GTK_ORIENTATION_VERTICAL);
  gtk_widget_set_layout_manager (self->words, is_low ? gtk_box_layout_new (GTK_ORIENTATION_VERTICAL)
                                                     : new_row_layout ());
  gtk_widget_set_valign (self->words, is_low ? GTK_ALIGN_CENTER : GTK_ALIGN_END);
  gtk_label_set_xalign (GTK_LABEL (self->share), is_low ? 0 : 1);
  gtk_widget_set_size_request (GTK_WIDGET (self->thumb), is_low ? 48 : 120, is_low ? 44 : 108);
  if (is_low)
    gtk_widget_add_css_class (GTK_WIDGET (self), "low");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self), "low");
}

static void
show_words (RakeFaceCard *self, const RakeFace *face)
{
  const RakeGate *gate = rake_session_find_gate (self->session, face);
  g_autofree char *share = face->stage && gate ? rake_say_share (gate->ready_fraction) : NULL;
  g_autofree char *ready = NULL;
  g_autofree char *label = NULL;
  gboolean is_selected = rake_session_get_face (self->session) == face;

  /* Translators: the share of a face's area that is ready: "46 % ready". */
  ready = share         ? g_strdup_printf (C_ ("face", "%s ready"), share)
          : face->stage ? g_strdup (C_ ("face", "being judged"))
                        : g_strdup (C_ ("face", "no schedule"));
  gtk_label_set_label (GTK_LABEL (self->name), face->name);
  gtk_label_set_label (GTK_LABEL (self->share), ready);
  label = g_strdup_printf (C_ ("face", "%s: %s"), face->name, ready);
  gtk_accessible_update_property (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_PROPERTY_LABEL, label, -1);
  gtk_accessible_update_state (GTK_ACCESSIBLE (self), GTK_ACCESSIBLE_STATE_SELECTED, is_selected,
                               -1);
  if (is_selected)
    gtk_widget_set_state_flags (GTK_WIDGET (self), GTK_STATE_FLAG_SELECTED, FALSE);
  else
    gtk_widget_unset_state_flags (GTK_WIDGET (self), GTK_STATE_FLAG_SELECTED);
}

void
rake_face_card_show (RakeFaceCard *self, RakeSession *session, RakeId face_id, gboolean is_low)
{
  const RakeFace *face = rake_job_find_face (rake_session_get_job (session), face_id);

  g_set_object (&self->session, session);
  self->face = face_id;
  if (!face)
    return;
  if (is_low != self->is_low)
    lay_out (self, is_low);
  self->is_low = is_low;
  show_words (self, face);
  rake_face_thumb_show (self->thumb, session, face_id);
}

RakeId
rake_face_card_get_face (RakeFaceCard *self)
{
  return self->face;
}

GtkWidget *
rake_face_card_new (void)
{
  return g_object_new (RAKE_TYPE_FACE_CARD, NULL);
}

static void
rake_face_card_dispose (GObject *object)
{
  g_clear_object (&RAKE_FACE_CARD (object)->session);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_FACE_CARD);
  G_OBJECT_CLASS (rake_face_card_parent_class)->dispose (object);
}

static void
rake_face_card_class_init (RakeFaceCardClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);
  static const guint keys[] = { GDK_KEY_space, GDK_KEY_KP_Space, GDK_KEY_Return, GDK_KEY_KP_Enter,
                                GDK_KEY_ISO_Enter };

  G_OBJECT_CLASS (klass)->dispose = rake_face_card_dispose;
  g_type_ensure (RAKE_TYPE_FACE_THUMB);
  gtk_widget_class_set_css_name (widget_class, "facecard");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_OPTION);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "face-card.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeFaceCard, content);
  gtk_widget_class_bind_template_child (widget_class, RakeFaceCard, words);
  gtk_widget_class_bind_template_child (widget_class, RakeFaceCard, name);
  gtk_widget_class_bind_template_child (widget_class, RakeFaceCard, share);
  gtk_widget_class_bind_template_child (widget_class, RakeFaceCard, thumb);
  gtk_widget_class_bind_template_callback (widget_class, on_released);
  gtk_widget_class_install_action (widget_class, "face.select", NULL, select_face);
  for (gsize i = 0; i < G_N_ELEMENTS (keys); i++)
    gtk_widget_class_add_binding_action (widget_class, keys[i], 0, "face.select", NULL);
}

static void
rake_face_card_init (RakeFaceCard *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
  lay_out (self, FALSE);
}
