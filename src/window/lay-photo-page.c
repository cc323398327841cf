/* lay-photo-page.c - a photograph laid on its face: the page, its words and buttons, keeping. */
#include "lay-photo-private.h"

#include "brush-bar.h"
#include "say.h"
#include "slip-words.h"

#include <math.h>
#include "words.h"

G_DEFINE_FINAL_TYPE (RakeLayPhotoPage, rake_lay_photo_page, RAKE_TYPE_SESSION_VIEW)

const RakePhoto *
rake_lay_find_photo (RakeLayPhotoPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);

  return session && !rake_id_is_nil (self->photo)
             ? rake_job_find_photo (rake_session_get_live_job (session), self->photo)
             : NULL;
}

/* --- the pairs in words --------------------------------------------------------------------------- */

static char *
say_pair (RakeLayPhotoPage *self, guint index)
{
  const RakeLayPair *pair = rake_laying_get_pair (self->laying, index);

  if (!pair->is_placed)
    return g_strdup (_ ("not put yet"));
  if (!isfinite (pair->off_mm))
    return g_strdup (_ ("put"));
  /* Translators: how far a pair of points is from where the fit puts it. */
  return g_strdup_printf (_ ("off by %.2f mm"), pair->off_mm);
}

static gboolean
is_odd (RakeLayPhotoPage *self, guint index)
{
  return self->laying->verdict == RAKE_PHOTO_PAIRS_ONE_IS_ODD && self->laying->odd == index;
}

/* Number, sign, words, a button; see show_pair_row(). */
static GtkWidget *
new_pair_row (RakeLayPhotoPage *self, guint index)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 10);
  g_autofree char *number = g_strdup_printf ("%u", index + 1);
  /* Translators: a button's name for those who do not see it. */
  g_autofree char *remove_words = g_strdup_printf (_ ("Take point %u away"), index + 1);
  GtkWidget *name = gtk_label_new (number), *off = gtk_label_new (NULL);
  GtkWidget *discard = gtk_button_new_from_icon_name ("list-remove-symbolic");

  gtk_widget_add_css_class (name, "section-heading");
  gtk_label_set_width_chars (GTK_LABEL (name), 2);
  gtk_widget_add_css_class (off, "numbers");
  gtk_label_set_xalign (GTK_LABEL (off), 0);
  gtk_widget_set_hexpand (off, TRUE);
  gtk_widget_add_css_class (discard, "icon-button");
  gtk_actionable_set_action_target (GTK_ACTIONABLE (discard), "u", index);
  gtk_actionable_set_action_name (GTK_ACTIONABLE (discard), "lay.remove");
  gtk_accessible_update_property (GTK_ACCESSIBLE (discard), GTK_ACCESSIBLE_PROPERTY_LABEL,
                                  remove_words, -1);
  gtk_box_append (GTK_BOX (row), name);
  gtk_box_append (GTK_BOX (row), gtk_image_new ());
  gtk_box_append (GTK_BOX (row), off);
  gtk_box_append (GTK_BOX (row), discard);
  return row;
}

static const char *
get_sign (RakeLayPhotoPage *self, guint index)
{
  if (is_odd (self, index))
    return "dialog-warning-symbolic";
  return rake_laying_get_pair (self->laying, index)->is_placed ? "emblem-ok-symbolic"
                                                               : "content-loading-symbolic";
}

static void
show_pair_row (RakeLayPhotoPage *self, GtkWidget *row, guint index)
{
  GtkWidget *sign = gtk_widget_get_next_sibling (gtk_widget_get_first_child (row));
  GtkWidget *off = gtk_widget_get_next_sibling (sign);
  g_autofree char *words = say_pair (self, index);

  gtk_image_set_from_icon_name (GTK_IMAGE (sign), get_sign (self, index));
  gtk_label_set_label (GTK_LABEL (off), words);
  if (is_odd (self, index))
    gtk_widget_add_css_class (off, "verdict-stop");
  else
    gtk_widget_remove_css_class (off, "verdict-stop");
}

/* While a point is dragged only words change: rows stay. */
static void
show_pair_rows (RakeLayPhotoPage *self)
{
  GtkWidget *row = gtk_widget_get_first_child (self->pairs);

  for (guint i = 0; self->laying && i < self->laying->pairs->len; i++)
    {
      if (!row)
        {
          row = new_pair_row (self, i);
          gtk_box_append (GTK_BOX (self->pairs), row);
        }
      show_pair_row (self, row, i);
      row = gtk_widget_get_next_sibling (row);
    }
  while (row)
    {
      GtkWidget *gone = row;

      row = gtk_widget_get_next_sibling (row);
      gtk_box_remove (GTK_BOX (self->pairs), gone);
    }
}

static char *
say_warning (const RakeLaying *laying)
{
  if (laying->fault)
    return g_strdup (laying->fault);
  if (laying->verdict == RAKE_PHOTO_PAIRS_ONE_IS_ODD)
    return g_strdup_printf (_ ("Pair %u lies %.1f mm from where the others put it. Look whether "
                               "both of its points are the same place."),
                            laying->odd + 1, laying->odd_mm);
  if (laying->verdict == RAKE_PHOTO_PAIRS_DISAGREE)
    return g_strdup (_ ("The pairs do not agree with each other. Put one more: then it shows which "
                        "of them is wrong."));
  return NULL;
}

static char *
say_summary (const RakeLaying *laying)
{
  guint n_placed = rake_laying_get_n_placed (laying);

  if (n_placed < RAKE_PHOTO_FIT_MIN_PAIRS)
    return g_strdup_printf (ngettext ("Put %u more point in the photograph.",
                                      "Put %u more points in the photograph.",
                                      RAKE_PHOTO_FIT_MIN_PAIRS - n_placed),
                            RAKE_PHOTO_FIT_MIN_PAIRS - n_placed);
  if (!laying->fit)
    return g_strdup ("");
  if (n_placed == RAKE_PHOTO_FIT_MIN_PAIRS)
    return g_strdup (_ ("Four pairs always agree. A fifth and a sixth show mistakes."));
  return g_strdup_printf (_ ("The pairs are off by %.2f mm, or %.1f pixels."),
                          rake_laying_get_rms_mm (laying), rake_photo_fit_get_rms_px (laying->fit));
}

void
rake_lay_show_pairs (RakeLayPhotoPage *self)
{
  g_autofree char *warning = self->laying ? say_warning (self->laying) : NULL;
  g_autofree char *summary = self->laying ? say_summary (self->laying) : NULL;

  show_pair_rows (self);
  gtk_widget_set_visible (self->warning, warning != NULL);
  gtk_label_set_label (GTK_LABEL (self->warning), warning ? warning : "");
  gtk_label_set_label (GTK_LABEL (self->summary), summary ? summary : "");
}

/* --- what can be done ------------------------------------------------------------------------------ */

static const RakeEntry *
find_fit_of_view (RakeLayPhotoPage *self, const RakePhoto *photo)
{
  RakeSession *session = rake_session_view_get_session (self);

  return photo ? rake_job_find_fit_of_view (rake_session_get_live_job (session), photo) : NULL;
}

static void
update_actions (RakeLayPhotoPage *self)
{
  GtkWidget *widget = GTK_WIDGET (self);
  RakeSession *session = rake_session_view_get_session (self);
  const RakePhoto *photo = rake_lay_find_photo (self);
  gboolean may_write =
      session && !rake_session_is_read_only (session) && !rake_session_is_in_the_past (session);
  guint n_pairs = self->laying ? self->laying->pairs->len : 0;

  gtk_widget_action_set_enabled (widget, "lay.keep",
                                 may_write && self->laying && self->laying->fit &&
                                     self->laying->is_changed);
  gtk_widget_action_set_enabled (widget, "lay.add", n_pairs > 0 && n_pairs < RAKE_LAYING_MAX_PAIRS);
  gtk_widget_action_set_enabled (widget, "lay.remove", n_pairs > RAKE_PHOTO_FIT_MIN_PAIRS);
  gtk_widget_set_sensitive (self->lens,
                            self->laying && rake_laying_get_n_placed (self->laying) >= 6);
  gtk_widget_set_visible (self->as_view, self->laying && (!photo || !photo->registration) &&
                                             !self->laying->is_changed &&
                                             find_fit_of_view (self, photo) != NULL);
  gtk_widget_set_sensitive (self->as_marks, photo && photo->registration);
}

void
rake_lay_changed (RakeLayPhotoPage *self)
{
  rake_lay_take_map (self);
  rake_lay_show_knobs (self);
  rake_lay_show_pairs (self);
  update_actions (self);
}

static void
keep (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeLayPhotoPage *self = RAKE_LAY_PHOTO_PAGE (widget);
  const RakePhoto *photo = rake_lay_find_photo (self);
  g_autoptr (RakeEntry) entry =
      photo && self->laying ? rake_laying_new_entry (self->laying, photo) : NULL;

  if (!entry || !rake_session_append (rake_session_view_get_session (self), &entry, 1))
    return;
  self->registration = entry->id;
  self->laying->is_changed = FALSE;
  update_actions (self);
}

static void
add_pair (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeLayPhotoPage *self = RAKE_LAY_PHOTO_PAGE (widget);
  guint index = self->laying ? rake_laying_add (self->laying) : G_MAXUINT;

  if (index == G_MAXUINT)
    return;
  rake_lay_changed (self);
  gtk_widget_grab_focus (self->photo_knobs->pdata[index]);
}

static void
remove_pair (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeLayPhotoPage *self = RAKE_LAY_PHOTO_PAGE (widget);

  if (!self->laying)
    return;
  rake_laying_remove (self->laying, g_variant_get_uint32 (parameter));
  rake_lay_changed (self);
}

static void
take_view (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeLayPhotoPage *self = RAKE_LAY_PHOTO_PAGE (widget);
  const RakeEntry *fit = find_fit_of_view (self, rake_lay_find_photo (self));

  if (!fit || !self->laying)
    return;
  rake_laying_take (self->laying, &fit->registration);
  rake_lay_changed (self);
}

static void
lens_toggled (RakeLayPhotoPage *self)
{
  if (!self->laying)
    return;
  rake_laying_set_radial (self->laying,
                          gtk_check_button_get_active (GTK_CHECK_BUTTON (self->lens)));
  rake_lay_changed (self);
}

static void
over_changed (RakeLayPhotoPage *self)
{
  self->over_opacity = gtk_range_get_value (GTK_RANGE (self->over_scale)) / 100;
  rake_photo_view_queue_overlays (self->photo_view);
}

static void
under_changed (RakeLayPhotoPage *self)
{
  rake_outline_view_set_opacity (self->outline_view,
                                 gtk_range_get_value (GTK_RANGE (self->under_scale)) / 100);
}

static void
mode_changed (RakeLayPhotoPage *self)
{
  gboolean is_marks = gtk_toggle_button_get_active (GTK_TOGGLE_BUTTON (self->as_marks));

  self->mode = is_marks ? RAKE_LAY_MARKS : RAKE_LAY_POINTS;
  gtk_widget_set_visible (self->for_points, !is_marks);
  gtk_widget_set_visible (self->for_marks, is_marks);
  gtk_widget_set_visible (self->brushes, is_marks);
  rake_lay_show_knobs (self);
  rake_photo_view_queue_overlays (self->photo_view);
}

/* --- which photograph ------------------------------------------------------------------------------ */

static void
show_name (RakeLayPhotoPage *self, const RakePhoto *photo)
{
  g_autofree char *when =
      photo ? rake_say_when (photo->entry, rake_session_now_ms ()) : g_strdup ("");
  const char *name = photo ? photo->entry->photo.name : NULL;
  g_autofree char *words = name ? g_strdup_printf ("%s\n%s", name, when) : g_strdup (when);
  const char *refusal = NULL;

  if (!photo)
    refusal = _ ("There is no photograph to lay. Add one to the job first.");
  else if (photo->withdrawal)
    refusal = _ ("This photograph was withdrawn: its picture is gone.");
  else if (!photo->face)
    refusal = _ ("This photograph belongs to no face yet. Say first where it belongs.");
  gtk_label_set_label (GTK_LABEL (self->name), words);
  gtk_widget_set_visible (self->name, photo != NULL);
  gtk_widget_set_visible (self->refusal, refusal != NULL);
  gtk_label_set_label (GTK_LABEL (self->refusal), refusal ? refusal : "");
  gtk_widget_set_visible (self->tools, refusal == NULL);
}

/* From the job as it is now: pairs that were kept, or suggestions. */
static void
begin (RakeLayPhotoPage *self, const RakePhoto *photo)
{
  g_clear_pointer (&self->laying, rake_laying_free);
  self->held = G_MAXUINT;
  self->registration = RAKE_ID_NIL;
  if (photo && photo->face && !photo->withdrawal)
    self->laying = rake_laying_new (photo);
  if (photo && photo->registration)
    self->registration = photo->registration->id;
  if (self->laying)
    gtk_check_button_set_active (GTK_CHECK_BUTTON (self->lens), self->laying->wants_radial);
  if (!photo || !photo->registration)
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->as_points), TRUE);
  rake_lay_changed (self);
}

void
rake_lay_photo_page_open (RakeLayPhotoPage *self, RakeId id)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakePhoto *photo =
      session ? rake_job_find_photo (rake_session_get_live_job (session), id) : NULL;

  if (photo && rake_id_equal (photo->id, self->photo))
    return;
  rake_lay_drop_picture (self);
  self->photo = photo ? photo->id : RAKE_ID_NIL;
  rake_photo_view_set_photo (self->photo_view, session, self->photo);
  rake_outline_view_show (self->outline_view, photo ? photo->face : NULL);
  show_name (self, photo);
  begin (self, photo);
  if (!photo || photo->withdrawal)
    return;
  rake_photo_view_want_loupe (self->photo_view, session);
  rake_lay_read_picture (self);
}

/* It was withdrawn meanwhile: nothing of the picture is kept, nor what was being put. */
static void
let_go (RakeLayPhotoPage *self, const RakePhoto *photo)
{
  rake_lay_marks_cancel (self);
  rake_lay_drop_picture (self);
  rake_photo_view_set_photo (self->photo_view, rake_session_view_get_session (self), photo->id);
  begin (self, photo);
}

/* The job is another one, or shows something else. */
static void
show_job (RakeLayPhotoPage *self)
{
  const RakePhoto *photo = rake_lay_find_photo (self);
  RakeId registration = photo && photo->registration ? photo->registration->id : RAKE_ID_NIL;

  if (!photo && !rake_id_is_nil (self->photo))
    {
      rake_lay_photo_page_open (self, RAKE_ID_NIL);
      return;
    }
  show_name (self, photo);
  rake_outline_view_show (self->outline_view, photo ? photo->face : NULL);
  if (photo && photo->withdrawal)
    {
      let_go (self, photo);
      return;
    }
  /* What was kept elsewhere, or undone, is shown; what is being put here is not taken away. */
  if (!rake_id_equal (registration, self->registration) &&
      !(self->laying && self->laying->is_changed))
    begin (self, photo);
  else
    rake_lay_changed (self);
}

static void
rake_lay_photo_page_show (RakeSessionView *view, RakeShow what)
{
  RakeLayPhotoPage *self = RAKE_LAY_PHOTO_PAGE (view);
  RakeSession *session = rake_session_view_get_session (view);

  if (what == RAKE_SHOW_SESSION)
    {
      g_object_set (self->brushes, "session", session, NULL);
      rake_lay_drop_picture (self);
      self->photo = RAKE_ID_NIL;
      rake_photo_view_set_photo (self->photo_view, NULL, RAKE_ID_NIL);
      rake_outline_view_show (self->outline_view, NULL);
      show_name (self, NULL);
      begin (self, NULL);
    }
  else if (what == RAKE_SHOW_JOB && gtk_widget_get_mapped (GTK_WIDGET (view)))
    show_job (self);
}

/* --- class ---------------------------------------------------------------------------------------- */

static void
rake_lay_photo_page_map (GtkWidget *widget)
{
  RakeLayPhotoPage *self = RAKE_LAY_PHOTO_PAGE (widget);

  GTK_WIDGET_CLASS (rake_lay_photo_page_parent_class)->map (widget);
  if (!rake_id_is_nil (self->photo))
    show_job (self);
}

static void
rake_lay_photo_page_dispose (GObject *object)
{
  RakeLayPhotoPage *self = RAKE_LAY_PHOTO_PAGE (object);

  if (self->photo_view)
    {
      rake_lay_drop_picture (self);
      rake_lay_drop_knobs (self);
      g_signal_handlers_disconnect_by_data (self->photo_view, self);
      g_signal_handlers_disconnect_by_data (self->outline_view, self);
      self->photo_view = NULL;
    }
  g_clear_pointer (&self->laying, rake_laying_free);
  g_clear_pointer (&self->photo_knobs, g_ptr_array_unref);
  g_clear_pointer (&self->face_knobs, g_ptr_array_unref);
  g_clear_pointer (&self->drawn_px, g_array_unref);
  g_clear_pointer (&self->drawn, rake_shape_unref);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_LAY_PHOTO_PAGE);
  G_OBJECT_CLASS (rake_lay_photo_page_parent_class)->dispose (object);
}

static void
bind_children (GtkWidgetClass *widget_class)
{
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "lay-photo-page.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, content);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, photo_slot);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, face_slot);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, name);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, refusal);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, tools);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, as_points);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, as_marks);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, for_points);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, for_marks);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, as_view);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, pairs);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, warning);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, summary);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, lens);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, keep);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, under_pointer);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, brushes);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, over_scale);
  gtk_widget_class_bind_template_child (widget_class, RakeLayPhotoPage, under_scale);
  gtk_widget_class_bind_template_callback (widget_class, lens_toggled);
  gtk_widget_class_bind_template_callback (widget_class, over_changed);
  gtk_widget_class_bind_template_callback (widget_class, under_changed);
  gtk_widget_class_bind_template_callback (widget_class, mode_changed);
}

static void
rake_lay_photo_page_class_init (RakeLayPhotoPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_lay_photo_page_dispose;
  widget_class->map = rake_lay_photo_page_map;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_lay_photo_page_show;
  gtk_widget_class_set_css_name (widget_class, "layphotopage");
  g_type_ensure (RAKE_TYPE_BRUSH_BAR);
  bind_children (widget_class);
  gtk_widget_class_install_action (widget_class, "lay.keep", NULL, keep);
  gtk_widget_class_install_action (widget_class, "lay.add", NULL, add_pair);
  gtk_widget_class_install_action (widget_class, "lay.remove", "u", remove_pair);
  gtk_widget_class_install_action (widget_class, "lay.take-view", NULL, take_view);
}

static void
rake_lay_photo_page_init (RakeLayPhotoPage *self)
{
  self->held = G_MAXUINT;
  self->photo_knobs = g_ptr_array_new ();
  self->face_knobs = g_ptr_array_new ();
  self->drawn_px = g_array_new (FALSE, FALSE, sizeof (double));
  self->over_opacity = 1;
  gtk_widget_init_template (GTK_WIDGET (self));
  rake_slip_let_wrap (self->tools);
  self->photo_view = rake_photo_view_new ();
  self->outline_view = rake_outline_view_new ();
  gtk_widget_set_hexpand (GTK_WIDGET (self->photo_view), TRUE);
  gtk_widget_set_vexpand (GTK_WIDGET (self->photo_view), TRUE);
  gtk_widget_set_hexpand (GTK_WIDGET (self->outline_view), TRUE);
  gtk_widget_set_vexpand (GTK_WIDGET (self->outline_view), TRUE);
  gtk_box_append (GTK_BOX (self->photo_slot), GTK_WIDGET (self->photo_view));
  gtk_box_append (GTK_BOX (self->face_slot), GTK_WIDGET (self->outline_view));
  rake_lay_add_knob_hands (self);
  rake_lay_add_overlay (self);
  over_changed (self);
  under_changed (self);
}
