/* wheels-page.c - the buffing bench. A wheel's card is wheel-card.c. */
#include "wheels-page.h"
#include "cool-watch.h"
#include "picture.h"
#include "say.h"
#include "wheel-card.h"
#include "wheel-dialog.h"

#include <math.h>
#include <rakelight/wheel.h>

#include "words.h"

#define TICK_S 1
#define RING_PX 44

struct _RakeWheelsPage
{
  RakeSessionView parent_instance;

  GtkWidget *content, *wheels, *no_wheels, *timers, *no_timers, *narrow, *narrow_section;
  guint ticking;
};

G_DEFINE_FINAL_TYPE (RakeWheelsPage, rake_wheels_page, RAKE_TYPE_SESSION_VIEW)

static void
remove_children (GtkWidget *box)
{
  GtkWidget *child;

  while ((child = gtk_widget_get_first_child (box)))
    gtk_box_remove (GTK_BOX (box), child);
}

/* --- wheels ---------------------------------------------------------------------------------------- */

static void
show_wheels (RakeWheelsPage *self, RakeSession *session)
{
  const RakeJob *job = rake_session_get_job (session);
  g_autoptr (GArray) wheels = rake_wheel_list (job);

  remove_children (self->wheels);
  for (guint i = 0; i < wheels->len; i++)
    {
      RakeId id = g_array_index (wheels, RakeId, i);
      GtkWidget *card = rake_wheel_card_new (session, id);

      if (card)
        gtk_box_append (GTK_BOX (self->wheels), card);
    }
  gtk_widget_set_visible (self->no_wheels, wheels->len == 0);
}

static gboolean
take_wheel (RakeWheelsPage *self, GVariant *parameter, RakeId *id)
{
  RakeSession *session = rake_session_view_get_session (self);

  return session && rake_id_from_text (g_variant_get_string (parameter, NULL), id) &&
         rake_job_find_wheel (rake_session_get_job (session), *id);
}

static void
note_work (RakeWheelsPage *self, GVariant *parameter, RakeWheelWork work)
{
  RakeId id;

  if (take_wheel (self, parameter, &id))
    rake_session_note_wheel_work (rake_session_view_get_session (self), id, work);
}

static void
note_checked (GtkWidget *widget, const char *action, GVariant *parameter)
{
  note_work (RAKE_WHEELS_PAGE (widget), parameter, RAKE_WHEEL_WORK_CHECKED);
}

static void
note_stripped (GtkWidget *widget, const char *action, GVariant *parameter)
{
  note_work (RAKE_WHEELS_PAGE (widget), parameter, RAKE_WHEEL_WORK_STRIPPED);
}

static void
note_replaced (GtkWidget *widget, const char *action, GVariant *parameter)
{
  note_work (RAKE_WHEELS_PAGE (widget), parameter, RAKE_WHEEL_WORK_REPLACED);
}

static void
edit_wheel (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeWheelsPage *self = RAKE_WHEELS_PAGE (widget);
  RakeSession *session = rake_session_view_get_session (self);
  GtkRoot *root = gtk_widget_get_root (widget);
  RakeId id = RAKE_ID_NIL;

  if (!session || !GTK_IS_WINDOW (root))
    return;
  if (*g_variant_get_string (parameter, NULL) && !take_wheel (self, parameter, &id))
    return;
  rake_wheel_dialog_present (GTK_WINDOW (root), session, id);
}

/* --- timers ---------------------------------------------------------------------------------------- */

static char *
say_timer (gint64 left_ms)
{
  gint64 seconds = (left_ms + 999) / 1000;

  if (left_ms <= 0)
    return g_strdup (_ ("cool enough: wipe it clear and look"));
  /* Translators: minutes and seconds still to go: "cools another 18:04". */
  return g_strdup_printf (_ ("cools another %d:%02d"), (int) (seconds / 60), (int) (seconds % 60));
}

static GtkWidget *
new_timer_row (const RakeFace *face, gint64 buffed_ms, gint64 end_ms, gint64 now_ms)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  GtkWidget *ring = rake_picture_new (RING_PX, RING_PX);
  g_autofree char *left = say_timer (end_ms - now_ms);
  /* Translators: a face of the piece, and how long it still cools. */
  g_autofree char *text = g_strdup_printf (_ ("%s: %s"), face->name, left);
  GtkWidget *label = gtk_label_new (text);
  double share =
      end_ms > buffed_ms ? (double) (now_ms - buffed_ms) / (double) (end_ms - buffed_ms) : 1;

  rake_picture_show_ring (RAKE_PICTURE (ring), CLAMP (share, 0, 1), FALSE);
  gtk_label_set_xalign (GTK_LABEL (label), 0);
  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
  gtk_widget_add_css_class (label, "numbers");
  gtk_box_append (GTK_BOX (row), ring);
  gtk_box_append (GTK_BOX (row), label);
  return row;
}

static gboolean
show_timers (RakeWheelsPage *self, RakeSession *session)
{
  const RakeJob *job = rake_session_get_live_job (session);
  gint64 now_ms = rake_session_now_ms ();
  gboolean has_any = FALSE, is_cooling = FALSE;

  remove_children (self->timers);
  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);
      gint64 buffed_ms, end_ms = rake_cool_get_end_ms (session, face, &buffed_ms);

      if (end_ms == 0)
        continue;
      has_any = TRUE;
      is_cooling |= end_ms > now_ms;
      gtk_box_append (GTK_BOX (self->timers), new_timer_row (face, buffed_ms, end_ms, now_ms));
    }
  gtk_widget_set_visible (self->no_timers, !has_any);
  return is_cooling;
}

static gboolean
tick (gpointer user_data)
{
  RakeWheelsPage *self = user_data;
  RakeSession *session = rake_session_view_get_session (self);

  if (session && show_timers (self, session))
    return G_SOURCE_CONTINUE;
  self->ticking = 0;
  return G_SOURCE_REMOVE;
}

/* The clock runs only while somebody sees it. */
static void
start_ticking (RakeWheelsPage *self)
{
  if (self->ticking == 0 && gtk_widget_get_mapped (GTK_WIDGET (self)))
    self->ticking = g_timeout_add_seconds (TICK_S, tick, self);
}

/* --- the narrow wheel --------------------------------------------------------------------------------- */

static void
show_narrow (RakeWheelsPage *self, RakeSession *session)
{
  const RakeJob *job = rake_session_get_job (session);
  g_autoptr (GString) text = g_string_new (NULL);

  for (guint i = 0; i < rake_job_get_n_faces (job); i++)
    {
      const RakeFace *face = rake_job_get_face (job, i);

      for (guint j = 0; j < face->zones->len; j++)
        {
          const RakeZone *zone = face->zones->pdata[j];

          if (zone->is_hard_to_reach)
            /* Translators: a face and a zone on it. */
            g_string_append_printf (text, _ ("%s%s, %s"), text->len ? "\n" : "", face->name,
                                    zone->name);
        }
    }
  gtk_label_set_label (GTK_LABEL (self->narrow), text->str);
  gtk_widget_set_visible (self->narrow_section, text->len > 0);
}

/* --- all of it ------------------------------------------------------------------------------------------ */

static void
show_all (RakeWheelsPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);

  if (!session)
    return;
  show_wheels (self, session);
  show_narrow (self, session);
  if (show_timers (self, session))
    start_ticking (self);
}

static void
rake_wheels_page_show (RakeSessionView *view, RakeShow what)
{
  if (what != RAKE_SHOW_BENCH && what != RAKE_SHOW_SELECTION &&
      (what == RAKE_SHOW_SESSION || gtk_widget_get_mapped (GTK_WIDGET (view))))
    show_all (RAKE_WHEELS_PAGE (view));
}

static void
rake_wheels_page_map (GtkWidget *widget)
{
  GTK_WIDGET_CLASS (rake_wheels_page_parent_class)->map (widget);
  show_all (RAKE_WHEELS_PAGE (widget));
}

static void
rake_wheels_page_unmap (GtkWidget *widget)
{
  g_clear_handle_id (&RAKE_WHEELS_PAGE (widget)->ticking, g_source_remove);
  GTK_WIDGET_CLASS (rake_wheels_page_parent_class)->unmap (widget);
}

static void
rake_wheels_page_dispose (GObject *object)
{
  g_clear_handle_id (&RAKE_WHEELS_PAGE (object)->ticking, g_source_remove);
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_WHEELS_PAGE);
  G_OBJECT_CLASS (rake_wheels_page_parent_class)->dispose (object);
}

static void
rake_wheels_page_class_init (RakeWheelsPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_wheels_page_dispose;
  widget_class->map = rake_wheels_page_map;
  widget_class->unmap = rake_wheels_page_unmap;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_wheels_page_show;
  gtk_widget_class_set_css_name (widget_class, "wheelspage");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "wheels-page.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeWheelsPage, content);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelsPage, wheels);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelsPage, no_wheels);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelsPage, timers);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelsPage, no_timers);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelsPage, narrow);
  gtk_widget_class_bind_template_child (widget_class, RakeWheelsPage, narrow_section);
  gtk_widget_class_install_action (widget_class, "wheels.edit", "s", edit_wheel);
  gtk_widget_class_install_action (widget_class, "wheels.checked", "s", note_checked);
  gtk_widget_class_install_action (widget_class, "wheels.stripped", "s", note_stripped);
  gtk_widget_class_install_action (widget_class, "wheels.replaced", "s", note_replaced);
}

static void
rake_wheels_page_init (RakeWheelsPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
