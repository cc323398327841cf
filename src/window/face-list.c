/* face-list.c - the faces of a job as small live maps. */
#include "face-list.h"
#include "face-card.h"
#include "wrap-layout.h"

#include "words.h"

struct _RakeFaceList
{
  RakeSessionView parent_instance;

  GtkOrientation orientation;
  GtkWidget *scroller, *viewport, *cards;
};

enum
{
  PROP_0,
  PROP_ORIENTATION,
};

G_DEFINE_FINAL_TYPE_WITH_CODE (RakeFaceList, rake_face_list, RAKE_TYPE_SESSION_VIEW,
                               G_IMPLEMENT_INTERFACE (GTK_TYPE_ORIENTABLE, NULL))

/* Cards are used again in their order, so the focus stays where it is. */
static void
show_cards (RakeFaceList *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeJob *job = session ? rake_session_get_job (session) : NULL;
  guint n_faces = job ? rake_job_get_n_faces (job) : 0;
  GtkWidget *card = gtk_widget_get_first_child (self->cards);

  for (guint i = 0; i < n_faces; i++)
    {
      if (!card)
        {
          card = rake_face_card_new ();
          gtk_box_append (GTK_BOX (self->cards), card);
        }
      rake_face_card_show (RAKE_FACE_CARD (card), session, rake_job_get_face (job, i)->id,
                           self->orientation == GTK_ORIENTATION_HORIZONTAL);
      card = gtk_widget_get_next_sibling (card);
    }
  while (card)
    {
      GtkWidget *gone = card;

      card = gtk_widget_get_next_sibling (card);
      gtk_box_remove (GTK_BOX (self->cards), gone);
    }
}

static void
rake_face_list_show (RakeSessionView *view, RakeShow what)
{
  if (what != RAKE_SHOW_BENCH && what != RAKE_SHOW_THEME)
    show_cards (RAKE_FACE_LIST (view));
}

/* A strip stands without the scroller, which would not ask how high the wrapped rows are. */
static void
place_cards (RakeFaceList *self, gboolean is_strip)
{
  g_autoptr (GtkWidget) cards = g_object_ref (self->cards);

  if (gtk_widget_get_parent (cards) == GTK_WIDGET (self))
    gtk_widget_unparent (cards);
  /* An empty viewport that follows the focus trips over the child it has not. */
  gtk_viewport_set_scroll_to_focus (GTK_VIEWPORT (self->viewport), !is_strip);
  gtk_viewport_set_child (GTK_VIEWPORT (self->viewport), is_strip ? NULL : cards);
  if (is_strip)
    gtk_widget_set_parent (cards, GTK_WIDGET (self));
  gtk_widget_set_visible (self->scroller, !is_strip);
}

static void
lay_out (RakeFaceList *self)
{
  gboolean is_strip = self->orientation == GTK_ORIENTATION_HORIZONTAL;
  GtkLayoutManager *layout =
      is_strip ? rake_wrap_layout_new (8) : gtk_box_layout_new (GTK_ORIENTATION_VERTICAL);

  if (!is_strip)
    gtk_box_layout_set_spacing (GTK_BOX_LAYOUT (layout), 12);
  gtk_widget_set_layout_manager (self->cards, layout);
  place_cards (self, is_strip);
  if (is_strip)
    gtk_widget_add_css_class (GTK_WIDGET (self), "strip");
  else
    gtk_widget_remove_css_class (GTK_WIDGET (self), "strip");
  show_cards (self);
}

static void
rake_face_list_get_property (GObject *object, guint id, GValue *value, GParamSpec *pspec)
{
  if (id == PROP_ORIENTATION)
    g_value_set_enum (value, RAKE_FACE_LIST (object)->orientation);
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_face_list_set_property (GObject *object, guint id, const GValue *value, GParamSpec *pspec)
{
  RakeFaceList *self = RAKE_FACE_LIST (object);

  if (id == PROP_ORIENTATION)
    {
      if (self->orientation == (GtkOrientation) g_value_get_enum (value))
        return;
      self->orientation = g_value_get_enum (value);
      lay_out (self);
      g_object_notify_by_pspec (object, pspec);
    }
  else
    G_OBJECT_WARN_INVALID_PROPERTY_ID (object, id, pspec);
}

static void
rake_face_list_dispose (GObject *object)
{
  RakeFaceList *self = RAKE_FACE_LIST (object);

  if (self->cards && gtk_widget_get_parent (self->cards) == GTK_WIDGET (self))
    gtk_widget_unparent (self->cards);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_FACE_LIST);
  G_OBJECT_CLASS (rake_face_list_parent_class)->dispose (object);
}

static void
rake_face_list_class_init (RakeFaceListClass *klass)
{
  GObjectClass *object_class = G_OBJECT_CLASS (klass);
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  object_class->dispose = rake_face_list_dispose;
  object_class->get_property = rake_face_list_get_property;
  object_class->set_property = rake_face_list_set_property;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_face_list_show;
  g_object_class_override_property (object_class, PROP_ORIENTATION, "orientation");
  gtk_widget_class_set_css_name (widget_class, "facelist");
  gtk_widget_class_set_accessible_role (widget_class, GTK_ACCESSIBLE_ROLE_LIST_BOX);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "face-list.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeFaceList, scroller);
  gtk_widget_class_bind_template_child (widget_class, RakeFaceList, viewport);
  gtk_widget_class_bind_template_child (widget_class, RakeFaceList, cards);
}

static void
rake_face_list_init (RakeFaceList *self)
{
  self->orientation = GTK_ORIENTATION_VERTICAL;
  gtk_widget_init_template (GTK_WIDGET (self));
  lay_out (self);
}
