/* record-page.c - what is kept of the piece for later. The parts are defects-part.c, hand-over-part.c and
 * claims-part.c. */
#include "record-page.h"
#include "claim-dialog.h"
#include "claims-part.h"
#include "defect-dialog.h"
#include "defects-part.h"
#include "hand-over-part.h"

#include <rakelight/record.h>
#include "words.h"

struct _RakeRecordPage
{
  RakeSessionView parent_instance;

  GtkWidget *content, *parts, *defects, *hand_over, *claims;
};

G_DEFINE_FINAL_TYPE (RakeRecordPage, rake_record_page, RAKE_TYPE_SESSION_VIEW)

/* --- what the parts offer -------------------------------------------------------------------------- */

static gboolean
take_id (GtkWidget *widget, GVariant *parameter, RakeSession **session, RakeId *id)
{
  const char *text = g_variant_get_string (parameter, NULL);

  *session = rake_session_view_get_session (widget);
  *id = RAKE_ID_NIL;
  return *session && (!*text || rake_id_from_text (text, id)) &&
         GTK_IS_WINDOW (gtk_widget_get_root (widget));
}

static void
tell_more (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeSession *session;
  RakeId id;
  g_autoptr (RakeClaim) claim = NULL;
  GtkWindow *window;

  if (!take_id (widget, parameter, &session, &id))
    return;
  window = GTK_WINDOW (gtk_widget_get_root (widget));
  claim = rake_job_find_claim (rake_session_get_live_job (session), id);
  if (claim)
    rake_claim_dialog_present (window, session, id);
  else if (rake_session_check_work (session))
    rake_defect_dialog_present (window, session, id);
}

static void
make_claim (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeSession *session;
  RakeId about;

  if (take_id (widget, parameter, &session, &about))
    rake_claim_dialog_present (GTK_WINDOW (gtk_widget_get_root (widget)), session, about);
}

/* The zone that @id is, or that a defect or a claim is about. */
static RakeId
find_zone (const RakeJob *job, RakeId id)
{
  g_autoptr (RakeDefect) defect = rake_job_find_defect (job, id);
  g_autoptr (RakeClaim) claim = rake_job_find_claim (job, id);
  const RakeZone *zone = defect ? defect->zone : claim ? claim->zone : rake_job_find_zone (job, id);

  return zone ? zone->id : RAKE_ID_NIL;
}

static void
go_to_place (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeSession *session;
  RakeId id, zone;

  if (!take_id (widget, parameter, &session, &id))
    return;
  rake_session_show_entries (session, G_MAXUINT);
  zone = find_zone (rake_session_get_live_job (session), id);
  if (!rake_id_is_nil (zone))
    rake_session_select_zone (session, zone, FALSE);
  else if (rake_job_find_face (rake_session_get_live_job (session), id))
    rake_session_select_face (session, id);
  gtk_widget_activate_action (widget, "win.show-bench", NULL);
}

static void
show_thing (GtkWidget *widget, const char *action, GVariant *parameter)
{
  RakeSession *session;
  RakeId id;

  if (take_id (widget, parameter, &session, &id))
    rake_record_page_show_thing (RAKE_RECORD_PAGE (widget), id);
}

/* --- showing --------------------------------------------------------------------------------------- */

void
rake_record_page_show_part (RakeRecordPage *self, const char *name)
{
  gtk_stack_set_visible_child_name (GTK_STACK (self->parts), name);
}

void
rake_record_page_show_thing (RakeRecordPage *self, RakeId id)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeJob *job = session ? rake_session_get_live_job (session) : NULL;
  g_autoptr (RakeDefect) defect = job ? rake_job_find_defect (job, id) : NULL;
  g_autoptr (RakeClaim) claim = job ? rake_job_find_claim (job, id) : NULL;

  if (defect)
    {
      rake_record_page_show_part (self, "defects");
      rake_defects_part_choose (RAKE_DEFECTS_PART (self->defects), id);
    }
  if (claim)
    {
      rake_record_page_show_part (self, "claims");
      rake_claims_part_choose (RAKE_CLAIMS_PART (self->claims), id);
    }
}

static void
entitle (RakeRecordPage *self, GtkWidget *part, const char *heading, guint n_items)
{
  g_autofree char *title = g_strdup_printf (C_ ("section", "%s  %u"), heading, n_items);

  gtk_stack_page_set_title (gtk_stack_get_page (GTK_STACK (self->parts), part), title);
}

static void
show_counts (RakeRecordPage *self)
{
  RakeSession *session = rake_session_view_get_session (self);
  const RakeJob *job = session ? rake_session_get_live_job (session) : NULL;
  g_autoptr (GPtrArray) defects = job ? rake_job_list_defects (job) : NULL;
  g_autoptr (GPtrArray) claims = job ? rake_job_list_claims (job) : NULL;

  if (!job)
    return;
  entitle (self, self->defects, C_ ("record", "Defects"), defects->len);
  entitle (self, self->claims, C_ ("record", "Claims"), claims->len);
}

static void
rake_record_page_show (RakeSessionView *view, RakeShow what)
{
  RakeRecordPage *self = RAKE_RECORD_PAGE (view);
  RakeSession *session = rake_session_view_get_session (view);

  if (what == RAKE_SHOW_SESSION)
    {
      g_object_set (self->defects, "session", session, NULL);
      g_object_set (self->hand_over, "session", session, NULL);
      g_object_set (self->claims, "session", session, NULL);
    }
  if (what == RAKE_SHOW_SESSION || what == RAKE_SHOW_JOB)
    show_counts (self);
}

static void
rake_record_page_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), RAKE_TYPE_RECORD_PAGE);
  G_OBJECT_CLASS (rake_record_page_parent_class)->dispose (object);
}

static void
rake_record_page_class_init (RakeRecordPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = rake_record_page_dispose;
  RAKE_SESSION_VIEW_CLASS (klass)->show = rake_record_page_show;
  g_type_ensure (RAKE_TYPE_CLAIMS_PART);
  g_type_ensure (RAKE_TYPE_DEFECTS_PART);
  g_type_ensure (RAKE_TYPE_HAND_OVER_PART);
  gtk_widget_class_set_css_name (widget_class, "recordpage");
  gtk_widget_class_set_template_from_resource (widget_class, RAKE_UI_PATH "record-page.ui");
  gtk_widget_class_bind_template_child (widget_class, RakeRecordPage, content);
  gtk_widget_class_bind_template_child (widget_class, RakeRecordPage, parts);
  gtk_widget_class_bind_template_child (widget_class, RakeRecordPage, defects);
  gtk_widget_class_bind_template_child (widget_class, RakeRecordPage, hand_over);
  gtk_widget_class_bind_template_child (widget_class, RakeRecordPage, claims);
  gtk_widget_class_install_action (widget_class, "record.tell", "s", tell_more);
  gtk_widget_class_install_action (widget_class, "record.claim", "s", make_claim);
  gtk_widget_class_install_action (widget_class, "record.go", "s", go_to_place);
  gtk_widget_class_install_action (widget_class, "record.show", "s", show_thing);
}

static void
rake_record_page_init (RakeRecordPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}
