/* camera-page.c - see camera-page.h. The camera itself is camera.c. */
#include "camera-page.h"
#include "camera.h"
#include "photo-desk.h"
#include "say.h"
#include "typed.h"
#include "wrap-layout.h"
#include "../imaging/photo-shrink.h"

#include "words.h"

#define MOST_VIEWS 6

struct _RakeCameraPage
{
  RakeSessionView parent_instance;

  GtkWidget *content, *states, *trouble, *live, *ghost, *strength, *ghost_text;
  GtkWidget *cameras, *camera_row, *view, *views, *place, *lamp, *is_look, *take_button;
  RakeCamera *camera;
  GCancellable *loading;
  RakeId ghost_id;
  gboolean is_listing, wants_focus;
};

G_DEFINE_FINAL_TYPE (RakeCameraPage, rake_camera_page, RAKE_TYPE_SESSION_VIEW)

/* NULL for none: an empty name is no name. */
/* --- the ghost ------------------------------------------------------------------------------------------ */

/* The one taken last of the view that is still there; without a view, of the face. */
static const RakePhoto *
find_ghost (RakeCameraPage *self, RakeSession *session)
{
  const RakeFace *face = rake_session_get_face (session);
  g_autofree char *view = rake_typed_words (self->view);
  g_autoptr (GPtrArray) photos = NULL;

  if (!face)
    return NULL;
  photos = view ? rake_job_list_view (rake_session_get_job (session), face->id, view)
                : rake_job_list_photos (rake_session_get_job (session), face->id);
  for (guint i = 0; i < photos->len; i++)
    {
      const RakePhoto *photo = photos->pdata[i];
      if (!photo->withdrawal)
        return photo;
    }
  return NULL;
}

static void
ghost_loaded (GdkTexture *texture, const GError *error, gpointer user_data)
{
  RakeCameraPage *self = user_data;

  gtk_picture_set_paintable (GTK_PICTURE (self->ghost), texture ? GDK_PAINTABLE (texture) : NULL);
}

static void
stop_loading (RakeCameraPage *self)
{
  if (self->loading)
    g_cancellable_cancel (self->loading);
  g_clear_object (&self->loading);
}

static void
say_ghost (RakeCameraPage *self, const RakePhoto *photo)
{
  g_autofree char *view = rake_typed_words (self->view);
  g_autofree char *when = photo ? rake_say_when (photo->entry, rake_session_now_ms ()) : NULL;
  g_autofree char *text = NULL;

  if (photo)
    /* Translators: when a photograph was taken. */
    text = g_strdup_printf (_ ("The ghost is the photograph of %s. Move the camera until both "
                               "lie upon each other."),
                            when);
  else if (view)
    text = g_strdup_printf (
        _ ("There is no photograph of the view “%s” yet. The next one begins it."), view);
  else
    text =
        g_strdup (_ ("There is no photograph of this face yet. Give the view a name, so that the "
                     "next one can be taken from the same place."));
  gtk_label_set_label (GTK_LABEL (self->ghost_text), text);
  gtk_widget_set_sensitive (self->strength, photo != NULL);
}

static void
show_ghost (RakeCameraPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakePhoto *photo = session ? find_ghost (self, session) : NULL;
  RakeId id = photo ? photo->id : RAKE_ID_NIL;

  say_ghost (self, photo);
  if (rake_id_equal (id, self->ghost_id))
    return;
  self->ghost_id = id;
  stop_loading (self);
  gtk_picture_set_paintable (GTK_PICTURE (self->ghost), NULL);
  if (!photo)
    return;
  self->loading = g_cancellable_new ();
  rake_photo_desk_load (rake_photo_desk_get (session), photo, RAKE_PHOTO_COPY_WORKING,
                        self->loading, ghost_loaded, self);
}

static void
strength_changed (RakeCameraPage *self)
{
  gtk_widget_set_opacity (self->ghost, gtk_range_get_value (GTK_RANGE (self->strength)) / 100);
}

/* --- views ------------------------------------------------------------------------------------------------ */

static void
view_chosen (GtkButton *button, RakeCameraPage *self)
{
  gtk_editable_set_text (GTK_EDITABLE (self->view), gtk_button_get_label (button));
}

static GPtrArray *
list_views (RakeSession *session)
{
  const RakeFace *face = rake_session_get_face (session);
  g_autoptr (GPtrArray) photos =
      rake_job_list_photos (rake_session_get_job (session), face ? face->id : RAKE_ID_NIL);
  GPtrArray *views = g_ptr_array_new ();

  for (guint i = 0; i < photos->len && views->len < MOST_VIEWS; i++)
    {
      const char *view = ((const RakePhoto *) photos->pdata[i])->placed->photo.view;
      if (view && *view && !g_ptr_array_find_with_equal_func (views, view, g_str_equal, NULL))
        g_ptr_array_add (views, (gpointer) view);
    }
  return views;
}

static void
show_views (RakeCameraPage *self, RakeSession *session)
{
  g_autoptr (GPtrArray) views = list_views (session);
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (self->views)))
    gtk_box_remove (GTK_BOX (self->views), child);
  for (guint i = 0; i < views->len; i++)
    {
      GtkWidget *button = gtk_button_new_with_label (views->pdata[i]);

      gtk_widget_add_css_class (button, "wide");
      g_signal_connect_object (button, "clicked", G_CALLBACK (view_chosen), self, 0);
      gtk_box_append (GTK_BOX (self->views), button);
    }
  gtk_widget_set_visible (self->views, views->len > 0);
}

/* --- where it belongs ---------------------------------------------------------------------------------------- */

static void
show_place (RakeCameraPage *self, RakeSession *session)
{
  const RakeFace *face = rake_session_get_face (session);
  g_autoptr (GPtrArray) zones = rake_session_get_zones (session);
  g_autoptr (GString) text = g_string_new (face ? face->name : _ ("the piece"));
  g_autofree char *deg = NULL, *lamp = NULL;

  /* A face that was not divided yet is one zone of its own name. */
  for (guint i = 0; i < zones->len; i++)
    if (!face || !g_str_equal (((const RakeZone *) zones->pdata[i])->name, face->name))
      g_string_append_printf (text, ", %s", ((const RakeZone *) zones->pdata[i])->name);
  gtk_label_set_label (GTK_LABEL (self->place), text->str);
  /* Translators: a direction around the face, in degrees. */
  lamp = g_strdup_printf (_ ("Lamp at %.0f°, as it is set at the bench"),
                          rake_session_get_bench (session)->lamp_deg);
  gtk_label_set_label (GTK_LABEL (self->lamp), lamp);
}

static RakePhotoPlace *
new_place (RakeCameraPage *self, RakeSession *session)
{
  RakePhotoPlace *place = rake_photo_place_new_from_selection (session);

  if (!place)
    place = rake_photo_place_new ();
  place->lamp_deg = rake_session_get_bench (session)->lamp_deg;
  g_free (place->view);
  place->view = rake_typed_words (self->view);
  place->is_look = gtk_switch_get_active (GTK_SWITCH (self->is_look));
  return place;
}

/* --- taking ----------------------------------------------------------------------------------------------------- */

typedef struct
{
  GBytes *rgb;
  int width, height;
  gint64 now_ms;
  RakePhotoPlace *place;
  RakePhotoDesk *desk;
} Taking;

static void
free_taking (gpointer data)
{
  Taking *taking = data;

  g_bytes_unref (taking->rgb);
  rake_photo_place_free (taking->place);
  g_object_unref (taking->desk);
  g_free (taking);
}

static void
encode_in_worker (GTask *task, gpointer source, gpointer task_data, GCancellable *cancellable)
{
  const Taking *taking = task_data;
  g_autoptr (RakePhotoPicture) picture = rake_photo_picture_new_from_rgb (
      g_bytes_get_data (taking->rgb, NULL), taking->width, taking->height);

  g_task_return_pointer (task, rake_photo_to_jpeg (picture, 95), (GDestroyNotify) g_bytes_unref);
}

static void
encoded (GObject *source, GAsyncResult *result, gpointer user_data)
{
  const Taking *taking = g_task_get_task_data (G_TASK (result));
  g_autoptr (GBytes) jpeg = g_task_propagate_pointer (G_TASK (result), NULL);
  g_autoptr (GDateTime) time = g_date_time_new_from_unix_local (taking->now_ms / 1000);
  /* without colons, which not every system takes in a file's name */
  g_autofree char *name = g_date_time_format (time, "camera-%Y-%m-%d-%H%M%S.jpg");

  if (jpeg)
    rake_photo_desk_add_bytes (taking->desk, jpeg, name, taking->now_ms, taking->place);
}

static void
take (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeCameraPage *self = RAKE_CAMERA_PAGE (widget);
  RakeSession *session = rake_session_view_get_session (self);
  int width, height;
  GBytes *rgb = session ? rake_camera_take (self->camera, &width, &height) : NULL;
  g_autoptr (GTask) task = NULL;
  Taking *taking;

  if (!rgb)
    return;
  taking = g_new0 (Taking, 1);
  *taking = (Taking){ rgb,
                      width,
                      height,
                      rake_session_now_ms (),
                      new_place (self, session),
                      g_object_ref (rake_photo_desk_get (session)) };
  task = g_task_new (NULL, NULL, encoded, NULL);
  g_task_set_task_data (task, taking, free_taking);
  g_task_run_in_thread (task, encode_in_worker);
}

static void
try_again (GtkWidget *widget, const char *action, GVariant *parameter)
{
  rake_camera_open (RAKE_CAMERA_PAGE (widget)->camera);
}

/* --- the camera ---------------------------------------------------------------------------------------------------- */

static void
show_names (RakeCameraPage *self)
{
  const char *const *names = rake_camera_get_names (self->camera);
  g_autoptr (GtkStringList) list = gtk_string_list_new (names);

  self->is_listing = TRUE;
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->cameras), G_LIST_MODEL (list));
  if (names[0])
    gtk_drop_down_set_selected (GTK_DROP_DOWN (self->cameras),
                                rake_camera_get_chosen (self->camera));
  self->is_listing = FALSE;
  gtk_widget_set_visible (self->camera_row, names[0] && names[1]);
}

static void
camera_chosen (RakeCameraPage *self)
{
  guint selected = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->cameras));

  if (!self->is_listing && selected != GTK_INVALID_LIST_POSITION)
    rake_camera_choose (self->camera, selected);
}

static void
camera_changed (RakeCameraPage *self)
{
  RakeCameraState state = rake_camera_get_state (self->camera);
  RakeSession *session = rake_session_view_get_session (self);

  gtk_stack_set_visible_child_name (GTK_STACK (self->states), state == RAKE_CAMERA_LIVE ? "live"
                                                              : state == RAKE_CAMERA_NONE
                                                                  ? "none"
                                                                  : "looking");
  if (state == RAKE_CAMERA_NONE)
    gtk_label_set_label (GTK_LABEL (self->trouble), rake_camera_get_sentence (self->camera));
  if (state != RAKE_CAMERA_LIVE)
    gtk_picture_set_paintable (GTK_PICTURE (self->live), NULL);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "camera.take",
                                 state == RAKE_CAMERA_LIVE && session &&
                                     !rake_session_is_read_only (session));
  show_names (self);
  if (state == RAKE_CAMERA_LIVE && self->wants_focus)
    {
      /* Space takes the picture, until somebody goes elsewhere to say something. */
      self->wants_focus = FALSE;
      gtk_widget_grab_focus (self->take_button);
    }
}

static void
show_frame (RakeCameraPage *self)
{
  gtk_picture_set_paintable (GTK_PICTURE (self->live),
                             GDK_PAINTABLE (rake_camera_get_texture (self->camera)));
}

/* --- all of it -------------------------------------------------------------------------------------------------------- */

static void
show_all (RakeCameraPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);

  if (!session)
    return;
  show_place (self, session);
  show_views (self, session);
  show_ghost (self);
}

static void
rake_camera_page_show (RakeSessionView *view, RakeShow what)
{
  RakeCameraPage *self = RAKE_CAMERA_PAGE (view);

  if (what == RAKE_SHOW_SESSION)
    {
      self->ghost_id = RAKE_ID_NIL;
      stop_loading (self);
      gtk_picture_set_paintable (GTK_PICTURE (self->ghost), NULL);
    }
  if (gtk_widget_get_mapped (GTK_WIDGET (view)) && what != RAKE_SHOW_THEME)
    show_all (self);
}

static void
rake_camera_page_map (GtkWidget *widget)
{
  RakeCameraPage *self = RAKE_CAMERA_PAGE (widget);

  GTK_WIDGET_CLASS (rake_camera_page_parent_class)->map (widget);
  show_all (self);
  self->wants_focus = TRUE;
  rake_camera_open (self->camera);
}

/* Nobody is watched when nobody looks. */
static void
rake_camera_page_unmap (GtkWidget *widget)
{
  rake_camera_close (RAKE_CAMERA_PAGE (widget)->camera);
  GTK_WIDGET_CLASS (rake_camera_page_parent_class)->unmap (widget);
}

static void
rake_camera_page_dispose (GObject *object)
{
  RakeCameraPage *self = RAKE_CAMERA_PAGE (object);

  stop_loading (self);
  if (self->camera)
    g_signal_handlers_disconnect_by_data (self->camera, self);
  g_clear_object (&self->camera);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_CAMERA_PAGE);
  G_OBJECT_CLASS (rake_camera_page_parent_class)->dispose (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, content);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, states);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, trouble);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, live);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, ghost);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, strength);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, ghost_text);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, cameras);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, camera_row);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, view);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, views);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, place);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, lamp);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, is_look);
  gtk_widget_class_bind_template_child (widget_class, RakeCameraPage, take_button);
}

static void
rake_camera_page_class_init (RakeCameraPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  g_type_ensure (RAKE_TYPE_WRAP_LAYOUT);
  G_OBJECT_CLASS (klass)->dispose = rake_camera_page_dispose;
  widget_class->map = rake_camera_page_map;
  widget_class->unmap = rake_camera_page_unmap;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_camera_page_show;
  gtk_widget_class_set_css_name (widget_class, "camerapage");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "camera-page.ui");
  bind_children (widget_class);
  gtk_widget_class_bind_template_callback (widget_class, show_ghost);
  gtk_widget_class_bind_template_callback (widget_class, strength_changed);
  gtk_widget_class_bind_template_callback (widget_class, camera_chosen);
  gtk_widget_class_install_action (widget_class, "camera.take", NULL, take);
  gtk_widget_class_install_action (widget_class, "camera.try-again", NULL, try_again);
  gtk_widget_class_add_binding_action (widget_class, GDK_KEY_space, 0, "camera.take", NULL);
}

static void
rake_camera_page_init (RakeCameraPage *self)
{
  self->camera = rake_camera_new ();
  gtk_widget_init_template (GTK_WIDGET (self));
  strength_changed (self);
  gtk_widget_action_set_enabled (GTK_WIDGET (self), "camera.take", FALSE);
  g_signal_connect_swapped (self->camera, "changed", G_CALLBACK (camera_changed), self);
  g_signal_connect_swapped (self->camera, "frame", G_CALLBACK (show_frame), self);
}
