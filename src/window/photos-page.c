/* photos-page.c - the photographs of the job. */
#include "photos-page.h"
#include "photo-desk.h"
#include "photo-list.h"
#include "photo-slip.h"
#include "photo-thumb.h"
#include "photo-view.h"
#include "say.h"
#include "wrap-layout.h"

#include "words.h"

#define THUMB_PX 128

struct _RakePhotosPage
{
  RakeSessionView parent_instance;

  GtkWidget *content, *faces, *strip, *view, *slip, *tools, *nothing, *shown;
  RakePhotoList *list;
  GtkSingleSelection *selection;
  RakeId face;  /* nil: all */
  RakeId photo; /* the one shown large */
  RakePhotoDesk *desk; /* whose news are heard; with the session */
  gboolean is_filling;
};

G_DEFINE_FINAL_TYPE (RakePhotosPage, rake_photos_page, RAKE_TYPE_SESSION_VIEW)

/* --- rows of the strip ------------------------------------------------------------------------------- */

static const RakePhoto *
find_photo (RakePhotosPage *self, RakeId id)
{
  RakeSession *session = rake_session_view_get_session (self);

  return session ? rake_job_find_photo (rake_session_get_job (session), id) : NULL;
}

/* "P800 · Tue 09:41", and in a second line what else is to be known of it. */
static char *
say_caption (const RakeJob *job, const RakePhoto *photo)
{
  const RakeStage *stage = rake_job_find_stage (job, photo->placed->photo.stage);
  g_autofree char *when = rake_say_when (photo->entry, rake_session_now_ms ());
  GString *text = g_string_new (NULL);

  if (stage)
    g_string_append_printf (text, "%s · ", rake_say_grade (stage));
  g_string_append (text, when);
  if (photo->withdrawal)
    g_string_append_printf (text, "\n%s", C_ ("photograph", "withdrawn"));
  else if (photo->registration)
    g_string_append_printf (text, "\n%s", C_ ("photograph", "laid on its face"));
  return g_string_free (text, FALSE);
}

static void
show_row (RakePhotosPage *self, GtkWidget *row, RakeId id)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakePhoto *photo = find_photo (self, id);
  GtkWidget *thumb = gtk_widget_get_first_child (row);
  g_autofree char *caption = photo ? say_caption (rake_session_get_job (session), photo) : NULL;

  rake_photo_thumb_show (RAKE_PHOTO_THUMB (thumb), session, id);
  gtk_label_set_label (GTK_LABEL (gtk_widget_get_next_sibling (thumb)), caption ? caption : "");
}

static void
on_item_changed (RakePhotoItem *item, GtkListItem *list_item)
{
  GtkWidget *row = gtk_list_item_get_child (list_item);
  GtkWidget *page = gtk_widget_get_ancestor (row, RAKE_TYPE_PHOTOS_PAGE);

  if (page)
    show_row (RAKE_PHOTOS_PAGE (page), row, rake_photo_item_get_photo (item));
}

static void
on_setup (RakePhotosPage *self, GtkListItem *list_item)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_VERTICAL, 4);
  GtkWidget *thumb = rake_photo_thumb_new (THUMB_PX);
  GtkWidget *caption = gtk_label_new (NULL);

  gtk_label_set_wrap (GTK_LABEL (caption), TRUE);
  gtk_label_set_lines (GTK_LABEL (caption), 2);
  gtk_label_set_ellipsize (GTK_LABEL (caption), PANGO_ELLIPSIZE_END);
  gtk_label_set_justify (GTK_LABEL (caption), GTK_JUSTIFY_CENTER);
  gtk_label_set_width_chars (GTK_LABEL (caption), 12);
  gtk_label_set_max_width_chars (GTK_LABEL (caption), 12);
  gtk_widget_set_valign (caption, GTK_ALIGN_START);
  gtk_widget_set_halign (thumb, GTK_ALIGN_CENTER);
  gtk_widget_add_css_class (caption, "small");
  gtk_widget_add_css_class (caption, "numbers");
  gtk_widget_add_css_class (row, "photo-row");
  gtk_box_append (GTK_BOX (row), thumb);
  gtk_box_append (GTK_BOX (row), caption);
  gtk_list_item_set_child (list_item, row);
}

static void
on_bind (RakePhotosPage *self, GtkListItem *list_item)
{
  RakePhotoItem *item = gtk_list_item_get_item (list_item);

  show_row (self, gtk_list_item_get_child (list_item), rake_photo_item_get_photo (item));
  g_signal_connect (item, "changed", G_CALLBACK (on_item_changed), list_item);
}

static void
on_unbind (RakePhotosPage *self, GtkListItem *list_item)
{
  GtkWidget *thumb = gtk_widget_get_first_child (gtk_list_item_get_child (list_item));

  g_signal_handlers_disconnect_by_data (gtk_list_item_get_item (list_item), list_item);
  rake_photo_thumb_show (RAKE_PHOTO_THUMB (thumb), NULL, RAKE_ID_NIL);
}

/* --- the one shown large ------------------------------------------------------------------------------- */

static void
give_tools_the_photo (RakePhotosPage *self)
{
  char id[RAKE_ID_TEXT_LENGTH + 1];

  rake_id_to_text (self->photo, id);
  for (GtkWidget *tool = gtk_widget_get_first_child (self->tools); tool;
       tool = gtk_widget_get_next_sibling (tool))
    if (GTK_IS_ACTIONABLE (tool))
      gtk_actionable_set_action_target_value (GTK_ACTIONABLE (tool), g_variant_new_string (id));
}

static void
show_large (RakePhotosPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakePhoto *photo = find_photo (self, self->photo);
  RakeId id = photo ? photo->id : RAKE_ID_NIL;

  if (!rake_id_equal (rake_photo_view_get_photo (RAKE_PHOTO_VIEW (self->view)), id) || !photo ||
      photo->withdrawal)
    rake_photo_view_set_photo (RAKE_PHOTO_VIEW (self->view), session, id);
  rake_photo_slip_show (RAKE_PHOTO_SLIP (self->slip), session, id);
  gtk_widget_set_sensitive (self->tools, photo && !photo->withdrawal);
  give_tools_the_photo (self);
}

static void
on_selected (RakePhotosPage *self)
{
  RakePhotoItem *item = gtk_single_selection_get_selected_item (self->selection);

  if (self->is_filling)
    return;
  self->photo = item ? rake_photo_item_get_photo (item) : RAKE_ID_NIL;
  show_large (self);
}

static void
scroll_to_selected (RakePhotosPage *self)
{
  guint position = gtk_single_selection_get_selected (self->selection);

  if (position != GTK_INVALID_LIST_POSITION)
    gtk_widget_activate_action (self->strip, "list.scroll-to-item", "u", position);
}

/* --- by face -------------------------------------------------------------------------------------------- */

static void on_face (GtkToggleButton *button, GParamSpec *pspec, RakePhotosPage *self);

static GtkWidget *
add_face_button (RakePhotosPage *self, const char *label, RakeId face, GtkWidget *group)
{
  GtkWidget *button = gtk_toggle_button_new_with_label (label);

  gtk_widget_add_css_class (button, "row-button");
  gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (button),
                               group ? GTK_TOGGLE_BUTTON (group) : NULL);
  g_object_set_data_full (G_OBJECT (button), "face", g_memdup2 (&face, sizeof face), g_free);
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (button), rake_id_equal (face, self->face));
  g_signal_connect (button, "notify::active", G_CALLBACK (on_face), self);
  gtk_box_append (GTK_BOX (self->faces), button);
  return button;
}

static guint
count_photos (const RakeJob *job, RakeId about)
{
  g_autoptr (GPtrArray) photos = rake_job_list_photos (job, about);

  return photos->len;
}

/* The faces that have photographs, and all. */
static void
show_faces (RakePhotosPage *self, const RakeJob *job)
{
  GtkWidget *child, *group;
  guint n_all = count_photos (job, RAKE_ID_NIL);
  g_autofree char *all = g_strdup_printf (C_ ("photographs", "All  %u"), n_all);

  while ((child = gtk_widget_get_first_child (self->faces)))
    gtk_box_remove (GTK_BOX (self->faces), child);
  if (!rake_job_find_face (job, self->face))
    self->face = RAKE_ID_NIL;
  group = add_face_button (self, all, RAKE_ID_NIL, NULL);
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);
      guint n_photos = count_photos (job, face->id);
      /* Translators: a face and how many photographs there are of it: "Front  12". */
      g_autofree char *label = g_strdup_printf (C_ ("photographs", "%s  %u"), face->name, n_photos);

      if (n_photos > 0 || rake_id_equal (face->id, self->face))
        add_face_button (self, label, face->id, group);
    }
  gtk_widget_set_visible (self->nothing, n_all == 0);
  gtk_widget_set_visible (self->shown, n_all > 0);
}

static void
show_list (RakePhotosPage *self, RakeSession *session)
{
  guint position;

  self->is_filling = TRUE;
  rake_photo_list_show (self->list, session, self->face);
  position = rake_photo_list_find (self->list, self->photo);
  if (position == G_MAXUINT && g_list_model_get_n_items (G_LIST_MODEL (self->list)) > 0)
    position = 0;
  gtk_single_selection_set_selected (self->selection,
                                     position == G_MAXUINT ? GTK_INVALID_LIST_POSITION : position);
  self->is_filling = FALSE;
  on_selected (self);
}

static void
on_face (GtkToggleButton *button, GParamSpec *pspec, RakePhotosPage *self)
{
  const RakeId *face = g_object_get_data (G_OBJECT (button), "face");

  if (self->is_filling || !gtk_toggle_button_get_active (button))
    return;
  self->face = *face;
  show_list (self, rake_session_view_get_session (self));
}

/* --- all of it ---------------------------------------------------------------------------------------- */

static void
show_all (RakePhotosPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);

  if (!session)
    {
      self->face = self->photo = RAKE_ID_NIL;
      show_list (self, NULL);
      return;
    }
  self->is_filling = TRUE;
  show_faces (self, rake_session_get_job (session));
  self->is_filling = FALSE;
  show_list (self, session);
}

/* What comes in is shown: whoever adds a picture wants to see it. */
static void
on_added (RakePhotoDesk *desk, const char *id, RakePhotosPage *self)
{
  RakeId photo;

  if (gtk_widget_get_mapped (GTK_WIDGET (self)) && rake_id_from_text (id, &photo))
    rake_photos_page_show_photo (self, photo);
}

static void
listen (RakePhotosPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);

  if (self->desk)
    g_signal_handlers_disconnect_by_data (self->desk, self);
  g_clear_object (&self->desk);
  if (session)
    self->desk = g_object_ref (rake_photo_desk_get (session));
  if (self->desk)
    g_signal_connect (self->desk, "added", G_CALLBACK (on_added), self);
}

static void
rake_photos_page_show (RakeSessionView *view, RakeShow what)
{
  RakePhotosPage *self = RAKE_PHOTOS_PAGE (view);

  if (what == RAKE_SHOW_SESSION)
    {
      self->face = self->photo = RAKE_ID_NIL;
      listen (self);
    }
  if (what == RAKE_SHOW_SESSION ||
      (what == RAKE_SHOW_JOB && gtk_widget_get_mapped (GTK_WIDGET (self))))
    show_all (self);
}

void
rake_photos_page_show_photo (RakePhotosPage *self, RakeId id)
{
  const RakePhoto *photo = find_photo (self, id);

  if (!photo)
    return;
  if (!rake_id_is_nil (self->face) &&
      (!photo->face || !rake_id_equal (photo->face->id, self->face)))
    self->face = RAKE_ID_NIL;
  self->photo = photo->id;
  show_all (self);
  scroll_to_selected (self);
}

RakePhotoPlace *
rake_photos_page_get_place (RakePhotosPage *self)
{
  RakePhotoPlace *place;

  if (rake_id_is_nil (self->face))
    return NULL;
  place = rake_photo_place_new ();
  place->face = self->face;
  return place;
}

static void
rake_photos_page_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (rake_photos_page_parent_class)->map (widget);
  show_all (RAKE_PHOTOS_PAGE (widget));
}

static void
rake_photos_page_dispose (GObject *object)
{
  RakePhotosPage *self = RAKE_PHOTOS_PAGE (object);

  if (self->desk)
    g_signal_handlers_disconnect_by_data (self->desk, self);
  g_clear_object (&self->desk);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_PHOTOS_PAGE);
  g_clear_object (&self->selection);
  g_clear_object (&self->list);
  G_OBJECT_CLASS (rake_photos_page_parent_class)->dispose (object);
}

static void
rake_photos_page_class_init (RakePhotosPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_photos_page_dispose;
  widget_class->map = rake_photos_page_map;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_photos_page_show;
  g_type_ensure (RAKE_TYPE_PHOTO_SLIP);
  g_type_ensure (RAKE_TYPE_PHOTO_VIEW);
  g_type_ensure (RAKE_TYPE_WRAP_LAYOUT);
  gtk_widget_class_set_css_name (widget_class, "photospage");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "photos-page.ui");
  gtk_widget_class_bind_template_child (widget_class, RakePhotosPage, content);
  gtk_widget_class_bind_template_child (widget_class, RakePhotosPage, faces);
  gtk_widget_class_bind_template_child (widget_class, RakePhotosPage, strip);
  gtk_widget_class_bind_template_child (widget_class, RakePhotosPage, view);
  gtk_widget_class_bind_template_child (widget_class, RakePhotosPage, slip);
  gtk_widget_class_bind_template_child (widget_class, RakePhotosPage, tools);
  gtk_widget_class_bind_template_child (widget_class, RakePhotosPage, nothing);
  gtk_widget_class_bind_template_child (widget_class, RakePhotosPage, shown);
  gtk_widget_class_bind_template_callback (widget_class, on_setup);
  gtk_widget_class_bind_template_callback (widget_class, on_bind);
  gtk_widget_class_bind_template_callback (widget_class, on_unbind);
}

static void
rake_photos_page_init (RakePhotosPage *self)
{
  self->list = rake_photo_list_new ();
  self->selection = gtk_single_selection_new (G_LIST_MODEL (g_object_ref (self->list)));
  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_grid_view_set_model (GTK_GRID_VIEW (self->strip), GTK_SELECTION_MODEL (self->selection));
  g_signal_connect_object (self->selection, "notify::selected-item", G_CALLBACK (on_selected), self,
                           G_CONNECT_SWAPPED);
}
