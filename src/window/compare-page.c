/* compare-page.c - photographs of one view beside each other. */
#include "compare-page.h"

#include "compare-strip.h"
#include "photo-desk.h"
#include "photo-work.h"
#include "say.h"
#include "session-private.h"
#include "stamp.h"
#include "wipe-view.h"

#include "words.h"

struct _RakeComparePage
{
  RakeSessionView parent_instance;

  GtkWidget *content, *first, *second, *modes, *as_row, *wipe_slot, *how, *refusal, *tools;
  RakeWipeView *wipe;
  RakeCompareStrip *strip;
  GArray *photos; /* RakeId: what there is to compare, in the order in which they were taken */
  guint chosen[2];
  guint64 stamp;  /* of what is shown */
  GCancellable *reading[2];
  gboolean are_laid; /* shown from straight above */
  gboolean is_filling;
};

G_DEFINE_FINAL_TYPE (RakeComparePage, rake_compare_page, RAKE_TYPE_SESSION_VIEW)

static const RakePhoto *
find_photo (RakeComparePage *self, guint index)
{
  RakeSession *session = rake_session_view_get_session (self);

  return session && index < self->photos->len
             ? rake_job_find_photo (rake_session_get_live_job (session),
                                    g_array_index (self->photos, RakeId, index))
             : NULL;
}

/* --- the two that are wiped ------------------------------------------------------------------------ */

static void
stop_reading (RakeComparePage *self)
{
  for (guint side = 0; side < 2; side++)
    {
      if (self->reading[side])
        g_cancellable_cancel (self->reading[side]);
      g_clear_object (&self->reading[side]);
    }
}

static void
show_failure (RakeComparePage *self, const GError *error)
{
  gtk_label_set_label (GTK_LABEL (self->how), error->message);
}

static void
take_laid (RakeComparePage *self, guint side, GdkTexture *texture, double x_mm, double y_mm,
           double px_per_mm, const GError *error)
{
  graphene_rect_t box;

  g_clear_object (&self->reading[side]);
  if (!texture)
    {
      show_failure (self, error);
      return;
    }
  graphene_rect_init (&box, (float) x_mm, (float) y_mm,
                      (float) (gdk_texture_get_width (texture) / px_per_mm),
                      (float) (gdk_texture_get_height (texture) / px_per_mm));
  rake_wipe_view_set_picture (self->wipe, side, texture, &box);
}

static void
take_first_laid (GdkTexture *texture, double x_mm, double y_mm, double px_per_mm,
                 const GError *error, gpointer data)
{
  take_laid (data, 0, texture, x_mm, y_mm, px_per_mm, error);
}

static void
take_second_laid (GdkTexture *texture, double x_mm, double y_mm, double px_per_mm,
                  const GError *error, gpointer data)
{
  take_laid (data, 1, texture, x_mm, y_mm, px_per_mm, error);
}

/* As it is, as wide as any other. */
static void
take_upright (RakeComparePage *self, guint side, GdkTexture *texture, const GError *error)
{
  graphene_rect_t box;

  g_clear_object (&self->reading[side]);
  if (!texture)
    {
      show_failure (self, error);
      return;
    }
  graphene_rect_init (&box, 0, 0, 1000,
                      1000 * (float) gdk_texture_get_height (texture) /
                          (float) gdk_texture_get_width (texture));
  rake_wipe_view_set_picture (self->wipe, side, texture, &box);
}

static void
take_first_upright (GdkTexture *texture, const GError *error, gpointer data)
{
  take_upright (data, 0, texture, error);
}

static void
take_second_upright (GdkTexture *texture, const GError *error, gpointer data)
{
  take_upright (data, 1, texture, error);
}

static void
read_side (RakeComparePage *self, guint side, const RakePhoto *photo)
{
  RakeSession *session = rake_session_view_get_session (self);

  self->reading[side] = g_cancellable_new ();
  if (self->are_laid)
    rake_photo_work_lay (session, photo, RAKE_PHOTO_FLAT_PX, self->reading[side],
                         side == 0 ? take_first_laid : take_second_laid, self);
  else
    rake_photo_desk_load (rake_photo_desk_get (session), photo, RAKE_PHOTO_COPY_WORKING,
                          self->reading[side], side == 0 ? take_first_upright : take_second_upright,
                          self);
}

static void
show_pair (RakeComparePage *self)
{
  const RakePhoto *photos[2] = { find_photo (self, self->chosen[0]),
                                 find_photo (self, self->chosen[1]) };

  stop_reading (self);
  for (guint side = 0; side < 2; side++)
    {
      g_autofree char *words =
          photos[side]
              ? rake_say_photo (rake_session_get_live_job (rake_session_view_get_session (self)),
                                photos[side], rake_session_now_ms ())
              : NULL;
      rake_wipe_view_set_picture (self->wipe, side, NULL, NULL);
      rake_wipe_view_set_words (self->wipe, side, words);
    }
  if (!photos[0] || !photos[1])
    return;
  self->are_laid = photos[0]->registration && photos[1]->registration && photos[0]->face &&
                   photos[0]->face == photos[1]->face;
  gtk_label_set_label (GTK_LABEL (self->how),
                       self->are_laid ? _ ("Both lie on the map and are seen from straight above: "
                                           "the same place is the same place.")
                                      : _ ("Not both lie on the map: they are compared as they "
                                           "are. Lay both to compare places."));
  for (guint side = 0; side < 2; side++)
    read_side (self, side, photos[side]);
}

/* --- what there is ---------------------------------------------------------------------------------- */

static void
list_photos (RakeComparePage *self, const RakePhoto *photo)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeJob *job = rake_session_get_live_job (session);
  const char *view = photo->placed->photo.view;
  g_autoptr (GPtrArray) photos =
      view && *view && photo->face ? rake_job_list_view (job, photo->face->id, view) : NULL;

  if (!photos || photos->len < 2)
    {
      g_clear_pointer (&photos, g_ptr_array_unref);
      photos = rake_job_list_photos (job, photo->face ? photo->face->id : RAKE_ID_NIL);
    }
  g_array_set_size (self->photos, 0);
  for (guint i = photos->len; i-- > 0;)
    {
      const RakePhoto *one = photos->pdata[i];
      if (!one->withdrawal)
        g_array_append_val (self->photos, one->id);
    }
}

static void
fill_choices (RakeComparePage *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  g_autoptr (GtkStringList) names = gtk_string_list_new (NULL);

  for (guint i = 0; i < self->photos->len; i++)
    {
      g_autofree char *name = rake_say_photo (rake_session_get_live_job (session),
                                              find_photo (self, i), rake_session_now_ms ());
      gtk_string_list_append (names, name);
    }
  self->is_filling = TRUE;
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->first), G_LIST_MODEL (names));
  gtk_drop_down_set_model (GTK_DROP_DOWN (self->second), G_LIST_MODEL (names));
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->first), self->chosen[0]);
  gtk_drop_down_set_selected (GTK_DROP_DOWN (self->second), self->chosen[1]);
  self->is_filling = FALSE;
}

static void
show_all (RakeComparePage *self)
{
  gboolean has_two = self->photos->len >= 2;

  gtk_widget_set_visible (self->refusal, !has_two);
  gtk_widget_set_visible (self->tools, has_two);
  gtk_widget_set_visible (self->modes, has_two);
  gtk_widget_set_visible (self->how, has_two);
  if (has_two)
    {
      fill_choices (self);
      show_pair (self);
    }
  rake_compare_strip_show (self->strip, rake_session_view_get_session (self),
                           has_two ? self->photos : NULL);
}

/* Of all that would make the page another one. */
static guint64
get_stamp (RakeComparePage *self)
{
  guint64 stamp = RAKE_STAMP_START;

  for (guint i = 0; i < self->photos->len; i++)
    {
      const RakePhoto *photo = find_photo (self, i);

      stamp = rake_stamp_mix (stamp, rake_id_hash_key (&g_array_index (self->photos, RakeId, i)));
      if (!photo)
        continue;
      stamp = rake_stamp_mix (stamp, rake_id_hash_key (&photo->placed->id));
      if (photo->registration)
        stamp = rake_stamp_mix (stamp, rake_id_hash_key (&photo->registration->id));
    }
  return stamp;
}

/* Where it stands in the list; @otherwise when it does not any more. */
static guint
find_index (RakeComparePage *self, RakeId id, guint otherwise)
{
  for (guint i = 0; i < self->photos->len; i++)
    if (rake_id_equal (g_array_index (self->photos, RakeId, i), id))
      return i;
  return otherwise;
}

void
rake_compare_page_open (RakeComparePage *self, RakeId id)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakePhoto *photo =
      session ? rake_job_find_photo (rake_session_get_live_job (session), id) : NULL;

  g_array_set_size (self->photos, 0);
  self->chosen[0] = self->chosen[1] = 0;
  if (photo)
    list_photos (self, photo);
  self->chosen[1] = find_index (self, id, 0);
  /* With the one before; the first of all with the one after. */
  if (self->chosen[1] == 0 && self->photos->len > 1)
    self->chosen[1] = 1;
  self->chosen[0] = self->chosen[1] > 0 ? self->chosen[1] - 1 : 0;
  self->stamp = get_stamp (self);
  show_all (self);
}

static void
choice_changed (RakeComparePage *self)
{
  if (self->is_filling || self->photos->len < 2)
    return;
  self->chosen[0] = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->first));
  self->chosen[1] = gtk_drop_down_get_selected (GTK_DROP_DOWN (self->second));
  show_pair (self);
}

static void
mode_changed (RakeComparePage *self)
{
  gboolean is_row = gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->as_row));

  gtk_stack_set_visible_child_name (GTK_STACK (self->modes), is_row ? "row" : "wipe");
  gtk_widget_set_sensitive (self->first, !is_row);
  gtk_widget_set_sensitive (self->second, !is_row);
}

static gboolean
is_withdrawn (RakeComparePage *self, RakeId id)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakePhoto *photo = rake_job_find_photo (rake_session_get_live_job (session), id);

  return photo && photo->withdrawal;
}

/* Another bench may have withdrawn a photograph, struck one out, or laid one. What is compared stays chosen as
 * long as it is there. */
static void
show_job (RakeComparePage *self)
{
  const RakeId shown[2] = { g_array_index (self->photos, RakeId, self->chosen[0]),
                            g_array_index (self->photos, RakeId, self->chosen[1]) };
  g_autoptr (GArray) before = g_array_copy (self->photos);
  const RakePhoto *photo = NULL;

  for (guint i = 0; i < before->len && !photo; i++)
    photo = find_photo (self, i);
  if (photo)
    list_photos (self, photo);
  else
    g_array_set_size (self->photos, 0);
  if (get_stamp (self) == self->stamp)
    return;
  self->stamp = get_stamp (self);
  self->chosen[0] = find_index (self, shown[0], 0);
  self->chosen[1] = find_index (self, shown[1], self->photos->len > 1 ? 1 : 0);
  if (self->chosen[0] == self->chosen[1] && self->photos->len > 1)
    self->chosen[0] = self->chosen[1] > 0 ? self->chosen[1] - 1 : 1;
  show_all (self);
  if (is_withdrawn (self, shown[0]) || is_withdrawn (self, shown[1]))
    rake_session_say (rake_session_view_get_session (self),
                      _ ("A photograph that was compared was withdrawn: its picture is gone."));
}

static void
rake_compare_page_show (RakeSessionView *view, RakeShow what)
{
  RakeComparePage *self = RAKE_COMPARE_PAGE (view);

  if (what == RAKE_SHOW_SESSION)
    rake_compare_page_open (self, RAKE_ID_NIL);
  else if (what == RAKE_SHOW_JOB && gtk_widget_get_mapped (GTK_WIDGET (view)) &&
           self->photos->len > 0)
    show_job (self);
}

/* What was withdrawn while another page was shown. */
static void
rake_compare_page_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (rake_compare_page_parent_class)->map (widget);
  rake_compare_page_show (RAKE_SESSION_VIEW (widget), RAKE_SHOW_JOB);
}

/* --- class ------------------------------------------------------------------------------------------ */

static void
rake_compare_page_dispose (GObject *object)
{
  RakeComparePage *self = RAKE_COMPARE_PAGE (object);

  stop_reading (self);
  g_clear_pointer (&self->photos, g_array_unref);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_COMPARE_PAGE);
  G_OBJECT_CLASS (rake_compare_page_parent_class)->dispose (object);
}

static void
rake_compare_page_class_init (RakeComparePageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_compare_page_dispose;
  widget_class->map = rake_compare_page_map;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_compare_page_show;
  gtk_widget_class_set_css_name (widget_class, "comparepage");
  g_type_ensure (RAKE_TYPE_COMPARE_STRIP);
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "compare-page.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeComparePage, content);
  gtk_widget_class_bind_template_child (widget_class, RakeComparePage, first);
  gtk_widget_class_bind_template_child (widget_class, RakeComparePage, second);
  gtk_widget_class_bind_template_child (widget_class, RakeComparePage, modes);
  gtk_widget_class_bind_template_child (widget_class, RakeComparePage, as_row);
  gtk_widget_class_bind_template_child (widget_class, RakeComparePage, wipe_slot);
  gtk_widget_class_bind_template_child (widget_class, RakeComparePage, strip);
  gtk_widget_class_bind_template_child (widget_class, RakeComparePage, how);
  gtk_widget_class_bind_template_child (widget_class, RakeComparePage, refusal);
  gtk_widget_class_bind_template_child (widget_class, RakeComparePage, tools);
  gtk_widget_class_bind_template_callback (widget_class, choice_changed);
  gtk_widget_class_bind_template_callback (widget_class, mode_changed);
}

static void
rake_compare_page_init (RakeComparePage *self)
{
  self->photos = g_array_new (FALSE, FALSE, sizeof (RakeId));
  gtk_widget_init_template (GTK_WIDGET (self));
  self->wipe = rake_wipe_view_new ();
  gtk_widget_set_hexpand (GTK_WIDGET (self->wipe), TRUE);
  gtk_widget_set_vexpand (GTK_WIDGET (self->wipe), TRUE);
  gtk_box_append (GTK_BOX (self->wipe_slot), GTK_WIDGET (self->wipe));
}
